package rate

import (
	"math"

	"onegrain/sim/number"
)

// Barrier is the classical law of thermally activated nucleation, I = PrefactorPerUnitH ·
// exp(−BarrierK3 / (T ΔT²)) per unit and hour, with T = PeritecticK − ΔT in kelvin (J. W.
// Christian, The Theory of Transformations in Metals and Alloys, ch. 10: the work of forming a
// nucleus goes as γ³/Δg², the driving force Δg as ΔT).
type Barrier struct{ PrefactorPerUnitH, BarrierK3, PeritecticK float64 }

// hopeless is the natural logarithm of a rate, per unit and hour, that counts as none: 1e-30, an
// event in 1e22 years of a large furnace.
const hopeless = -69

// Expected is the integral of the rate; what was before does not matter.
func (b Barrier) Expected(fromK, toK, hours, _ float64) float64 {
	low, high, hours, ok := undercooled(fromK, toK, hours, 0)
	if !ok || hours <= 0 {
		return 0
	}
	if low == high {
		return float64(float64(hours*b.PrefactorPerUnitH) * b.chance(high))
	}
	return float64(float64(hours*b.PrefactorPerUnitH) * (b.area(low, high) / (high - low)))
}

// Intensity is the rate itself, whatever the slope.
func (b Barrier) Intensity(undercoolingK, _ float64) float64 {
	if !(undercoolingK > 0) {
		return 0
	}
	return float64(b.PrefactorPerUnitH * b.chance(undercoolingK))
}

// chance is exp(−BarrierK3/(T ΔT²)).
func (b Barrier) chance(u float64) float64 { return number.Exp(-b.exponent(u)) }

func (b Barrier) exponent(u float64) float64 {
	t := math.Max(1, b.PeritecticK-u) // kelvin; no furnace gets near 0 K, but the law stays finite
	return b.BarrierK3 / float64(float64(u*u)*t)
}

// area is ∫ chance dΔT from low to high. From the top downwards it is cut into pieces over which
// the exponent changes by at most 6 and ΔT by at most a third: eight-point Gauss quadrature is then
// good to 1e-10 (its error for e^(cx) on [−1, 1] is 2.2e-18 c^16, here c ≤ 3). Pieces 40 or more
// below the top exponent no longer count (e⁻⁴⁰ = 4e-18), nor hopeless ones.
func (b Barrier) area(low, high float64) float64 {
	last := math.Min(b.exponent(high)+40, number.Log(b.PrefactorPerUnitH)-hopeless)
	total := 0.0
	for u := high; u > low; {
		g := b.exponent(u)
		if !(g < last) {
			break
		}
		next := math.Max(low, u/math.Min(1.5, math.Sqrt(1+6/g)))
		total += float64((u - next) * number.Mean(b.chance, next, u))
		u = next
	}
	return total
}
