package run

import (
	"math"
	"testing"

	"onegrain/sim/measure"
	"onegrain/studies/again"
)

// The row of a case against values worked out by hand: 11 runs of which 3 are single grains.
// Interval: Clopper and Pearson's by their beta quantiles, 0.0602 to 0.6097.
func TestRowOfACase(t *testing.T) {
	s := &progress{placed: map[int]again.Placing{}, runs: map[int]result{}, programmeH: 70, stoppedBy: "replicates"}
	s.Study = load(t, small)
	for k := 1; k <= 11; k++ {
		full := float64(100 - k)
		if k > 9 {
			full = math.NaN()
		}
		s.add(k, &measure.Run{SingleGrain: k < 4, ClearDiameterMM: float64(k), TimeToFullH: full})
	}
	row := s.makeRow()
	for name, c := range map[string][2]float64{
		"runs": {float64(row.Runs), 11}, "single": {float64(row.SingleGrainRuns), 3},
		"share": {row.SingleGrainFraction, 3.0 / 11},
		"low":   {row.SingleGrainFractionLow, 0.0602}, "high": {row.SingleGrainFractionHigh, 0.6097},
		"p10": {row.ClearDiameterMMP10, 2}, "median": {row.ClearDiameterMMMedian, 6}, "p90": {row.ClearDiameterMMP90, 10},
		"full": {row.TimeToFullH, 95}, "programme": {row.ProgrammeH, 70},
	} {
		if math.Abs(c[0]-c[1]) > 1e-4 {
			t.Errorf("%s is %v, wanted %v", name, c[0], c[1])
		}
	}
	if row.StoppedBy != "replicates" || !math.IsNaN(row.Exact.Probability) {
		t.Errorf("%+v", row)
	}
}
