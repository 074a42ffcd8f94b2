package number

import "math"

// Log is the natural logarithm; −Inf at 0, NaN below (msun e_log.c).
func Log(x float64) float64 {
	switch {
	case x != x || x > math.MaxFloat64:
		return x
	case x < 0:
		return math.NaN()
	case x == 0:
		return math.Inf(-1)
	}
	m, k := split(x)
	f := m - 1
	s := f / (2 + f)
	z := float64(s * s)
	w := float64(z * z)
	odd := float64(z * poly(w, 1.479819860510658591e-01, 1.818357216161805012e-01,
		2.857142874366239149e-01, 6.666666666666735130e-01))
	even := float64(w * poly(w, 1.531383769920937332e-01, 2.222219843214978396e-01, 3.999999999940941908e-01))
	half := float64(float64(0.5*f) * f)
	return float64(k*ln2Hi) - ((half - (float64(s*(half+(odd+even))) + float64(k*ln2Lo))) - f)
}

// split writes a positive finite x as m·2^k with √½ ≤ m < √2.
func split(x float64) (m, k float64) {
	shift := 0
	if x < 0x1p-1022 { // subnormal
		x *= 0x1p54
		shift = -54
	}
	bits := math.Float64bits(x)
	e := int(bits>>52) - 1023 + shift
	m = math.Float64frombits(bits&(1<<52-1) | 1023<<52)
	if m >= math.Sqrt2 {
		m *= 0.5
		e++
	}
	return m, float64(e)
}

// logSum is log x of a positive finite x as an unevaluated sum, good to about 2^-66 of its value.
// With s = f/(2+f), log(1+f) = 2s + ⅔s³ + s·(2/5 s⁴ + …): the first two terms are kept in
// double-double.
func logSum(x float64) (hi, lo float64) {
	const (
		thirdHi = 2.0 / 3 // rounded up by the lost tail
		thirdLo = 2.0/3 - 0x1.5555555555555p-1
	)
	m, k := split(x)
	f := m - 1
	sh, sl := quotient(f)
	zh, zl := product(sh, sh)
	zl += float64(2 * float64(sh*sl))
	w := float64(zh * zh)
	series := poly(w, 2.0/21, mad(zh, 2.0/19, 2.0/17), mad(zh, 2.0/15, 2.0/13), mad(zh, 2.0/11, 2.0/9),
		mad(zh, 2.0/7, 2.0/5))
	rest := float64(float64(w*series) * sh)
	ch, cl := product(sh, zh) // s³
	cl += float64(sh*zl) + float64(sl*zh)
	th, tl := product(ch, thirdHi)
	tl += float64(ch*thirdLo) + float64(cl*thirdHi)
	// k ln2 (exact upper part), 2s, ⅔s³ and the rest, largest first
	hi, lo = sum(2*sh, th)
	lo += float64(2*sl) + (tl + rest)
	if k != 0 {
		var e float64
		hi, e = sum(float64(k*ln2Hi), hi)
		lo = (lo + e) + float64(k*ln2Lo)
	}
	return sum(hi, lo)
}

// quotient is f/(2+f) as an unevaluated sum.
func quotient(f float64) (hi, lo float64) {
	dh, dl := sum(2, f)
	hi = f / dh
	ph, pl := product(hi, dh)
	return hi, (((f - ph) - pl) - float64(hi*dl)) / dh
}
