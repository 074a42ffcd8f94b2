package belief

import (
	"fmt"
	"math"
	"testing"

	"onegrain/analysis/belief/facts"
	"onegrain/analysis/belief/likelihood"
	"onegrain/sim"
	"onegrain/sim/body"
	"onegrain/sim/draw"
	"onegrain/sim/furnace"
	"onegrain/sim/kinetics"
	"onegrain/sim/liquid"
	"onegrain/studies/disk/trial"
	"onegrain/studies/draws"
)

// world makes logbooks of a puck by laws drawn from the priors.
type world struct {
	body Body
	on   sim.Case
	dice *draw.Stream
}

func newWorld(t *testing.T, cellMM float64) *world {
	t.Helper()
	g, err := body.Disc(24, 8, cellMM, body.Solid)
	if err != nil {
		t.Fatal(err)
	}
	law := draws.Law{RateA: 0.134, ExponentA: 1.9, RateC: 0.2, ExponentC: 1.3}.Laws(1010)
	w := &world{on: sim.Case{Grid: g, GrowthA: law.GrowthA, GrowthC: law.GrowthC,
		Seeds: []sim.Seed{{SizeMM: [2]float64{2, 2}}}}, dice: draw.NewKey("logbooks").Stream("all")}
	w.on.Programme = from(16, 24, 20)
	table, err := liquid.New(&w.on, w.on.Placed(draw.NewKey("puck")))
	if err != nil {
		t.Fatal(err)
	}
	w.body = Body{table, 1010}
	return w
}

// truth is a law from the priors, and where the sampler has it.
func (w *world) truth(u *unknowns) (law draws.Law, z []float64) {
	for {
		z = make([]float64, len(u.priors))
		for i := range z {
			z[i] = w.dice.Normal()
		}
		if law, ok := u.law(z); ok {
			return law, z
		}
	}
}

// poisson is a number of strays, 26 for all that are more than 25.
func (w *world) poisson(mean float64) (n int) {
	for t := w.dice.Exponential(); t < mean && n < 26; n++ {
		t += w.dice.Exponential()
	}
	return n
}

// run is a furnace run by a law, its strays of the law's own numbers or of the engine's dice.
func (w *world) run(law draws.Law, name string, engine bool) facts.Run {
	u, hours := 8+16*w.dice.Uniform(), 5+15*w.dice.Uniform()
	end := u
	if w.dice.Uniform() < 0.4 {
		end = u + 6*w.dice.Uniform()
	}
	r := facts.Run{Name: name, Programme: from(u, end, hours)}
	shift := law.ScatterK * w.dice.Normal()
	deeper := func(h float64) furnace.Programme {
		e := u + (end-u)*h/hours
		return furnace.Programme{Knots: []furnace.Knot{{UndercoolingK: -99}, {UndercoolingK: u + shift},
			{TimeH: h, UndercoolingK: e + shift}}}
	}
	laws := law.Laws(1010)
	mm := kinetics.Length(laws.GrowthA, u+shift, end+shift, hours) * math.Exp(law.LengthScatter*w.dice.Normal())
	switch {
	case w.dice.Uniform() < 0.7:
		r.Saw = append(r.Saw, facts.Fact{Kind: facts.GrownA, ToH: hours, MM: max(mm, 1e-9)})
	case mm > 11:
		r.Saw = append(r.Saw, facts.Fact{Kind: facts.ReachedA, ToH: hours, MM: 11})
	default:
		r.Saw = append(r.Saw, facts.Fact{Kind: facts.ShortOfA, ToH: hours, MM: 11})
	}
	at := func(h float64) float64 { c := w.body.Table.Course(deeper(h), laws, liquid.Fine); return c.Lambda() }
	if engine {
		n := 0
		on := w.on
		on.Programme, on.GrowthA, on.GrowthC, on.Nuclei = deeper(hours), laws.GrowthA, laws.GrowthC, laws.Nuclei
		if at(hours) > 60 {
			n = 26
		} else {
			n = len(sim.Seeded(&on, draw.NewKey("dice", name)).Strays(draw.NewKey("dice", name)).Grains) - 1
		}
		r.Saw = append(r.Saw, facts.Fact{ToH: hours, Least: n, Most: n})
		return r
	}
	switch way := w.dice.Uniform(); {
	case way < 0.6:
		n := w.poisson(at(hours))
		r.Saw = append(r.Saw, facts.Fact{ToH: hours, Least: n, Most: n})
	case way < 0.8:
		if w.poisson(at(hours)) > 0 {
			r.Saw = append(r.Saw, facts.Fact{ToH: hours, Least: 1, Most: facts.Any})
		} else {
			r.Saw = append(r.Saw, facts.Fact{ToH: hours})
		}
	default: // looked at twice
		early := w.poisson(at(hours / 2))
		late := w.poisson(at(hours) - at(hours/2))
		for i, n := range []int{early, late} {
			f := facts.Fact{FromH: hours / 2 * float64(i), ToH: hours / 2 * float64(i+1)}
			if n > 0 {
				f.Least, f.Most = 1, facts.Any
			}
			r.Saw = append(r.Saw, f)
		}
	}
	return r
}

// ranks are counts of where truths lie among what was learnt, in five bins, by quantity.
type ranks map[string]*[5]float64

// chiSquared is that of even bins: beyond 19.2 in 1 of 100 cases over 14 such tests.
func (r ranks) chiSquared(key string) (sum float64) {
	n := 0.0
	for _, x := range r[key] {
		n += x / 5
	}
	for _, x := range r[key] {
		sum += (x - n) * (x - n) / n
	}
	return sum
}

// calibrate learns from books of which the truth is known. Shares are how often a barrier was the
// truth beside how often it was said to be, in deviations.
func calibrate(t *testing.T, w *world, books, count int, engine bool, priors []Prior) (r ranks, share, worstK float64) {
	r = ranks{}
	spread := 0.0
	for book := range books {
		family := []string{draws.Barrier, draws.Sites}[book%2]
		law, z := w.truth(newUnknowns(family, Priors(), 1, 1010))
		s := &study{Options: Options{Priors: priors, Families: []string{draws.Barrier, draws.Sites}, Workers: 2,
			Key: fmt.Sprint("book ", book), Furnaces: 1}, body: w.body}
		for i := range 8 {
			run := w.run(law, fmt.Sprintf("book %d run %d", book, i), engine && book%4 < 2)
			s.runs = append(s.runs, likelihood.New(&run, w.body.Table))
		}
		all, err := s.families(s.runs, count)
		if err != nil {
			t.Errorf("book %d: %v", book, err)
			continue
		}
		p := &Posterior{}
		p.add(all)
		worstK = max(worstK, p.ParetoK)
		for _, f := range p.Families {
			if f.Chain {
				t.Logf("book %d, %s: a chain, split R̂ %.3f, worth %.0f", book, f.Name, f.Mixed, f.Effective)
			}
		}
		share += map[bool]float64{true: 1}[family == draws.Barrier] - p.Families[0].Share
		spread += p.Families[0].Share * p.Families[1].Share
		l := all[book%2]
		for _, key := range []string{rateA, exponentA, equalK, dailyK, steepness(family), lengths, scatterK} {
			below, at := 0.0, l.at[key]
			for i, x := range l.X {
				if x[at] < z[at] {
					below += l.Weight[i]
				}
			}
			key = family + " " + key
			if r[key] == nil {
				r[key] = &[5]float64{}
			}
			r[key][min(4, int(5*below))]++
		}
	}
	return r, share / math.Sqrt(spread), worstK
}

func steepness(family string) string {
	if family == draws.Sites {
		return risePerK
	}
	return barrier
}

// TestCalibration: truths lie anywhere among what is learnt, as often here as there (S. Talts et
// al., arXiv 1804.06788), within each family, and a family is right as often as its share says. In
// the long form (make calibration-long) half of the books are grown by the engine with its own
// dice. Canary: the scatter of undercooling forgotten.
func TestCalibration(t *testing.T) {
	books := trial.Amount(10, 60, 200)
	w := newWorld(t, 0.8)
	r, share, k := calibrate(t, w, books, trial.Amount(1000, 3000, 3000), books == 200, Priors())
	for key := range r {
		x := r.chiSquared(key)
		t.Logf("%-30s chi-squared %5.1f of %v", key, x, *r[key])
		if x > 19.2 {
			t.Errorf("%s: chi-squared %.1f of %v", key, x, *r[key])
		}
	}
	t.Logf("share of families %.2f deviations off, Pareto k %.2f at most", share, k)
	if math.Abs(share) > 3 {
		t.Errorf("families are right %.1f deviations more often than they say", share)
	}
	if books < 60 {
		return // too few to refuse the canary
	}
	r, _, _ = calibrate(t, w, 120, 1000, false, known(map[string][2]float64{scatterK: {0.01, 1e-6}}))
	worst := 0.0
	for key := range r {
		if key != draws.Barrier+" "+scatterK && key != draws.Sites+" "+scatterK {
			worst = max(worst, r.chiSquared(key))
		}
	}
	if t.Logf("canary: chi-squared %.1f", worst); worst < 19.2 {
		t.Errorf("canary: chi-squared %.1f", worst)
	}
}
