// Package liquid asks the engine about stages of furnace runs that were made.
//
//  1. [GrownMM] is how far faces grow in a stage, and [Strays] how many strays a law expects, by
//     the laws with which a study is simulated.
//  2. A [Body] is that of a study. Its seeds grow along the stages of a run, without strays, and so
//     say what was liquid at every moment (body.go).
package liquid

import (
	"onegrain/analysis/logbook"
	"onegrain/sim/kinetics"
	"onegrain/sim/nucleation/rate"
)

// GrownMM is how far (mm) a face grows in a stage by a power law of 1 mm/h at 10 K.
func GrownMM(s logbook.Stage, exponent float64) float64 {
	return kinetics.Length(kinetics.Power{RateAt10K: 1, Exponent: exponent}, s.FromK, s.ToK, s.Hours)
}

// Strays are those that a barrier law expects in a unit of volume (mm³) or area (mm²) in a stage.
func Strays(s logbook.Stage, prefactorPerUnitH, barrierK3, peritecticC float64) float64 {
	return barrier(prefactorPerUnitH, barrierK3, peritecticC).Expected(s.FromK, s.ToK, s.Hours, 0)
}

func barrier(prefactorPerUnitH, barrierK3, peritecticC float64) rate.Barrier {
	return rate.Barrier{PrefactorPerUnitH: prefactorPerUnitH, BarrierK3: barrierK3, PeritecticK: peritecticC + KelvinAt0C}
}

// KelvinAt0C turns °C into kelvin.
const KelvinAt0C = 273.15
