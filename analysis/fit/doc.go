// Package fit learns the laws of growth and nucleation from furnace runs, with intervals and with
// what they cannot decide.
//
//  1. Rows of a logbook are what is fitted to, each a stage of a furnace programme with what was
//     seen. The laws themselves are handed in as functions of a stage, so that the fitted law has
//     exactly the bits of the one that a simulation uses.
//  2. [Growth] finds rate and exponent of a power law from grown lengths by least squares of their
//     logarithms: errors of such measurements are shares. For a given exponent the rate is a mean
//     (closed form); the exponent is found by Gauss and Newton's method, which for held stages is
//     one step: a straight line.
//  3. Intervals are profiles: a value belongs to the 95 % where the best fit with it is not worse
//     than Student's t allows. For held stages that is the exact interval of linear regression.
//  4. [Nuclei] finds prefactor and barrier of the law exp(−B/(T ΔT²)) from what was seen of strays:
//     counts, yes or no, and the moment of the first, each with its own likelihood of a Poisson
//     process. Where a grain used the liquid up, a row says how. Intervals are those of the profile
//     likelihood, and may be open to one side.
//  5. Where data cannot decide, an [Undecided] says which runs are missing. Where no stray was seen
//     at all, bounds of the rate are given instead.
//  6. Each fit carries its rows with residuals, and warnings as sentences: outliers, misfit,
//     extrapolation (growth_check.go, nuclei_check.go).
//
// Units: K, h, mm, per mm³ or mm². Sources: G. A. F. Seber and C. J. Wild, Nonlinear Regression
// (1989), ch. 5 (profiles); D. R. Cox and D. Oakes, Analysis of Survival Data (1984), ch. 3
// (likelihoods of counts and of first times).
package fit

import (
	"fmt"

	"onegrain/analysis/tally"
)

// Estimate is a fitted value with its 95 % interval; an end that is not known is open.
type Estimate struct {
	Value tally.Real `json:"value"`
	Low   tally.Real `json:"low"`
	High  tally.Real `json:"high"`
}

// open is an estimate without an interval; NaN for one that is not known at all.
func open(value float64) Estimate {
	return Estimate{tally.Real(value), tally.Unknown(), tally.Unknown()}
}

// bounds sets the interval; NaN leaves an end open.
func (e *Estimate) bounds(low, high float64) { e.Low, e.High = tally.Real(low), tally.Real(high) }

// closed tells whether both ends are known; where not, to says which is open.
func (e Estimate) closed() (closed bool, to string) {
	switch {
	case e.Low.Known() && e.High.Known():
		return true, ""
	case e.Low.Known():
		return false, "large values"
	case e.High.Known():
		return false, "0"
	}
	return false, "both sides"
}

// Undecided is the error of data that cannot decide a law.
type Undecided struct {
	Found   string // what the data say
	Missing string // which runs would decide
	Helps   bool   // whether giving exponent or barrier would decide, too
}

// Error is both in one sentence.
func (u *Undecided) Error() string { return u.Found + "; " + u.Missing }

// warnings are sentences that a reader must know before believing a fit.
type warnings []string

func (w *warnings) add(format string, values ...any) { *w = append(*w, fmt.Sprintf(format, values...)) }

// kelvins is a range of undercoolings.
func kelvins(low, high float64) string {
	if low == high {
		return fmt.Sprintf("%.3g K", low)
	}
	return fmt.Sprintf("%.3g to %.3g K", low, high)
}
