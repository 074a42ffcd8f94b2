// Package liquid asks the engine about stages of furnace runs that were made.
//
//  1. A [Stage] knows how far faces grow in it, and how many strays a law expects, by the laws with
//     which a study is simulated (stage.go).
//  2. A [Body] is that of a study. Its seeds grow along the stages of a run, without strays, and so
//     say what was liquid at every moment (body.go).
package liquid

import (
	"onegrain/sim/kinetics"
	"onegrain/sim/nucleation/rate"
)

// Stage is a straight piece of a furnace programme: the undercooling goes from FromK to ToK in
// Hours.
type Stage struct{ FromK, ToK, Hours float64 }

// GrownMM is how far (mm) a face grows in a stage by a power law of 1 mm/h at 10 K.
func (s Stage) GrownMM(exponent float64) float64 {
	return kinetics.Length(kinetics.Power{RateAt10K: 1, Exponent: exponent}, s.FromK, s.ToK, s.Hours)
}

// Strays are those that a barrier law expects in a unit of volume (mm³) or area (mm²) in a stage.
func (s Stage) Strays(prefactorPerUnitH, barrierK3, peritecticC float64) float64 {
	return barrier(prefactorPerUnitH, barrierK3, peritecticC).Expected(s.FromK, s.ToK, s.Hours, 0)
}

func barrier(prefactorPerUnitH, barrierK3, peritecticC float64) rate.Barrier {
	return rate.Barrier{PrefactorPerUnitH: prefactorPerUnitH, BarrierK3: barrierK3, PeritecticK: peritecticC + KelvinAt0C}
}

// KelvinAt0C turns °C into kelvin.
const KelvinAt0C = 273.15
