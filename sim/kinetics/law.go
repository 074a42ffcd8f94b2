// Package kinetics holds the growth laws of the crystal's faces and the lengths they give under a
// changing temperature.
//
//  1. A Law is the growth rate of a face at a given undercooling, and the integral of that rate
//     over undercooling.
//  2. On a linear piece of the furnace programme dt = dΔT/slope, so the grown length is a
//     difference of two integrals over the slope: no time steps (Length). Each law also knows its
//     mean rate between two undercoolings, which stays exact when the slope goes to zero and the
//     difference of integrals would lose its digits.
//  3. Time inverts that: how long until a face has advanced a given length.
//
// That an isothermal law integrated along a ramp gives the sizes of continuous cooling was found
// for Y-123 (believed A. Endo et al., J. Mater. Res. 11 (1996) 1114). Units: K, mm, h.
package kinetics

import "math"

// Law is the growth rate of one kind of face. Both methods are 0 at and below 0 K and never
// negative.
type Law interface {
	// Rate is the growth rate in mm/h at an undercooling in K.
	Rate(undercoolingK float64) float64
	// Integral is ∫ Rate dΔT from 0 to the undercooling, in mm K/h.
	Integral(undercoolingK float64) float64
}

// averager is a law that knows its mean rate between two undercoolings > 0 without cancellation.
type averager interface {
	mean(lowK, highK float64) float64
}

// Length is how far (mm) a face grows while ΔT goes linearly from `from` to `to` (K) in `hours`.
// Parts of the way at or below 0 K count nothing. 0 for hours ≤ 0.
func Length(l Law, from, to, hours float64) float64 {
	if !(hours > 0) {
		return 0
	}
	low, high := math.Min(from, to), math.Max(from, to)
	switch {
	case high <= 0:
		return 0
	case low < 0:
		hours = float64(hours * (high / (high - low)))
		low = 0
	}
	return float64(mean(l, low, high) * hours)
}

// mean is the average rate over 0 ≤ low ≤ high.
func mean(l Law, low, high float64) float64 {
	if low == high {
		return l.Rate(low)
	}
	if a, ok := l.(averager); ok {
		return a.mean(low, high)
	}
	if high-low > float64(1e-6*high) {
		return (l.Integral(high) - l.Integral(low)) / (high - low)
	}
	return smoothMean(l, low, high)
}

// smoothMean is Simpson's rule, for spans so short that the integrals would cancel.
func smoothMean(l Law, low, high float64) float64 {
	return (l.Rate(low) + float64(4*l.Rate(float64(0.5*(low+high)))) + l.Rate(high)) / 6
}
