package sim_test

import (
	"testing"

	"onegrain/sim"
	"onegrain/sim/body"
	"onegrain/sim/draw"
	"onegrain/sim/furnace"
	"onegrain/sim/growth"
	"onegrain/sim/kinetics"
	"onegrain/sim/nucleation"
)

// puck is the 24 mm × 8 mm body of the first catalog study, coarse.
func puck(t *testing.T, cellMM, coolingKPerH float64) *sim.Case {
	t.Helper()
	g, err := body.Disc(24, 8, cellMM, -1)
	if err != nil {
		t.Fatal(err)
	}
	s := furnace.Schedule{StartC: 1045, Stages: []furnace.Stage{
		{Kind: furnace.ToUndercooling, ToUndercoolingK: 8, RateKPerH: 60},
		{Kind: furnace.ToUndercooling, ToUndercoolingK: 30, RateKPerH: coolingKPerH},
	}}
	return &sim.Case{Grid: g, GrowthA: kinetics.Power{RateAt10K: 0.134, Exponent: 1.9}, GrowthC: kinetics.Power{RateAt10K: 0.201, Exponent: 1.3},
		Programme: s.Programme(1010), Seeds: []sim.Seed{{SizeMM: [2]float64{2, 2}}},
		Nuclei: nucleation.Model{Melt: nucleation.Barrier{PrefactorPerUnitH: 1.1e4, BarrierK3: 1.12e7, PeritecticK: 1283.15}}}
}

func counts(o *sim.Outcome) (liquid int, perGrain []int) {
	n := o.Case.Grid.N
	perGrain = make([]int, len(o.Grains))
	row := make([]growth.Cell, n[0])
	for k := range n[2] {
		for j := range n[1] {
			o.Field.Row(j, k, row)
			for _, c := range row {
				if c.Grain >= 0 {
					perGrain[c.Grain]++
				} else if c.Grain == growth.Liquid {
					liquid++
				}
			}
		}
	}
	return liquid, perGrain
}

func TestPuck(t *testing.T) {
	for _, rate := range []float64{0.2, 0.6} {
		c := puck(t, 0.4, rate)
		key := draw.NewKey("puck", "1")
		o := sim.Run(c, key)
		liquid, n := counts(o)
		t.Log(rate, "liquid", liquid, "grains", len(o.Grains), n, o.Field.FullByH())
	}
}
