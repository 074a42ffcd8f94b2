// Package rate says how readily the melt or a surface nucleates: the expected number of events
// along a straight piece of the furnace programme, by a barrier, by sites of their own
// undercoolings, or by a measured table.
//
// Each law integrates itself, exactly or to rounding, so whoever adds it up needs no time step.
// Units: K, h, per mm³ or mm².
package rate

// Law is how readily the melt (per mm³) or a surface (per mm²) nucleates.
type Law interface {
	// Expected is the mean number of events per unit while ΔT goes linearly from fromK to toK in hours
	// (0 at a jump) and has never been above peakK before. Never negative; parts at ΔT ≤ 0 count
	// nothing.
	Expected(fromK, toK, hours, peakK float64) float64
	// Intensity is the number of events per unit and hour at a moment at which ΔT is as high as ever
	// and changes by slopeKPerH.
	Intensity(undercoolingK, slopeKPerH float64) float64
}

// undercooled cuts a straight piece down to the part with ΔT > floor ≥ 0; ok is false if there is
// none.
func undercooled(from, to, hours, floor float64) (low, high, span float64, ok bool) {
	low, high = min(from, to), max(from, to)
	if !(high > floor) {
		return 0, 0, 0, false
	}
	if low < floor {
		hours = float64(hours * ((high - floor) / (high - low)))
		low = floor
	}
	return low, high, hours, true
}
