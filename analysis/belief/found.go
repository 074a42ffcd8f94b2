package belief

import (
	"math"
	"slices"

	"onegrain/analysis/belief/facts"
	"onegrain/sim/draw"
	"onegrain/sim/number"
	"onegrain/studies/draws"
)

// ranges are the undercoolings of the runs, and of those with strays.
func (p *Posterior) ranges(runs []facts.Run) {
	p.LowestK, p.LowestStrayK = math.NaN(), math.NaN()
	p.HighestK, p.HighestStrayK = math.NaN(), math.NaN()
	for i := range runs {
		low, high := math.Inf(1), math.Inf(-1)
		for _, k := range runs[i].Programme.Knots {
			if k.UndercoolingK > 0 {
				low, high = math.Min(low, k.UndercoolingK), math.Max(high, k.UndercoolingK)
			}
		}
		p.Runs++
		widen(&p.LowestK, &p.HighestK, low, high)
		if n := strays(&runs[i]); n > 0 {
			p.WithStrays++
			p.Strays += n
			widen(&p.LowestStrayK, &p.HighestStrayK, low, high)
		}
	}
}

// widen makes a range hold another; NaN is one that holds nothing yet.
func widen(low, high *float64, toLow, toHigh float64) {
	if !(*low <= toLow) {
		*low = toLow
	}
	if !(*high >= toHigh) {
		*high = toHigh
	}
}

// strays are those seen of a run, at least.
func strays(r *facts.Run) (n int) {
	for _, f := range r.Saw {
		switch f.Kind {
		case facts.Strays:
			n += f.Least
		case facts.FirstStray:
			n++
		}
	}
	return n
}

// How much of a deviation has to be gone for a quantity to be told by the logbook, or by both.
const (
	byLogbook = 0.9
	byBoth    = 0.5
	byPrior   = 0.1 // below it the prior alone: 1000 draws tell a share to 0.05
	manyLaws  = 4000
)

// quantities are what a person wants to know, of laws beside as many drawn from the priors.
func (s *study) quantities(laws []draws.Law) (all []Quantity) {
	before := s.before(manyLaws)
	for _, q := range s.questions() {
		after, was := q.of(laws), variance(q.of(before))
		if len(after) == 0 {
			continue
		}
		if i := s.prior(q.Key); i >= 0 {
			was = float64(s.Priors[i].SD * s.Priors[i].SD)
		}
		slices.Sort(after)
		part := func(p float64) float64 { return q.back(after[int(p*float64(len(after)-1)+0.5)]) }
		q.Low, q.Middle, q.High = part(0.05), part(0.5), part(0.95)
		q.Share = 1 - variance(after)/was
		switch {
		case q.Share >= byLogbook:
			q.By = "the logbook"
		case q.Share >= byBoth:
			q.By = "both"
		case q.Share >= byPrior:
			q.By = "mostly prior"
		default:
			q.By = "prior alone"
		}
		all = append(all, q.Quantity)
	}
	return all
}

// before are laws drawn from the priors, each family as often as the other.
func (s *study) before(n int) (laws []draws.Law) {
	dice := draw.NewKey("laws", s.Key).Stream("priors")
	for len(laws) < n {
		u := newUnknowns(s.Families[len(laws)%len(s.Families)], s.Priors, s.Furnaces, s.body.PeritecticC)
		z := make([]float64, len(u.priors))
		for i := range z {
			z[i] = dice.Normal()
		}
		if law, ok := u.law(z); ok {
			laws = append(laws, law)
		}
	}
	return laws
}

// question is a quantity with how it follows from a law, on the scale on which it is near normal.
type question struct {
	Quantity
	value func(l *draws.Law) float64 // NaN where the law has none
	log   bool
}

func (q *question) of(laws []draws.Law) (all []float64) {
	for i := range laws {
		x := q.value(&laws[i])
		if q.log {
			x = number.Log(x)
		}
		if x == x && !math.IsInf(x, 0) {
			all = append(all, x)
		}
	}
	return all
}

func (q *question) back(x float64) float64 {
	if q.log {
		return number.Exp(x)
	}
	return x
}

func variance(x []float64) (sum float64) {
	mean := 0.0
	for _, y := range x {
		mean += y / float64(len(x))
	}
	for _, y := range x {
		sum += (y - mean) * (y - mean) / float64(len(x))
	}
	return sum
}

// questions are those of a posterior.
func (s *study) questions() []question {
	onset := func(of func(draws.Onset) float64) func(*draws.Law) float64 {
		return func(l *draws.Law) float64 { return of(draws.OnsetOf(*l, s.body.PeritecticC)) }
	}
	all := []question{
		{s.named(rateA), func(l *draws.Law) float64 { return l.RateA }, true},
		{s.named(exponentA), func(l *draws.Law) float64 { return l.ExponentA }, false},
		{s.named(equalK), func(l *draws.Law) float64 { return draws.EqualK(*l) }, false},
		{s.named(dailyK), onset(func(o draws.Onset) float64 { return o.DailyK }), false},
		{Quantity{Key: "doubles_every_K", Text: "their rate doubles every", Unit: "K"},
			onset(func(o draws.Onset) float64 { return o.DoublesK(s.body.PeritecticC) }), true},
		{s.named(lengths), func(l *draws.Law) float64 { return l.LengthScatter }, true},
		{s.named(scatterK), func(l *draws.Law) float64 { return l.ScatterK }, true},
	}
	for f := 1; f < s.Furnaces; f++ {
		all = append(all, question{s.named(offsetK), func(l *draws.Law) float64 { return l.OffsetK[f] }, false})
	}
	return all
}

// named is a quantity as its prior calls it.
func (s *study) named(key string) Quantity {
	i := s.prior(key)
	return Quantity{Key: key, Text: s.Priors[i].Text, Unit: s.Priors[i].Unit}
}

// prior is the place of a quantity's prior, −1 where it has none.
func (s *study) prior(key string) int {
	return slices.IndexFunc(s.Priors, func(p Prior) bool { return p.Key == key })
}
