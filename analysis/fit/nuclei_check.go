package fit

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"onegrain/analysis/logbook"
	"onegrain/analysis/tally"
)

// check compares each row with the law and adds what a reader must know before believing it.
func (o *likelihood) check(f *NucleiFit, b float64) {
	rate := math.Exp(math.Log(float64(f.Prefactor.Value)) - b) // e^c
	for _, s := range o.rows {
		r := nucleiRow{Name: s.Name(), Stage: s.Stage, Size: s.Size, Expected: tally.Real(rate * o.expected(s, b))}
		if each := rate * o.law.Expected(s.Stage, math.Exp(b), b/o.factor); s.Liquid != nil && each > 0 {
			r.Size = float64(r.Expected) / each
		}
		r.Seen, r.Chance = against(s, float64(r.Expected))
		f.Rows = append(f.Rows, r)
	}
	if f.Upper {
		f.Warnings.add("no stray was seen: the prefactor is not an estimate but the upper limit at 95 %% confidence, so a " +
			"study with it gives the smallest chance of a single grain")
		return
	}
	if closed, to := f.Barrier.closed(); !f.Given && !closed {
		f.Warnings.add("the interval of the barrier is open towards %s: "+
			"strays were seen at too few undercoolings, or too few were seen", to)
	}
	if d := float64(f.Daily.Value); d > 1.02*f.HighK || d < 0.98*f.LowK {
		f.Warnings.add("one stray a day is expected at %.3g K, outside of the data (%s)", d, kelvins(f.LowK, f.HighK))
	}
	for _, r := range f.Rows {
		if float64(r.Chance)*float64(len(f.Rows)) < 0.05 {
			f.Warnings.add("%s: %s seen, where the law expects %.2g (chance %.1g): look at its notes before using it",
				r.Name, r.Seen, r.Expected, r.Chance)
		}
	}
	if p := crowding(o.rows, f.Rows); p < 0.01 {
		f.Warnings.add("counts differ from run to run more than by chance (p = %.2g): "+
			"something besides undercooling differs, and the intervals are too narrow", p)
	}
}

// against says what was seen, and the chance of something that far from the expected number, to
// both sides.
func against(s logbook.Strays, expected float64) (seen string, chance tally.Real) {
	above, below := math.Exp(-expected), -math.Expm1(-expected)
	switch s.Seen {
	case logbook.AtLeastOne:
		return "some", tally.Real(below)
	case logbook.FirstStray:
		seen = "first"
	case logbook.Counted:
		seen = fmt.Sprint(s.Count)
		above, below = 1, 1
		if expected > 0 {
			p := distuv.Poisson{Lambda: expected}
			below = p.CDF(float64(s.Count))
			above = 1 - below + p.Prob(float64(s.Count))
		}
	}
	return seen, tally.Real(min(1, 2*min(above, below)))
}

// crowding is the chance that Pearson's X² of counts is as large as it is, from 999 sets of counts
// drawn by the law (A. C. Davison and D. V. Hinkley, Bootstrap Methods and their Application
// (1997), 4.2): for counts near 0 the tables of chi-squared do not hold.
func crowding(rows []logbook.Strays, fitted []nucleiRow) float64 {
	const draws = 999
	stream := tally.Stream("counts of strays")
	var counts int
	pearson := func(count func(i int) float64) (x float64) {
		counts = 0
		for i, s := range rows {
			if e := float64(fitted[i].Expected); s.Seen == logbook.Counted && e > 1e-9 {
				x += (count(i) - e) * (count(i) - e) / e
				counts++
			}
		}
		return x
	}
	seen, larger := pearson(func(i int) float64 { return float64(rows[i].Count) }), 0
	if counts < 4 {
		return 1
	}
	for range draws {
		drawn := make([]float64, len(rows))
		for i := range rows {
			if e := float64(fitted[i].Expected); e > 0 {
				drawn[i] = distuv.Poisson{Lambda: e, Src: stream}.Rand()
			}
		}
		if pearson(func(i int) float64 { return drawn[i] }) >= seen {
			larger++
		}
	}
	return float64(larger+1) / (draws + 1)
}

// bound is what runs without a stray say of the rate at an undercooling: at most RatePerUnitH in 95
// of 100 cases, whatever the law, if only it does not fall with undercooling.
type bound struct {
	UndercoolingK float64 `json:"undercooling_K"`
	RatePerUnitH  float64 `json:"largest_rate_per_unit_h"`
	UnitHours     float64 `json:"unit_hours_at_it_or_deeper"`
}

// boundsOf are the bounds that rows without strays set: exp(−rate × size × hours spent at an
// undercooling or deeper) is the chance of none, 5 % at 3.0. At the start and the middle of each
// stage, at most six of them.
func boundsOf(rows []logbook.Strays) (bounds []bound) {
	var at []float64
	for _, s := range rows {
		low, high := s.Stage.Reach()
		at = append(at, low, 0.5*(low+high))
	}
	slices.Sort(at)
	at = slices.Compact(at)
	for len(at) > 6 {
		at = slices.Delete(at, len(at)/2, len(at)/2+1)
	}
	for _, u := range at {
		total := 0.0
		for _, s := range rows {
			for _, p := range s.Parts() {
				low, high := min(p.Stage.FromK, p.Stage.ToK), max(p.Stage.FromK, p.Stage.ToK)
				switch {
				case low >= u:
					total += p.Size * p.Stage.Hours
				case high > u:
					total += p.Size * p.Stage.Hours * (high - u) / (high - low)
				}
			}
		}
		if u > 0 && total > 0 {
			bounds = append(bounds, bound{u, unseen / total, total})
		}
	}
	return bounds
}
