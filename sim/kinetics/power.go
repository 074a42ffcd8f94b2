package kinetics

import "onegrain/sim/number"

// Power is the law R = RateAt10K · (ΔT / 10 K)^Exponent in mm/h, for RateAt10K ≥ 0 and Exponent >
// 0. For Y-123 in air exponents of 1.9 (a) and 1.3 (c) are published (believed A. Endo et al., J.
// Mater. Res. 11 (1996) 1114).
type Power struct{ RateAt10K, Exponent float64 }

// Rate is in mm/h at an undercooling in K.
func (p Power) Rate(undercoolingK float64) float64 {
	if !(undercoolingK > 0) {
		return 0
	}
	return float64(p.RateAt10K * number.Pow(undercoolingK/10, p.Exponent))
}

// Integral is Rate · ΔT / (Exponent + 1), in mm K/h.
func (p Power) Integral(undercoolingK float64) float64 {
	return float64(p.Rate(undercoolingK)*undercoolingK) / (p.Exponent + 1)
}

// mean is the difference quotient of the integrals, or over short spans eight-point Gauss
// quadrature, whose error falls as (span/ΔT)^16 (with a ratio of 0.1 below the rounding).
func (p Power) mean(low, high float64) float64 {
	span := high - low
	if span > float64(0.1*high) {
		return (p.Integral(high) - p.Integral(low)) / span
	}
	return number.Mean(p.Rate, low, high)
}

// guess is the undercooling at which the integral has the given value: (1+n) I / R10 = 10 u^(n+1)
// with u = ΔT/10; RateAt10K > 0.
func (p Power) guess(integral float64) float64 {
	return float64(10 * number.Pow(float64(integral*(p.Exponent+1))/float64(10*p.RateAt10K), 1/(p.Exponent+1)))
}
