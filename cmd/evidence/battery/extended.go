package battery

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
)

// extended is the kinetics of aligned boxes that start at random: what is solid after an hour, and
// how many grains there are.
//
// A point is liquid at t if no nucleus (y, s) lies in its time cone, |y_i − x_i| ≤ L_i(t) − L_i(s)
// for each axis. Boxes under one programme that are aligned never shadow one another, also when
// R_a/R_c changes: a nucleus born inside a grain stays inside it. So the liquid fraction is
// exp(−Xe) with Xe the nuclei expected in the cone (Kolmogorov 1937, Johnson & Mehl 1939, Avrami
// 1939; time cone and bodies with walls: Cahn 1996), and real nuclei form at the rate I exp(−Xe)
// (Møller 1992).
type extended struct {
	law   nuclei
	axes  []growthLaw // of the box along each axis
	size  []float64   // of the body along each axis, mm
	walls bool        // else opposite faces are joined
	p     programme
}

const cone = 8 // parts of a programme's piece for time integrals, eight points each

// cut are the moments until an hour with what each axis grows from then on.
func (e extended) cut(t float64) (m []moment, left [][]float64) {
	m = moments(e.p, t, cone)
	left = make([][]float64, len(e.axes))
	for i, l := range e.axes {
		k := e.p.knots()
		whole := along(l, k, t)
		for _, x := range m {
			left[i] = append(left[i], whole-along(l, k, x.t))
		}
	}
	return m, left
}

// liquid is the mean liquid fraction after an hour.
func (e extended) liquid(t float64) float64 {
	m, left := e.cut(t)
	rate := make([]float64, len(m))
	for j, x := range m {
		rate[j] = x.weight * e.law.rate(x.u, x.slope)
	}
	if !e.walls {
		for i := range e.axes {
			for j := range rate {
				rate[j] *= math.Min(2*left[i][j], e.size[i])
			}
		}
		xe := 0.0
		for _, r := range rate {
			xe += r
		}
		return math.Exp(-xe)
	}
	return e.walled(0, rate, left)
}

// walled is the mean over places along the remaining axes: by symmetry over half of each. A cone
// reaches min(x+L, W) − max(x−L, 0).
func (e extended) walled(axis int, rate []float64, left [][]float64) float64 {
	if axis == len(e.axes) {
		xe := 0.0
		for _, r := range rate {
			xe += r
		}
		return math.Exp(-xe)
	}
	places := map[int]int{1: 200, 2: 64, 3: 12}[len(e.axes)] // good to 1e-4 of what is solid
	w := e.size[axis]
	x, weight := make([]float64, places), make([]float64, places)
	quad.Legendre{}.FixedLocations(x, weight, 0, w/2)
	sum, part := 0.0, make([]float64, len(rate))
	for k := range x {
		for j, l := range left[axis] {
			part[j] = rate[j] * (math.Min(x[k]+l, w) - math.Max(x[k]-l, 0))
		}
		sum += weight[k] / (w / 2) * e.walled(axis+1, part, left)
	}
	return sum
}

// number of grains expected until an hour.
func (e extended) number(t float64) float64 {
	n := 1.0
	for _, w := range e.size {
		n *= w
	}
	sum := 0.0
	for _, m := range moments(e.p, t, 3) {
		if rate := e.law.rate(m.u, m.slope); rate > 0 {
			sum += m.weight * rate * e.liquid(m.t)
		}
	}
	return n * sum
}
