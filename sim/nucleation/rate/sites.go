package rate

import (
	"math"

	"onegrain/sim/number"
)

// Sites is the athermal law: DensityPerUnit sites, each starting once, when ΔT first reaches its
// own value; these values are Gaussian with mean MeanUndercoolingK and standard deviation SpreadK
// (Ph. Thévoz, J. L. Desbiolles, M. Rappaz, Metall. Trans. A 20 (1989) 311). A hold adds nothing,
// nor does cooling again to where it was before; a jump to ΔT starts all sites up to there at once.
// The part of the Gaussian at or below 0 K is no site of an undercooled melt and never starts.
type Sites struct{ DensityPerUnit, MeanUndercoolingK, SpreadK float64 }

// Expected is the number of sites between the old and the new highest ΔT; hours do not matter.
func (s Sites) Expected(fromK, toK, _, peakK float64) float64 {
	before, now := math.Max(0, peakK), math.Max(fromK, toK)
	if !(now > before) {
		return 0
	}
	if s.SpreadK <= 0 {
		if before < s.MeanUndercoolingK && s.MeanUndercoolingK <= now {
			return s.DensityPerUnit
		}
		return 0
	}
	return float64(s.DensityPerUnit * gaussian((before-s.MeanUndercoolingK)/s.SpreadK,
		(now-s.MeanUndercoolingK)/s.SpreadK))
}

// Intensity is the density of sites at ΔT times the slope; nothing starts while it does not rise.
func (s Sites) Intensity(undercoolingK, slopeKPerH float64) float64 {
	if !(undercoolingK > 0 && slopeKPerH > 0 && s.SpreadK > 0) {
		return 0
	}
	x := (undercoolingK - s.MeanUndercoolingK) / s.SpreadK
	return float64(float64(slopeKPerH*s.DensityPerUnit)*number.Exp(float64(-0.5*float64(x*x)))) /
		float64(s.SpreadK*math.Sqrt(2*math.Pi))
}

// gaussian is the normal probability between a < b, from the tail on whose side they lie so that
// its digits stay.
func gaussian(a, b float64) float64 {
	a, b = a/math.Sqrt2, b/math.Sqrt2
	switch {
	case b <= 0:
		return float64(0.5 * (number.Erfc(-b) - number.Erfc(-a)))
	case a >= 0:
		return float64(0.5 * (number.Erfc(a) - number.Erfc(b)))
	}
	return float64(0.5 * (number.Erf(b) - number.Erf(a)))
}
