package window

import (
	"math"

	"onegrain/analysis/tally"
)

// Point is a case in a slice, with what is believed of it.
type Point struct {
	ID       string         `json:"case_id"`
	X        tally.Real     `json:"x"`
	Y        tally.Real     `json:"y"` // null where there is one axis
	Runs     int            `json:"runs"`
	Hits     int            `json:"single_grain_runs"`
	Fraction tally.Real     `json:"single_grain_fraction"` // counted
	Counted  tally.Interval `json:"single_grain_fraction_interval"`
	Exact    tally.Real     `json:"single_grain_probability_exact"`
	Strays   tally.Real     `json:"expected_strays_exact"`
	Placings int            `json:"placings"` // that the exact chance is the mean over; 0 without placing scatter
	Error    tally.Real     `json:"single_grain_probability_exact_se"`
	Chance   tally.Real     `json:"chance"` // believed
	Interval tally.Interval `json:"chance_interval"`
	Source   string         `json:"source"`  // of the chance: exact, exact mean, counted, none
	Verdict  string         `json:"verdict"` // on the wanted chance: yes, no, open, never (no domain fills the body), unknown

	DiameterMM tally.Real `json:"clear_diameter_mm_median"`
	P10        tally.Real `json:"clear_diameter_mm_p10"`
	P90        tally.Real `json:"clear_diameter_mm_p90"`
	FullH      tally.Real `json:"time_to_full_h"`
	ProgrammeH tally.Real `json:"programme_h"`

	at  []float64 // of the case
	fit tally.Interval
}

const (
	fromExact = "exact"
	fromMean  = "exact mean"
	fromCount = "counted"
	fromNone  = "none"

	yes     = "yes"
	no      = "no"
	open    = "open"
	never   = "never"
	unknown = "unknown"
)

// believe turns a case into a point.
func (s *Study) believe(c Case, wanted float64) Point {
	p := Point{ID: c.ID, Runs: c.Runs, Hits: c.Hits, Fraction: tally.Unknown(), Counted: tally.Interval{Low: tally.Unknown(), High: tally.Unknown()},
		Exact: real(c.Exact), Strays: real(c.Strays), Chance: tally.Unknown(), Source: fromNone, Verdict: unknown,
		DiameterMM: real(c.DiameterMM), P10: real(c.P10), P90: real(c.P90), FullH: real(c.FullH), ProgrammeH: real(c.ProgrammeH), at: c.At, Placings: c.Placings, Error: tally.Unknown(),
		fit: tally.Interval{Low: tally.Unknown(), High: tally.Unknown()}}
	p.Interval = p.Counted
	if c.Runs > 0 {
		p.Fraction, p.Counted = real(float64(c.Hits)/float64(c.Runs)), tally.Share(float64(c.Hits), float64(c.Runs))
	}
	switch {
	case p.Exact.Known() && c.Placings > 0:
		// Chances between 0 and 1 scatter less than runs that hit or miss: the interval holds the
		// mean more often than told. One made of Error would trust an error of 0 over few placings.
		n := float64(c.Placings)
		p.Source, p.Chance, p.Interval = fromMean, p.Exact, tally.Share(n*c.Exact, n)
		p.Error = real(c.Error)
	case p.Exact.Known():
		p.Source, p.Chance, p.Interval = fromExact, p.Exact, tally.Interval{Low: p.Exact, High: p.Exact}
	case c.Runs > 0:
		p.Source, p.Chance, p.Interval = fromCount, p.Fraction, p.Counted
	default:
		return p
	}
	switch {
	case p.Source == fromExact && c.Exact == 0 && math.Exp(-c.Strays) > 0:
		p.Verdict = never
	case float64(p.Interval.Low) >= wanted:
		p.Verdict = yes
	case float64(p.Interval.High) < wanted:
		p.Verdict = no
	default:
		p.Verdict = open
	}
	return p
}

// Where log Λ ends: one stray in 10¹² runs is none, and exp(−745) is the smallest chance that a number can be.
const (
	leastStrays = 1e-12
	mostStrays  = 745
)

// level is log Λ of a chance, NaN where there is none.
func level(chance float64) float64 { return levelOf(-math.Log(chance)) }

func levelOf(strays float64) float64 {
	return math.Log(min(max(strays, leastStrays), mostStrays)) // NaN stays NaN
}

// level of a point; Λ itself says more than a chance that rounds to 1 or 0.
func (p Point) level() float64 {
	if p.Verdict == never {
		return math.NaN()
	}
	if p.Source == fromExact && p.Strays.Known() {
		return levelOf(float64(p.Strays))
	}
	return level(float64(p.Chance))
}

// sure tells whether a point reaches the wanted chance: by itself, or by a regression through the counts that its own do not gainsay.
func (p Point) sure(wanted float64) bool {
	return p.Verdict == yes || p.Verdict == open && p.fit.Low.Known() && float64(p.fit.Low) >= wanted
}
