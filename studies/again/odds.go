package again

import (
	"maps"
	"math"
	"slices"

	"onegrain/analysis/tally"
	"onegrain/sim"
	"onegrain/sim/measure"
	"onegrain/studies"
)

// Odds are the exact odds of a case. Where seeds are placed with scatter they are means over
// placings: placing k is that of replicate k, whatever else is done with it.
type Odds struct {
	Probability    float64 // of a single grain; NaN where nothing was worked out
	Error          float64 // standard error of that mean; NaN without scatter, and of one placing
	ExpectedStrays float64
	FullH          float64 // when the body is solid, median of the placings; NaN where it never is
	Placings       int     // 0 without scatter
	Because        string  // why no placing can make a single grain: commonest cause of measure.Odds; empty where one can
}

// Work works out the exact odds of a case, with placing scatter over its first placings, so many at
// most.
func Work(p studies.Planned, placings int) (Odds, error) {
	c, err := p.Case()
	if err != nil {
		return Odds{}, err
	}
	if !c.Scattered() {
		placings = 1
	}
	all, tables := map[int]Placing{}, &measure.Tables{}
	var ready *sim.Ready
	for k := range placings {
		one, ok := Place(tables, c, c.Placed(p.Key(k+1)), nil)
		if !ok {
			if ready == nil {
				ready = sim.Prepare(c)
			}
			one, _ = Place(tables, c, c.Placed(p.Key(k+1)), measure.Look(ready.Seeded(p.Key(k+1)), p.JoinDeg))
		}
		all[k+1] = one
	}
	return Mean(all, c.Scattered()), nil
}

// Placing is what the run without strays tells of one placing of the seeds.
type Placing struct {
	measure.Odds
	fullH float64
}

// Place is what becomes of a placing without strays: by the table of its liquid where that is
// exact, else by a run; ok is false where that is nil and would be needed. Seeds that have a table
// are alike, and so join into one domain.
func Place(t *measure.Tables, c *sim.Case, seeds []sim.Grain, run *measure.Survey) (p Placing, ok bool) {
	o, fullH, ok := measure.OddsByTable(t, c, seeds)
	if ok {
		return Placing{o, fullH}, true
	}
	if run == nil {
		return Placing{}, false
	}
	return Placing{run.Odds(), run.FullH()}, true
}

// Mean sums up placings by replicate. It goes through them in order, so that it has the same bits
// whatever worker was first.
func Mean(all map[int]Placing, scattered bool) Odds {
	n := float64(len(all))
	if n == 0 {
		return Odds{math.NaN(), math.NaN(), math.NaN(), math.NaN(), 0, ""}
	}
	var o Odds
	var full []float64
	causes := map[string]int{}
	order := slices.Sorted(maps.Keys(all))
	for _, k := range order {
		o.Probability += all[k].Probability
		o.ExpectedStrays += all[k].ExpectedStrays
		full = append(full, all[k].fullH)
		causes[all[k].Because]++
	}
	o.Probability, o.ExpectedStrays = o.Probability/n, o.ExpectedStrays/n
	o.Because = commonest(causes)
	o.FullH, o.Error = Quantile(full, 0.5), math.NaN()
	if !scattered {
		return o
	}
	if o.Placings = len(all); o.Placings > 1 {
		squares := 0.0
		for _, k := range order {
			d := all[k].Probability - o.Probability
			squares += float64(d * d)
		}
		o.Error = math.Sqrt(squares / (n * (n - 1)))
	}
	return o
}

// commonest is the cause that stands there most often, the first of equals; empty where some
// placing has none.
func commonest(causes map[string]int) (most string) {
	if causes[""] > 0 {
		return ""
	}
	for _, cause := range slices.Sorted(maps.Keys(causes)) {
		if causes[cause] > causes[most] {
			most = cause
		}
	}
	return most
}

// Quantile interpolates between those of the values, in any order, that are numbers; NaN for none.
func Quantile(values []float64, q float64) float64 {
	sorted := slices.DeleteFunc(slices.Clone(values), math.IsNaN)
	slices.Sort(sorted)
	return tally.Quantile(sorted, q)
}

// Still is a case for runs without dice, whose seeds lie as the study says; scattered says whether
// a scatter of placing was left out.
func Still(p studies.Planned) (on sim.Case, peritecticC float64, scattered bool, err error) {
	own, err := p.Case()
	if err != nil {
		return sim.Case{}, 0, false, err
	}
	e, err := p.Study.Explain(p.Index)
	if err != nil {
		return sim.Case{}, 0, false, err
	}
	return *own.Still(), e.Schedule[0].TemperatureC + e.Schedule[0].UndercoolingK, own.Scattered(), nil
}
