package magnet

import (
	"fmt"
	"math"
)

// Law is how much of the critical current of a grain passes a boundary: all of it up to a threshold
// angle, exponentially less above. H. Hilgenkamp and J. Mannhart, Rev. Mod. Phys. 74 (2002) 485.
type Law struct {
	ThresholdDeg float64 // disorientation up to which all passes, degrees, ≥ 0
	DecayDeg     float64 // further degrees that divide the current by e, > 0
}

// Published is the law with values in use for [001] tilt boundaries of YBCO at 77 K: threshold 2 to
// 4°, often 3°, and decay 3 to 6°, often 5.3° (Hilgenkamp and Mannhart 2002 and later fits; both
// quoted from memory, so between these bounds).
func Published() Law { return Law{ThresholdDeg: 3, DecayDeg: 5.3} }

// Share is the share of the critical current that passes a boundary of this disorientation in
// degrees, 0 to 1. A disorientation that is not known (NaN) passes nothing.
func (l Law) Share(disorientationDeg float64) float64 {
	switch {
	case math.IsNaN(disorientationDeg):
		return 0
	case disorientationDeg <= l.ThresholdDeg:
		return 1
	}
	return math.Exp(-(disorientationDeg - l.ThresholdDeg) / l.DecayDeg)
}

// Check tells what is wrong with the constants.
func (l Law) Check() error {
	if !(l.ThresholdDeg >= 0) || math.IsInf(l.ThresholdDeg, 1) {
		return fmt.Errorf("magnet: ThresholdDeg = %v: wanted an angle of 0° or more", l.ThresholdDeg)
	}
	if !(l.DecayDeg > 0) || math.IsInf(l.DecayDeg, 1) {
		return fmt.Errorf("magnet: DecayDeg = %v: wanted an angle above 0°", l.DecayDeg)
	}
	return nil
}
