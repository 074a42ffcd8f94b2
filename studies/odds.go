package studies

import (
	"maps"
	"math"
	"slices"
	"strings"

	"onegrain/sim"
	"onegrain/sim/measure"
)

// Odds are the exact odds of a case. Where seeds are placed with scatter they are means over
// placings: placing k is that of replicate k, whatever else is done with it.
type Odds struct {
	Probability    float64 // of a single grain; NaN where nothing was worked out
	Error          float64 // standard error of that mean; NaN without scatter, and of one placing
	ExpectedStrays float64
	FullH          float64 // when the body is solid, median of the placings; NaN where it never is
	Placings       int     // 0 without scatter
	Because        string  // why no placing can make a single grain, see measure.Odds: the commonest cause; empty where one can
}

// How many placings are looked at where no run is counted: as many as the study has replicates; no
// fewer than make an error worth telling, and no more than bring it below 0.0625 at worst.
const (
	fewestPlacings = 16
	mostPlacings   = 64
)

// Placings is how many placings the exact odds of a case are averaged over where no run is counted;
// 1 where no seed of the study is placed with scatter.
func (s *Study) Placings() int {
	varied := func(key string) bool { return strings.HasSuffix(key, "_sd_deg") }
	t, found := s.converter.Draft(s.doc)
	if len(found) == 0 && !t.Case.Scattered() && !slices.ContainsFunc(s.design.keys(), varied) {
		return 1
	}
	return min(max(s.Replicates, fewestPlacings), mostPlacings)
}

// Odds works out the exact odds of a case, with placing scatter over its first placings, so many at
// most.
func (p Planned) Odds(placings int) (Odds, error) {
	c, err := p.Case()
	if err != nil {
		return Odds{}, err
	}
	if !c.Scattered() {
		placings = 1
	}
	ready, all := sim.Prepare(c), map[int]placed{}
	for k := range placings {
		all[k+1] = place(measure.Look(ready.Seeded(p.Key(k+1)), p.JoinDeg))
	}
	return mean(all, c.Scattered()), nil
}

// placed is what the run without strays tells of one placing of the seeds.
type placed struct {
	probability, strays, fullH float64
	because                    string
}

func place(seeded *measure.Survey) placed {
	o := seeded.Odds()
	return placed{o.Probability, o.ExpectedStrays, seeded.FullH(), o.Because}
}

// mean sums up placings by replicate. It goes through them in order, so that it has the same bits
// whatever worker was first.
func mean(all map[int]placed, scattered bool) Odds {
	n := float64(len(all))
	if n == 0 {
		return Odds{math.NaN(), math.NaN(), math.NaN(), math.NaN(), 0, ""}
	}
	var o Odds
	full, causes := map[int]float64{}, map[string]int{}
	for _, k := range slices.Sorted(maps.Keys(all)) {
		o.Probability += all[k].probability
		o.ExpectedStrays += all[k].strays
		full[k] = all[k].fullH
		causes[all[k].because]++
	}
	o.Probability, o.ExpectedStrays = o.Probability/n, o.ExpectedStrays/n
	o.Because = commonest(causes)
	o.FullH, o.Error = quantile(sorted(full), 0.5), math.NaN()
	if !scattered {
		return o
	}
	if o.Placings = len(all); o.Placings > 1 {
		squares := 0.0
		for _, k := range slices.Sorted(maps.Keys(all)) {
			d := all[k].probability - o.Probability
			squares += float64(d * d)
		}
		o.Error = math.Sqrt(squares / (n * (n - 1)))
	}
	return o
}

// commonest is the cause that stands there most often, the first of equals; empty where some placing has none.
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
