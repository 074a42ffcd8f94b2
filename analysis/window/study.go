package window

import (
	"cmp"
	"math"

	"onegrain/analysis/tally"
)

// Case is a row of the table of cases. What is not known is NaN.
type Case struct {
	ID         string
	At         []float64  // on each axis: the number, or the index of the word
	Runs, Hits int        // counted, and of those single grains
	Exact      float64    // chance of a single grain
	Strays     float64    // Λ, expected strays before the first
	DiameterMM float64    // median clear diameter
	P10, P90   float64    // of it
	FullH      float64    // median time to full
	ProgrammeH float64    // length of the programme
	Placings   int        // that Exact is the mean over, where seeds are placed with scatter; else 0
	Error      float64    // standard error of that mean
	Low, High  float64    // 95 % interval of the counted share; High 0 or NaN: from Runs and Hits
	CellMM     float64    // edge of a cell, to which a clear piece is known
	Because    string     // why even without strays it can be no single grain; empty where it can
	Over       []Case     // cases that are averaged in this one
	Laws       tally.Laws // Count 0 where the study has laws of its own
	EachLaw    bool       // its runs drew a law each
}

// Study is what Find looks at.
type Study struct {
	Axes    []Axis
	Cases   []Case
	Common  bool // replicates share their nuclei between cases
	Sampled bool // the design spreads its points like sand, so that no two share a value

	Over  []string // of Averaged: labels of the axes that are averaged over
	Notes []string // of Averaged: what to know of the averages
}

// placings are the fewest and the most that an exact chance is the mean over; 0 where there is
// none.
func (s *Study) placings() (least, most int) {
	for _, c := range s.Cases {
		if n := c.Placings; n > 0 {
			least, most = min(cmp.Or(least, n), n), max(most, n)
		}
	}
	return least, most
}

// cases counts cases, or where they are averages the settings.
func (s *Study) cases(n int) string {
	if s.Over != nil {
		return plural(n, "setting", "settings")
	}
	return plural(n, "case", "cases")
}

// count is what a case has counted. An exact mean over other placings than those of its runs is no
// mean to compare them with, nor is one over few laws.
func (c Case) count() tally.Count {
	k := tally.Count{Runs: c.Runs, Hits: c.Hits, Chance: c.Exact}
	switch {
	case c.EachLaw && c.Laws.Count >= enoughLaws:
		k.Chance = float64(c.Laws.Chance)
	case c.EachLaw:
		k.Chance = math.NaN()
	case c.Placings > 0 && c.Placings != c.Runs:
		k.Chance = math.NaN()
	case c.Error > 0:
		k.Error = c.Error
	}
	return k
}
