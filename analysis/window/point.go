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
	Placings int            `json:"placings"` // that Exact is the mean over; 0 without placing scatter
	Error    tally.Real     `json:"single_grain_probability_exact_se"`
	Chance   tally.Real     `json:"chance"` // believed
	Interval tally.Interval `json:"chance_interval"`
	Source   string         `json:"source"`              // of the chance: exact, exact mean, over laws, counted, none
	Laws     *tally.Laws    `json:"over_laws,omitempty"` // nil where the study has laws of its own
	// Verdict on the wanted chance: yes, no, open, never (no domain fills the body), unknown.
	Verdict string `json:"verdict"`

	DiameterMM tally.Real `json:"clear_diameter_mm_median"`
	P10        tally.Real `json:"clear_diameter_mm_p10"`
	P90        tally.Real `json:"clear_diameter_mm_p90"`
	FullH      tally.Real `json:"time_to_full_h"`
	ProgrammeH tally.Real `json:"programme_h"`

	Because string    `json:"never_because,omitempty"`     // it can be no single grain, strays or not
	Over    int       `json:"averaged_over,omitempty"`     // points averaged; 0: one case by itself
	Reach   int       `json:"points_that_reach,omitempty"` // of these
	Cases   []string  `json:"cases,omitempty"`             // averaged; ID: that with the middle chance
	At      []float64 `json:"-"`                           // on each axis that is set

	cell float64 // mm
}

const (
	fromExact = "exact"
	fromMean  = "exact mean"
	fromLaws  = "over laws"
	fromCount = "counted"
	fromNone  = "none"

	yes     = "yes"
	no      = "no"
	open    = "open"
	never   = "never"
	unknown = "unknown"
)

type real = tally.Real

func unknownInterval() tally.Interval {
	return tally.Interval{Low: tally.Unknown(), High: tally.Unknown()}
}

// Points are what is believed of each case of a study, in its order.
func (s Study) Points(wanted float64) []Point {
	all := make([]Point, len(s.Cases))
	for i, c := range s.Cases {
		all[i] = s.believe(c, wanted)
	}
	return all
}

// believe turns a case into a point.
func (s *Study) believe(c Case, wanted float64) Point {
	if len(c.Over) > 0 {
		return s.average(c, wanted)
	}
	p := Point{
		ID: c.ID, Runs: c.Runs, Hits: c.Hits, Fraction: tally.Unknown(), Counted: unknownInterval(), Exact: real(c.Exact),
		Strays: real(c.Strays), Chance: tally.Unknown(), Interval: unknownInterval(), Source: fromNone, Because: c.Because,
		DiameterMM: real(c.DiameterMM), P10: real(c.P10), P90: real(c.P90), FullH: real(c.FullH),
		ProgrammeH: real(c.ProgrammeH),
		At:         c.At, cell: c.CellMM, Placings: c.Placings, Error: tally.Unknown(),
	}
	if c.Runs > 0 {
		p.Fraction, p.Counted = real(float64(c.Hits)/float64(c.Runs)), tally.Interval{Low: real(c.Low), High: real(c.High)}
		if !(c.High > 0) {
			p.Counted = tally.Share(float64(c.Hits), float64(c.Runs))
		}
	}
	if p.Exact.Known() && c.Placings > 0 {
		p.Error = real(c.Error)
	}
	hopeless := c.Because != ""
	switch {
	case c.Laws.Count > 0:
		p.overLaws(c.Laws)
		hopeless = hopeless && p.Chance == 0
	case p.Exact.Known() && c.Placings > 0:
		// Chances between 0 and 1 scatter less than runs that hit or miss: the interval holds the
		// mean more often than told. One made of Error would trust an error of 0 over few placings.
		n := float64(c.Placings)
		p.Source, p.Chance, p.Interval = fromMean, p.Exact, tally.Share(n*c.Exact, n)
	case p.Exact.Known():
		p.Source, p.Chance, p.Interval = fromExact, p.Exact, tally.Interval{Low: p.Exact, High: p.Exact}
	case c.Runs > 0:
		p.Source, p.Chance, p.Interval = fromCount, p.Fraction, p.Counted
	}
	p.judge(wanted, hopeless || p.Source == fromExact && c.Exact == 0 && math.Exp(-c.Strays) > 0)
	return p
}

// judge gives the verdict on the wanted chance.
func (p *Point) judge(wanted float64, hopeless bool) {
	switch {
	case !p.Chance.Known():
		p.Verdict = unknown
	case hopeless:
		p.Verdict = never
	case float64(p.Interval.Low) >= wanted:
		p.Verdict = yes
	case float64(p.Interval.High) < wanted:
		p.Verdict = no
	default:
		p.Verdict = open
	}
}

// reaches tells whether a point has the wanted chance for sure.
func (p Point) reaches() bool { return p.Verdict == yes }

// place is where a point stands on the axis of a slice.
func (p Point) place(axis int) float64 { return float64([2]real{p.X, p.Y}[axis]) }

// Reason says in words why a case can be no single grain, strays or not; Because is that of the
// column never_because.
func (p Point) Reason() string {
	switch p.Because {
	case "unseeded":
		return "there is no seed"
	case "liquid":
		return "liquid is left when the programme ends"
	case "apart":
		return "the seeded grains do not join into one domain"
	}
	return "no domain of seeded grains fills the body"
}

// Where log Λ ends: one stray in 10¹² runs is none, and exp(−745) is the smallest chance that a
// number can be.
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
	if p.Source == fromExact && p.Over == 0 && p.Strays.Known() {
		return levelOf(float64(p.Strays))
	}
	return level(float64(p.Chance))
}
