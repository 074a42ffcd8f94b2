package sample

import (
	"fmt"
	"math"
	"slices"

	"onegrain/sim/draw"
	"onegrain/sim/number"
)

// Points stand for a density.
type Points struct {
	X           [][]float64
	Weight      []float64 // sum 1
	LogEvidence float64   // logarithm of the density's integral
	ParetoK     float64   // shape of the weights' tail: below 0.7 they stand for the density
	Effective   float64   // independent draws that they are worth
	Chain       bool      // whether they come from chains, all of one weight
	Mixed       float64   // split R̂ of the chains, the worst of the unknowns; 0 without chains
}

// How many points are made, and when they are good enough.
const (
	rounds     = 6
	mostK      = 0.6
	leastPart  = 0.1 // of the points that they are worth
	trustK     = 0.7 // beyond it a chain is needed
	leastWorth = 100 // independent draws
	freedom    = 5   // degrees of freedom of the proposal
)

// Best is the place where a density is largest.
func Best(f Density, places [][]float64, workers int) []float64 {
	best, most := places[0], math.Inf(-1)
	for i, y := range f.all(places, workers) {
		if y > most {
			best, most = places[i], y
		}
	}
	return best
}

// Climb is the mode to which a density leads from a place.
func Climb(f Density, from []float64, workers int) []float64 { return f.climb(from, workers).at }

// Draw makes n points for a density, around the mode to which it leads from a place. Its random
// numbers are those of the key.
func Draw(f Density, from []float64, n int, key draw.Key, workers int) *Points {
	p := f.settle(f.climb(from, workers).proposal(), n, key, workers)
	if p.ParetoK <= trustK && p.Effective >= leastWorth {
		return p
	}
	return Walk(f, p, key, workers)
}

// Redraw makes n points for a density near that of others. They may be worth little: no chain takes
// their place.
func Redraw(f Density, near *Points, n int, key draw.Key, workers int) *Points {
	most := slices.Index(near.Weight, slices.Max(near.Weight))
	return f.settle(f.climb(near.X[most], workers).proposal(), n, key, workers)
}

// settle makes points around a shape, and then around those points, until they are good enough.
func (f Density) settle(around *shape, n int, key draw.Key, workers int) (p *Points) {
	for round := range rounds {
		p = f.weigh(around, n, key.Stream(fmt.Sprint("points ", round+1)), workers)
		if p.ParetoK <= mostK && p.Effective >= float64(leastPart*float64(n)) {
			break
		}
		around = p.around()
	}
	return p
}

// student is a Student t distribution of a shape.
type student struct {
	*shape
	log float64 // of the density at the middle
}

func (s *shape) student() student {
	n := float64(len(s.middle))
	// Γ((ν+n)/2) / (Γ(ν/2) (νπ)^(n/2)), where Γ(ν/2) = 3√π/4
	return student{s, logGamma((freedom+n)/2) - number.Log(float64(0.75*math.Sqrt(math.Pi))) -
		float64(n/2*number.Log(freedom*math.Pi)) - s.logDet}
}

// draw is a place and the logarithm of the density there.
func (t student) draw(s *draw.Stream) (x []float64, log float64) {
	z := make([]float64, len(t.middle))
	for i := range z {
		z[i] = s.Normal()
	}
	chi := 0.0
	for range freedom {
		y := s.Normal()
		chi += float64(y * y)
	}
	by := math.Sqrt(freedom / chi)
	for i := range z {
		z[i] = float64(z[i] * by)
	}
	return t.at(z), t.logAt(dot(z, z))
}

// logAt is the logarithm of the density where so many half axes, squared, are between a place and
// the middle.
func (t student) logAt(squared float64) float64 {
	return t.log - float64((freedom+float64(len(t.middle)))/2*number.Log(1+squared/freedom))
}

// logGamma is the logarithm of Γ at half of a whole number above 0.
func logGamma(x float64) (log float64) {
	for ; x > 1; x-- {
		log += number.Log(x - 1)
	}
	if x == 0.5 {
		return log + float64(0.5*number.Log(math.Pi))
	}
	return log
}

// weigh draws points around a shape and weighs them.
func (f Density) weigh(around *shape, n int, s *draw.Stream, workers int) *Points {
	t := around.student()
	p := &Points{X: make([][]float64, n)}
	log := make([]float64, n)
	for i := range p.X {
		p.X[i], log[i] = t.draw(s)
	}
	for i, y := range f.all(p.X, workers) {
		log[i] = y - log[i]
	}
	p.Take(log)
	return p
}

// Take smooths the logarithms of weights, which are used up, and makes them those of the points.
func (p *Points) Take(log []float64) {
	p.ParetoK = smooth(log)
	top := math.Inf(-1)
	for _, l := range log {
		top = math.Max(top, l)
	}
	p.Weight = make([]float64, len(log))
	if math.IsInf(top, -1) {
		p.LogEvidence, p.ParetoK = top, math.Inf(1)
		return
	}
	sum := 0.0
	for i, l := range log {
		p.Weight[i] = number.Exp(l - top)
		sum += p.Weight[i]
	}
	squares := 0.0
	for i := range p.Weight {
		p.Weight[i] /= sum
		squares += float64(p.Weight[i] * p.Weight[i])
	}
	p.LogEvidence, p.Effective = top+number.Log(sum/float64(len(log))), 1/squares
}

// around is the shape of the weighed points, its variances a little wider. Where few points have
// all the weight, roots of the weights are taken until more of them count.
func (p *Points) around() *shape {
	weight := slices.Clone(p.Weight)
	for range 6 {
		if 1/dot(weight, weight) >= float64(0.05*float64(len(weight))) {
			break
		}
		sum := 0.0
		for i, w := range weight {
			weight[i] = math.Sqrt(w)
			sum += weight[i]
		}
		for i := range weight {
			weight[i] /= sum
		}
	}
	return around(p.X, weight)
}

// around is the shape of points with weights of sum 1.
func around(points [][]float64, weight []float64) *shape {
	n := len(points[0])
	middle := make([]float64, n)
	for i, x := range points {
		for j := range middle {
			middle[j] += float64(weight[i] * x[j])
		}
	}
	spread := newMatrix(n)
	for i, x := range points {
		for j := range n {
			for k := range n {
				spread[j][k] += float64(weight[i] * float64((x[j]-middle[j])*(x[k]-middle[k])))
			}
		}
	}
	return newShape(middle, spread, func(x float64) (half, log float64) {
		half = math.Sqrt(float64(wider * math.Max(x, 1e-6)))
		return half, number.Log(half)
	})
}
