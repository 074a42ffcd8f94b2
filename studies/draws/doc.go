// Package draws holds laws of a melt as a logbook leaves them: not one law, but many that it
// allows, each as likely as the other.
//
//  1. A [Law] is one draw: growth of both faces, one of two families of strays, and the scatter
//     from run to run.
//  2. A [File] is all draws of one melt with what they were learnt from. Package studies/table
//     reads and writes it as Parquet; anyone with another sampler may write the same file.
//
// Units: mm, h, K, °C.
package draws

import (
	"onegrain/sim/kinetics"
	"onegrain/sim/liquid"
	"onegrain/sim/nucleation"
	"onegrain/sim/nucleation/rate"
)

// The families of laws of strays.
const (
	Barrier = "barrier" // strays come as a rate
	Sites   = "sites"   // each site starts once, at an undercooling of its own
)

// Law is one draw.
type Law struct {
	Family                        string    // Barrier or Sites
	RateA, ExponentA              float64   // of a faces at 10 K in mm/h
	RateC, ExponentC              float64   // of c faces
	PrefactorPerMM3H, BarrierK3   float64   // of family Barrier
	DensityPerMM3, MeanK, SpreadK float64   // of family Sites
	LengthScatter, ScatterK       float64   // of the logarithm of lengths; of the undercooling from run to run
	OffsetK                       []float64 // of the furnaces of the file, true less told undercooling; 0 for the first
}

// File is the draws of one melt.
type File struct {
	Laws        []Law
	Furnaces    []string // names in the logbook, the first the one whose readings are taken as they are
	LogbookHash string   // SHA-256 of the logbook, hexadecimal
	Priors      string   // as a person may read them
	ParetoK     float64  // of the weights, below 0.7 where the draws stand for the laws
	Effective   float64  // independent draws that they are worth
	// undercoolings of all rows, and of those with strays, K
	LowestK, HighestK, LowestStrayK, HighestStrayK float64
	ModelVersion                                   string
	PeritecticC                                    float64
}

// Laws are those of a draw for the engine, in a melt of a peritectic temperature.
func (l Law) Laws(peritecticC float64) liquid.Laws {
	of := liquid.Laws{GrowthA: kinetics.Power{RateAt10K: l.RateA, Exponent: l.ExponentA},
		GrowthC: kinetics.Power{RateAt10K: l.RateC, Exponent: l.ExponentC}}
	of.Nuclei = nucleation.Model{Melt: rate.Barrier{PrefactorPerUnitH: l.PrefactorPerMM3H, BarrierK3: l.BarrierK3,
		PeritecticK: peritecticC + 273.15}}
	if l.Family == Sites {
		of.Nuclei.Melt = rate.Sites{DensityPerUnit: l.DensityPerMM3, MeanUndercoolingK: l.MeanK, SpreadK: l.SpreadK}
	}
	return of
}
