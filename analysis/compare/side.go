package compare

import (
	"onegrain/analysis/tally"
	"onegrain/studies/table"
)

// Side is one of two studies. A study that was not run has cases without counts.
type Side struct {
	Settings map[string]string // what the study says, key by key; nil where it cannot be read
	Decides  func(key string) bool
	Models   []string // versions of the physics that it was, or would be, computed with
	Varied   []string // columns
	Cases    []Case
	Content  string // hash of all that the results tell; empty where there are none
}

// Case is a case of one side.
type Case struct {
	ID     string         `json:"case_id"`
	Values map[string]any `json:"values"` // of the varied columns
	Result *Result        `json:"-"`      // nil where it was not run
}

// Result is what became of a case. Numbers that are not known are null in JSON.
type Result struct {
	Runs     int            `json:"runs"`
	Singles  int            `json:"single_grain_runs"`
	Share    tally.Real     `json:"single_grain_fraction"`
	Interval tally.Interval `json:"single_grain_fraction_95"` // Clopper-Pearson
	Exact    tally.Real     `json:"single_grain_probability_exact"`
	Error    tally.Real     `json:"single_grain_probability_exact_se"` // null without placing scatter
	Placings int            `json:"placings"`
	Strays   tally.Real     `json:"expected_strays_exact"`
	ClearMM  tally.Real     `json:"clear_diameter_mm_median"`
	P10MM    tally.Real     `json:"clear_diameter_mm_p10"`
	P90MM    tally.Real     `json:"clear_diameter_mm_p90"`
}

// CasesOf reads the cases of a results folder from its table of cases.
func CasesOf(cases *table.Frame, varied []string) []Case {
	all := make([]Case, cases.Len())
	for r := range all {
		id, _ := cases.Value(r, "case_id").(string)
		all[r] = Case{ID: id, Values: map[string]any{}, Result: result(cases, r)}
		for _, name := range varied {
			all[r].Values[name] = cases.Value(r, name)
		}
	}
	return all
}

func result(cases *table.Frame, r int) *Result {
	number := func(name string) tally.Real {
		if x, ok := cases.Value(r, name).(float64); ok {
			return tally.Real(x)
		}
		return tally.Unknown()
	}
	whole := func(name string) int {
		n, _ := cases.Value(r, name).(int64)
		return int(n)
	}
	runs, singles := whole("runs"), whole("single_grain_runs")
	return &Result{
		Runs: runs, Singles: singles, Placings: whole("placings"),
		Share: number("single_grain_fraction"), Interval: tally.Share(float64(singles), float64(runs)),
		Exact: number("single_grain_probability_exact"), Error: number("single_grain_probability_exact_se"),
		Strays: number("expected_strays_exact"), ClearMM: number("clear_diameter_mm_median"),
		P10MM: number("clear_diameter_mm_p10"), P90MM: number("clear_diameter_mm_p90"),
	}
}
