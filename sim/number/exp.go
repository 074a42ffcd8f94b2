package number

import "math"

const (
	ln2Hi = 6.93147180369123816490e-01 // upper 33 bits of ln 2: k·ln2Hi is exact for |k| < 2^20
	ln2Lo = 1.90821492927058770002e-10
	log2e = 1.44269504088896338700e+00

	overflow  = 7.09782712893383973096e+02
	underflow = -7.45133219101941108420e+02
)

// Exp is e^x; +Inf above 709.78, 0 below −745.13, NaN for NaN.
func Exp(x float64) float64 { return expSum(x, 0) }

// expSum is e^(x+tail) for a tail below the last place of x.
func expSum(x, tail float64) float64 {
	switch {
	case x != x:
		return x
	case x > overflow:
		return math.Inf(1)
	case x < underflow:
		return 0
	}
	k := math.Floor(mad(log2e, x, 0.5))
	hi := x - float64(k*ln2Hi)
	lo := float64(k*ln2Lo) - tail
	return scale(expReduced(hi, lo), int(k))
}

// expReduced is e^(hi−lo) for |hi−lo| ≤ ½ ln 2 (msun e_exp.c).
func expReduced(hi, lo float64) float64 {
	r := hi - lo
	t := float64(r * r)
	c := r - float64(t*poly(t, 4.13813679705723846039e-08, -1.65339022054652515390e-06,
		6.61375632143793436117e-05, -2.77777777770155933842e-03, 1.66666666666666657415e-01))
	return 1 - ((lo - float64(r*c)/(2-c)) - hi)
}

// scale is y·2^k for 0.5 < y < 2, in two steps where the result is subnormal so that it is rounded
// once.
func scale(y float64, k int) float64 {
	switch {
	case k > 1023:
		return float64(float64(y*2) * power2(k-1))
	case k < -1021:
		return float64(float64(y*power2(k+64)) * power2(-64))
	}
	return float64(y * power2(k))
}

// power2 is 2^k for −1022 ≤ k ≤ 1023.
func power2(k int) float64 { return math.Float64frombits(uint64(k+1023) << 52) }
