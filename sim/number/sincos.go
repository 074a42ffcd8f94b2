package number

import "math"

// Sincos is the sine and cosine of x radians. The reduction is exact up to |x| = 10⁶; beyond that
// the argument is first taken modulo 2π, which leaves an absolute error of about 4e-17·|x|. NaN for
// infinities.
func Sincos(x float64) (sin, cos float64) {
	const (
		twoOverPi = 6.36619772367581382433e-01
		pio2a     = 1.57079632673412561417e+00 // first 33 bits of π/2
		pio2b     = 6.07710050630396597660e-11 // next 33 bits
		pio2c     = 2.02226624879595063154e-21 // the rest
	)
	if x != x || math.Abs(x) > math.MaxFloat64 {
		return math.NaN(), math.NaN()
	}
	if math.Abs(x) > 1e6 {
		x = math.Mod(x, 2*math.Pi)
	}
	k := math.Floor(mad(x, twoOverPi, 0.5))
	a := x - float64(k*pio2a)
	b := float64(k * pio2b)
	r := a - b
	tail := ((a - r) - b) - float64(k*pio2c)
	y := r + tail
	return quadrant(int(k), y, tail-(y-r))
}

// quadrant turns the sine and cosine of the reduced angle by k quarter turns.
func quadrant(k int, y, tail float64) (sin, cos float64) {
	s, c := sinReduced(y, tail), cosReduced(y, tail)
	switch k & 3 {
	case 1:
		return c, -s
	case 2:
		return -s, -c
	case 3:
		return -c, s
	}
	return s, c
}

// sinReduced is sin(x+tail) for |x| ≤ π/4 (msun k_sin.c).
func sinReduced(x, tail float64) float64 {
	z := float64(x * x)
	v := float64(z * x)
	r := poly(z, 1.58969099521155010221e-10, -2.50507602534068634195e-08, 2.75573137070700676789e-06,
		-1.98412698298579493134e-04, 8.33333333332248946124e-03)
	return x - ((float64(z*(float64(0.5*tail)-float64(v*r))) - tail) - float64(v*-1.66666666666666324348e-01))
}

// cosReduced is cos(x+tail) for |x| ≤ π/4 (msun k_cos.c).
func cosReduced(x, tail float64) float64 {
	z := float64(x * x)
	r := float64(z * poly(z, -1.13596475577881948265e-11, 2.08757232129817482790e-09, -2.75573143513906633035e-07,
		2.48015872894767294178e-05, -1.38888888888741095749e-03, 4.16666666666666019037e-02))
	half := float64(0.5 * z)
	w := 1 - half
	return w + (((1 - w) - half) + (float64(z*r) - float64(x*tail)))
}
