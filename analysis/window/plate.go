package window

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"onegrain/analysis/tally"
)

const (
	plateLeast = 8   // points for a surface
	plateMost  = 800 // more are thinned out: the work goes with their cube
)

// plate is a thin-plate spline of log Λ (J. Duchon, Lect. Notes Math. 571 (1977) 85) over coordinates from 0 to 1.
type plate struct {
	at3    []float64 // plane: 1, u, v
	where  [][2]float64
	weight []float64
	error  float64 // of log Λ: that of 95 % of the points when each is left out
}

func newPlate(v *view) *plate {
	var where [][2]float64
	var height []float64
	for _, p := range v.points {
		if l := p.level(); !math.IsNaN(l) {
			where, height = append(where, v.unit(float64(p.X), float64(p.Y))), append(height, l)
		}
	}
	if len(where) < plateLeast {
		return nil
	}
	for step := (len(where) + plateMost - 1) / plateMost; step > 1; step = 0 {
		where, height = thinned(where, height, step)
	}
	n := len(where)
	a := mat.NewDense(n+3, n+3, nil)
	b := mat.NewVecDense(n+3, nil)
	for i, p := range where {
		for j, q := range where {
			a.Set(i, j, bend(math.Hypot(p[0]-q[0], p[1]-q[1])))
		}
		for k, t := range [3]float64{1, p[0], p[1]} {
			a.Set(i, n+k, t)
			a.Set(n+k, i, t)
		}
		b.SetVec(i, height[i])
	}
	var inverse mat.Dense
	if err := inverse.Inverse(a); err != nil { // points on one line, or two at one place
		return nil
	}
	var c mat.VecDense
	c.MulVec(&inverse, b)
	pl := &plate{where: where}
	var off []float64
	for i := range where {
		pl.weight = append(pl.weight, c.AtVec(i))
		off = append(off, math.Abs(c.AtVec(i)/inverse.At(i, i))) // S. Rippa, Adv. Comput. Math. 11 (1999) 193
	}
	for k := range 3 {
		pl.at3 = append(pl.at3, c.AtVec(n+k))
	}
	slices.Sort(off)
	pl.error = tally.Quantile(off, 0.95)
	return pl
}

func thinned(where [][2]float64, height []float64, step int) (w [][2]float64, h []float64) {
	pick := tally.Stream("plate").Perm(len(where))[:len(where)/step]
	slices.Sort(pick)
	for _, i := range pick {
		w, h = append(w, where[i]), append(h, height[i])
	}
	return w, h
}

func bend(r float64) float64 {
	if r == 0 {
		return 0
	}
	return r * r * math.Log(r)
}

func (pl *plate) at(u [2]float64) float64 {
	h := pl.at3[0] + pl.at3[1]*u[0] + pl.at3[2]*u[1]
	for i, p := range pl.where {
		h += pl.weight[i] * bend(math.Hypot(u[0]-p[0], u[1]-p[1]))
	}
	return h
}

// hull is the convex outline of the points, anticlockwise.
type hull [][2]float64

// newHull is A. M. Andrew's (Inf. Process. Lett. 9 (1979) 216).
func newHull(v *view) hull {
	var all [][2]float64
	for _, p := range v.points {
		all = append(all, v.unit(float64(p.X), float64(p.Y)))
	}
	slices.SortFunc(all, func(a, b [2]float64) int { return slices.Compare(a[:], b[:]) })
	half := func() (out hull) {
		for _, p := range all {
			for len(out) > 1 && turn(out[len(out)-2], out[len(out)-1], p) <= 0 {
				out = out[:len(out)-1]
			}
			out = append(out, p)
		}
		return out[:len(out)-1]
	}
	lower := half()
	slices.Reverse(all)
	return append(lower, half()...)
}

func turn(a, b, c [2]float64) float64 { return (b[0]-a[0])*(c[1]-a[1]) - (b[1]-a[1])*(c[0]-a[0]) }

func (h hull) holds(p [2]float64) bool {
	for i, a := range h {
		if turn(a, h[(i+1)%len(h)], p) < -1e-12 {
			return false
		}
	}
	return true
}
