package analysis

import (
	"onegrain/analysis/influence"
	"onegrain/analysis/joints"
	"onegrain/analysis/tally"
	"onegrain/analysis/window"
)

// Findings is what a results folder shows.
type Findings struct {
	Title      string              `json:"title"`
	Design     string              `json:"design"`   // grid, together, latin, sobol, saltelli or table
	JoinDeg    float64             `json:"join_deg"` // up to this disorientation grains join and a boundary is low-angle
	Axes       []window.Axis       `json:"axes"`
	Cases      int                 `json:"cases"`
	Runs       Runs                `json:"runs"`
	Window     window.Window       `json:"window"`
	Influence  []influence.Ranking `json:"influence,omitempty"` // by result; none with fewer than two axes of numbers
	Best       *Best               `json:"best"`                // nil where no case has a clear grain
	PerCase    []CaseRuns          `json:"per_case"`            // none where there are more than 200 cases
	Scatter    *joints.Scatter     `json:"placing_scatter"`     // nil unless runs have two seeded grains or more
	Boundaries joints.Boundaries   `json:"boundaries"`
	Alike      []window.Setting    `json:"placed_alike,omitempty"` // of seeds; joints are summed over cases that have it
	Warnings   []string            `json:"warnings"`
}

// Runs sums up all runs of the cases.
type Runs struct {
	Total      int          `json:"total"`
	Solid      int          `json:"solid"`
	Liquid     int          `json:"liquid"` // the programme ended before the body was solid
	Failed     int          `json:"failed"`
	Single     int          `json:"single_grain"`
	Foreign    int          `json:"foreign"` // runs in the folder whose case is none of the study as it stands
	WallH      float64      `json:"wall_h"`  // time all of them took
	DiameterMM tally.Spread `json:"clear_diameter_mm"`
}

// CaseRuns is how the runs of one case scatter.
type CaseRuns struct {
	ID         string           `json:"case_id"`
	Settings   []window.Setting `json:"settings"`
	DiameterMM tally.Spread     `json:"clear_diameter_mm"`
	StrayAtK   tally.Spread     `json:"first_stray_undercooling_K"` // of the runs that had one
	WithStrays int              `json:"runs_with_strays"`
}

// Best is the best case by the rule of window.Best; where results are averaged over what is not
// known, the best setting.
type Best struct {
	ID         string           `json:"case_id"` // of averaged cases that with the middle chance
	Settings   []window.Setting `json:"settings"`
	DiameterMM tally.Real       `json:"clear_diameter_mm_median"`
	Chance     tally.Real       `json:"chance"`
	ProgrammeH tally.Real       `json:"programme_h"`
	Reaches    bool             `json:"reaches_wanted_chance"`
	Shortfall  string           `json:"shortfall,omitempty"` // a sentence where it does not, or not for sure
	Replicate  int              `json:"replicate"`           // whose boundaries are listed; 0 for none
}

// Options of Read.
type Options struct {
	Chance float64           // wanted, above 0 and below 1; 0 means 0.95
	X, Y   string            // axes of the window; empty: chosen
	Fixed  map[string]string // cases with these values of varied columns alone
}
