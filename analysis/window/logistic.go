package window

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// fit is a logistic regression: the log odds of a single grain as a line, or a parabola, of the scaled axes.
type fit struct {
	x, y   *Axis
	middle [2]float64
	half   [2]float64
	curved bool
	beta   []float64
	cov    *mat.SymDense
	score  float64 // log likelihood with Firth's penalty
}

// regression fits the counts of the points; nil where they are too few for it. A parabola is taken where it fits better beyond chance
// (likelihood ratio, 1 %) and there are three cases for each of its terms.
func regression(points []Point, x, y *Axis) *fit {
	var some []Point
	for _, p := range points {
		if p.Runs > 0 {
			some = append(some, p)
		}
	}
	straight := &fit{x: x, y: y}
	straight.frame(some)
	curved := *straight
	curved.curved = true
	if len(some) <= straight.terms() || !straight.solve(some) {
		return nil
	}
	if len(some) < 3*curved.terms() || !curved.solve(some) {
		return straight
	}
	more := float64(curved.terms() - straight.terms())
	if (distuv.ChiSquared{K: more}).Survival(2*(curved.likelihood(some)-straight.likelihood(some))) < 0.01 {
		return &curved
	}
	return straight
}

func (f *fit) terms() int {
	switch {
	case f.y == nil && f.curved:
		return 3
	case f.y == nil:
		return 2
	case f.curved:
		return 6
	}
	return 3
}

// frame notes the range of the points, so that terms run from −1 to 1.
func (f *fit) frame(points []Point) {
	for k, a := range []*Axis{f.x, f.y} {
		f.half[k] = 1
		if a == nil || len(points) == 0 {
			continue
		}
		low, high := math.Inf(1), math.Inf(-1)
		for _, p := range points {
			u := a.scaled([]float64{float64(p.X), float64(p.Y)}[k])
			low, high = min(low, u), max(high, u)
		}
		f.middle[k] = (low + high) / 2
		if high > low {
			f.half[k] = (high - low) / 2
		}
	}
}

// row is the row of the terms at a place.
func (f *fit) row(x, y float64) []float64 {
	u := (f.x.scaled(x) - f.middle[0]) / f.half[0]
	if f.y == nil {
		return []float64{1, u, u * u}[:f.terms()]
	}
	w := (f.y.scaled(y) - f.middle[1]) / f.half[1]
	return []float64{1, u, w, u * u, u * w, w * w}[:f.terms()]
}

// line is the log odds at a place and its standard error.
func (f *fit) line(x, y float64) (eta, se float64) {
	r := f.row(x, y)
	square := 0.0
	for i := range r {
		for j := range r {
			square += r[i] * f.cov.At(i, j) * r[j]
		}
	}
	return dot(r, f.beta), math.Sqrt(square)
}

// solve finds the coefficients with D. Firth's penalty (Biometrika 80 (1993) 27), which keeps them finite where the counts part cleanly
// and takes their first-order bias away; false where the terms cannot be told apart.
func (f *fit) solve(points []Point) bool {
	k := f.terms()
	f.beta = make([]float64, k)
	if !f.weigh(points) {
		return false
	}
	for range 100 {
		step := mat.NewVecDense(k, nil)
		step.MulVec(f.cov, f.gradient(points))
		old, before := append([]float64{}, f.beta...), f.score
		size := mat.Norm(step, math.Inf(1))
		scale := math.Min(1, 5/math.Max(size, 1e-300)) // no jump into the flat parts
		for try := 0; ; try++ {
			for i := range f.beta {
				f.beta[i] = old[i] + scale*step.AtVec(i)
			}
			if f.weigh(points) && f.score >= before-1e-12 {
				break
			}
			if try == 30 {
				f.beta = old
				return f.weigh(points)
			}
			scale /= 2
		}
		if size*scale < 1e-9 {
			break
		}
	}
	return true
}

// weigh makes covariance and score anew for the coefficients; false where the information is singular.
func (f *fit) weigh(points []Point) bool {
	k := f.terms()
	info := mat.NewSymDense(k, nil)
	for _, p := range points {
		r := f.row(float64(p.X), float64(p.Y))
		pi := expit(dot(r, f.beta))
		info.SymRankOne(info, float64(p.Runs)*pi*(1-pi), mat.NewVecDense(k, r))
	}
	var c mat.Cholesky
	if !c.Factorize(info) || c.Cond() > 1e12 {
		return false
	}
	f.cov = mat.NewSymDense(k, nil)
	if c.InverseTo(f.cov) != nil {
		return false
	}
	f.score = f.likelihood(points) + c.LogDet()/2
	return true
}

// gradient of the score.
func (f *fit) gradient(points []Point) *mat.VecDense {
	g := mat.NewVecDense(f.terms(), nil)
	for _, p := range points {
		r := mat.NewVecDense(f.terms(), f.row(float64(p.X), float64(p.Y)))
		pi, n := expit(dot(r.RawVector().Data, f.beta)), float64(p.Runs)
		hat := n * pi * (1 - pi) * mat.Inner(r, f.cov, r)
		g.AddScaledVec(g, float64(p.Hits)-n*pi+hat*(0.5-pi), r)
	}
	return g
}

func (f *fit) likelihood(points []Point) (l float64) {
	for _, p := range points {
		eta := dot(f.row(float64(p.X), float64(p.Y)), f.beta)
		hits, misses := float64(p.Hits), float64(p.Runs-p.Hits)
		l -= hits*softplus(-eta) + misses*softplus(eta)
	}
	return l
}

func expit(eta float64) float64 { return 1 / (1 + math.Exp(-eta)) }

// softplus is log(1 + exp x).
func softplus(x float64) float64 {
	if x > 0 {
		return x + math.Log1p(math.Exp(-x))
	}
	return math.Log1p(math.Exp(x))
}

func dot(a, b []float64) (s float64) {
	for i := range a {
		s += a[i] * b[i]
	}
	return s
}
