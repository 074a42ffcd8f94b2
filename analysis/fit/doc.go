// Package fit learns the laws of growth and nucleation from furnace runs, with intervals and with what it cannot tell.
//
//  1. A [Stage] is a straight piece of a furnace programme. The laws themselves are handed in as functions of a stage
//     ([Length], [Barrier]), so that what is fitted is to the bit what a simulation grows with.
//  2. [Growth] finds rate and exponent of a power law from grown lengths ([Grown]) by least squares of their logarithms:
//     errors of such measurements are shares. For a given exponent the rate is a mean (closed form); the exponent is found by
//     Gauss and Newton's method, which for held stages is one step: a straight line.
//  3. Intervals are profiles: a value belongs to the 95 % where the best fit with it is not worse than Student's t allows.
//     For held stages that is the exact interval of linear regression.
//  4. [Nuclei] finds prefactor and barrier of the law exp(−B/(T ΔT²)) from what was seen of strays ([Sighting]): counts, yes or
//     no, and the moment of the first, each with its own likelihood of a Poisson process. Where a grain used the liquid up, a sighting
//     tells how ([Liquid]). Intervals are those of the profile likelihood, and may be open to one side.
//  5. Where data cannot decide, an [Undecided] says which runs are missing. Where no stray was seen at all, bounds of the rate are told instead.
//  6. Each fit carries its rows with residuals, and doubts as sentences: outliers, misfit, extrapolation (doubt.go, chance.go).
//
// Units: K, h, mm, per mm³ or mm². Sources: G. A. F. Seber and C. J. Wild, Nonlinear Regression (1989), ch. 5 (profiles); D. R. Cox
// and D. Oakes, Analysis of Survival Data (1984), ch. 3 (likelihoods of counts and of first times).
package fit

import "onegrain/analysis/tally"

// Stage is a straight piece of a furnace programme: the undercooling goes from FromK to ToK in Hours > 0.
type Stage struct {
	FromK float64 `json:"from_K"`
	ToK   float64 `json:"to_K"`
	Hours float64 `json:"hours"`
}

// Estimate is a fitted value with its 95 % interval; an end that is not known is open.
type Estimate struct {
	Value tally.Real `json:"value"`
	Low   tally.Real `json:"low"`
	High  tally.Real `json:"high"`
}

func unknown() Estimate { return Estimate{tally.Unknown(), tally.Unknown(), tally.Unknown()} }

// Undecided is the error of data that cannot decide a law.
type Undecided struct {
	Found   string // what the data say
	Missing string // which runs would decide
	Helps   bool   // whether giving exponent or barrier would decide, too
}

// Error is both in one sentence.
func (u *Undecided) Error() string { return u.Found + "; " + u.Missing }
