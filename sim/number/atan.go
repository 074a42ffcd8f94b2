package number

import "math"

// Atan2 is the angle of the point (x, y) from the x axis in radians, in [−π, π]; 0 at the origin,
// NaN for NaN. Only the angles of real vectors are of use here, so infinities give NaN.
func Atan2(y, x float64) float64 {
	switch {
	case x != x || y != y || math.Abs(x) > math.MaxFloat64 || math.Abs(y) > math.MaxFloat64:
		return math.NaN()
	case x == 0 && y == 0:
		return 0
	}
	a := atanRatio(math.Abs(y), math.Abs(x))
	if x < 0 {
		a = math.Pi - a
	}
	if y < 0 {
		return -a
	}
	return a
}

// atanRatio is atan(y/x) for y, x ≥ 0 and not both 0, by the three ranges of Cephes atan.c.
func atanRatio(y, x float64) float64 {
	const lost = 6.123233995736765886130e-17 // π/2 − float64(π/2)
	const tan3Pi8 = 2.41421356237309504880
	switch {
	case y <= float64(0.66*x):
		return atanReduced(y / x)
	case y > float64(tan3Pi8*x):
		return math.Pi/2 - (atanReduced(x/y) - lost)
	}
	return math.Pi/4 + (atanReduced((y-x)/(y+x)) + 0.5*lost)
}

// atanReduced is atan x for |x| ≤ 0.66.
func atanReduced(x float64) float64 {
	z := float64(x * x)
	p := poly(z, -8.750608600031904122785e-01, -1.615753718733365076637e+01, -7.500855792314704667340e+01,
		-1.228866684490136173410e+02, -6.485021904942025371773e+01)
	q := poly(z, 1, 2.485846490142306297962e+01, 1.650270098316988542046e+02, 4.328810604912902668951e+02,
		4.853903996359136964868e+02, 1.945506571482613964425e+02)
	return mad(x, float64(z*p)/q, x)
}
