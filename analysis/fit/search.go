package fit

import "math"

// crossing is where f, which is least at x0, has risen by `rise`, going from x0 in steps of the
// sign and size of `step`, but not beyond `end`; ok is false if it does not rise so far. Solved in
// the root of the rise, which is a straight line where f is a parabola: then the first
// interpolation is the answer. Illinois' rule (M. Dowell & P. Jarratt, BIT 11 (1971) 168) with
// halvings keeps the bracket.
func crossing(f func(float64) float64, x0, step, end, rise float64) (x float64, ok bool) {
	least := f(x0)
	above := func(x float64) float64 { return math.Sqrt(max(0, f(x)-least)) - math.Sqrt(rise) }
	a, fa := x0, -math.Sqrt(rise)
	b := x0 + step
	for n := 0; ; n++ {
		if step > 0 && b >= end || step < 0 && b <= end {
			b = end
		}
		fb := above(b)
		if fb >= 0 {
			return between(above, a, fa, b, fb), true
		}
		if b == end || n > 200 {
			return end, false
		}
		a, fa, b = b, fb, b+step
		step *= 1.6
	}
}

// ends are where f has risen on both sides of x0; NaN where it does not before low or high.
func ends(f func(float64) float64, x0, step, low, high, rise float64) (a, b float64) {
	a, under := crossing(f, x0, -step, low, rise)
	b, over := crossing(f, x0, step, high, rise)
	if !under {
		a = math.NaN()
	}
	if !over {
		b = math.NaN()
	}
	return a, b
}

// between finds the zero of f between a, where it is fa < 0, and b, where it is fb ≥ 0.
func between(f func(float64) float64, a, fa, b, fb float64) float64 {
	side := 0
	for n := 1; n < 100 && math.Abs(b-a) > 1e-10*(math.Abs(a)+math.Abs(b)); n++ {
		x := b - fb*((b-a)/(fb-fa))
		if n%4 == 0 || math.IsNaN(x) || math.IsInf(fb, 0) {
			x = 0.5 * (a + b)
		}
		y := f(x)
		switch {
		case math.Abs(y) < 1e-7:
			return x
		case y < 0:
			if a, fa = x, y; side < 0 {
				fb *= 0.5
			}
			side = -1
		default:
			if b, fb = x, y; side > 0 {
				fa *= 0.5
			}
			side = 1
		}
	}
	return 0.5 * (a + b)
}

// golden is (3 − √5)/2.
const golden = 0.3819660112501051

// lowest is where f is least in [a, b], for an f with one valley there: golden sections with
// parabolas (R. P. Brent, Algorithms for Minimization without Derivatives (1973), ch. 5), which
// gonum/optimize has for no single unknown. The search begins at x.
func lowest(f func(float64) float64, a, x, b, tolerance float64) (float64, float64) {
	fx := f(x)
	w, v, fw, fv := x, x, fx, fx
	var d, e float64 // last step, and the one before
	for range 100 {
		mid := 0.5 * (a + b)
		if math.Abs(x-mid) <= 2*tolerance-0.5*(b-a) {
			break
		}
		step := parabola(x, w, v, fx, fw, fv)
		if math.Abs(step) < 0.5*math.Abs(e) && x+step > a+tolerance && x+step < b-tolerance {
			d, e = step, d
		} else {
			if e = b - x; x >= mid {
				e = a - x
			}
			d = golden * e
		}
		u := x + math.Copysign(max(math.Abs(d), tolerance), d)
		fu := f(u)
		worse, better := u, fu <= fx
		if better {
			worse = x
		}
		if better == (u >= x) {
			a = worse
		} else {
			b = worse
		}
		switch {
		case better:
			v, w, x, fv, fw, fx = w, x, u, fw, fx, fu
		case fu <= fw || w == x:
			v, w, fv, fw = w, u, fw, fu
		case fu <= fv || v == x || v == w:
			v, fv = u, fu
		}
	}
	return x, fx
}

// parabola is the step from x to the lowest point of the parabola through three points; NaN where
// it has none.
func parabola(x, w, v, fx, fw, fv float64) float64 {
	r, q := (x-w)*(fx-fv), (x-v)*(fx-fw)
	p := (x-v)*q - (x-w)*r
	q = 2 * (q - r)
	if q == 0 || math.IsInf(p/q, 0) {
		return math.NaN()
	}
	return -p / q
}

// valley is the lowest point of f on [0, end]: first on a grid that gets wider with x, then between
// the neighbours of its best point.
func valley(f func(float64) float64, end float64) (x, fx float64) {
	const points = 20
	at := func(i int) float64 { return end * math.Pow(float64(i)/points, 2) }
	best, least := 0, math.Inf(1)
	for i := 0; i <= points; i++ {
		if y := f(at(i)); y < least {
			best, least = i, y
		}
	}
	a, b := at(max(0, best-1)), at(min(points, best+1))
	x, fx = lowest(f, a, a+golden*(b-a), b, 1e-7*(b-a))
	if fx > least {
		return at(best), least
	}
	return x, fx
}
