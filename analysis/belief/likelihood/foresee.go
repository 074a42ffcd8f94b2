package likelihood

import (
	"math"

	"onegrain/analysis/belief/facts"
	"onegrain/sim/liquid"
	"onegrain/sim/number"
	"onegrain/studies/draws"
)

// Numbers of strays that are told apart: 0 to 25, and more.
const Numbers = mostCount + 2

// The shifts over which a law's predictions are averaged, in deviations: even steps.
const (
	aheadNodes = 9
	aheadStep  = 0.75
)

// ahead visits the shifts of a law with their weights, of sum 1.
func ahead(l *draws.Law, visit func(byK, weight float64)) {
	var weights [aheadNodes]float64
	sum := 0.0
	at := func(i int) float64 { return float64(aheadStep * float64(i-aheadNodes/2)) }
	for i := range weights {
		weights[i] = number.Exp(float64(-0.5 * float64(at(i)*at(i))))
		sum += weights[i]
	}
	for i, w := range weights {
		visit(float64(at(i)*l.ScatterK), w/sum)
	}
}

// Ahead is how probable by a law each number of strays is in the time of each fact about strays;
// for other facts two numbers: what is less or not so, and what is more or so.
func (r *Run) Ahead(l *draws.Law, laws liquid.Laws) [][]float64 {
	chances := make([][]float64, len(r.asked))
	for i := range chances {
		chances[i] = make([]float64, Numbers)
		if r.asked[i].Kind != facts.Strays {
			chances[i] = chances[i][:2]
		}
	}
	s := r.along(l, laws)
	ahead(l, func(byK, weight float64) {
		t := (byK - s.first) / s.step
		for i := range r.asked {
			r.asked[i].ahead(chances[i], s.of[2*i].at(t), l.LengthScatter, weight)
		}
	})
	return chances
}

// ahead adds the chances at one shift.
func (f *asked) ahead(chances []float64, x, scatter, weight float64) {
	switch f.Kind {
	case facts.Strays:
		x = math.Min(x, 50)
		mean := number.Exp(x)
		term, rest := float64(weight*number.Exp(-mean)), weight
		for n := range mostCount + 1 {
			chances[n] += term
			rest -= term
			term = float64(term*mean) / float64(n+1)
		}
		chances[mostCount+1] += math.Max(0, rest)
		return
	case facts.FirstStray:
		none := float64(weight * number.Exp(-number.Exp(math.Min(x, 50))))
		chances[0] += none
		chances[1] += weight - none
		return
	}
	less := float64(weight * number.Exp(logPart((f.logMM-x)/scatter)))
	chances[0] += less
	chances[1] += weight - less
}

// Foreseen is the chance of what a fact says, or of something as unlikely, where chances are those
// of Ahead, averaged over laws.
func (r *Run) Foreseen(fact int, chances []float64) (chance float64) {
	f := &r.asked[fact]
	switch {
	case f.Kind == facts.ReachedA:
		return asUnlikely(chances[1], chances[0])
	case f.Kind == facts.ShortOfA:
		return asUnlikely(chances[0], chances[1])
	case f.Kind != facts.Strays: // to both sides
		return math.Min(1, float64(2*math.Min(chances[0], chances[1])))
	case f.Least != f.Most || f.Least > mostCount:
		in, out := 0.0, 0.0
		for n, x := range chances {
			if n >= min(f.Least, mostCount+1) && n <= f.Most {
				in += x
			} else {
				out += x
			}
		}
		return asUnlikely(in, out)
	}
	for _, x := range chances {
		if x <= float64(chances[f.Least]*(1+1e-9)) {
			chance += x
		}
	}
	return math.Min(1, chance)
}

// asUnlikely is the chance of one of two things, or of both where it is the likelier.
func asUnlikely(that, other float64) float64 {
	if that <= other {
		return that
	}
	return math.Min(1, that+other)
}
