package compare

import (
	"onegrain/analysis/tally"
	"onegrain/studies"
	"onegrain/studies/table"
)

// Side is one of two studies. A study that was not run has cases without counts.
type Side struct {
	Path     string            `json:"path"`
	Count    int               `json:"cases"`
	Content  string            `json:"content_sha256,omitempty"` // hash of all that the results say; empty without any
	Settings map[string]string `json:"-"`                        // of the study by key; nil where it cannot be read
	Model    string            `json:"-"`                        // version of the physics that it is computed with
	Varied   []string          `json:"-"`                        // columns
	Cases    []Case            `json:"-"`
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

	OverLaws tally.Real     `json:"single_grain_chance"`           // mean over the laws of a logbook; null without
	Within   tally.Interval `json:"single_grain_chance_90_of_100"` // of the laws
}

// Planned is a study that was not run, or whose results are not looked at.
func Planned(path string, study *studies.Study) (Side, error) {
	side := Side{Path: path, Settings: study.Settings(), Model: studies.ModelVersion}
	for _, c := range study.Columns() {
		side.Varied = append(side.Varied, c.Name)
	}
	for i := range study.Cases() {
		p, err := study.Plan(i)
		if err != nil {
			return side, err
		}
		side.Cases = append(side.Cases, Case{ID: p.ID, Values: p.Varied()})
	}
	return side, nil
}

// Ran is a results folder; study reads the study of a version of it. The error is one of storage.
func Ran(path string, folder *table.Folder, study func(table.Version) (*studies.Study, error)) (side Side, err error) {
	cases, err := folder.Table("cases")
	if err != nil {
		return side, err
	}
	side.Path = path
	if side.Content, err = folder.ContentHash(); err != nil {
		return side, err
	}
	version, err := folder.Version()
	if err != nil {
		return side, err
	}
	side.Model = version.Model
	for _, c := range cases.Schema.Varied() {
		side.Varied = append(side.Varied, c.Name)
	}
	if of, err := study(version); err == nil {
		side.Settings = of.Settings()
	}
	side.Cases = casesOf(cases, side.Varied)
	return side, nil
}

// casesOf reads the cases of a results folder from its table of cases.
func casesOf(cases *table.Frame, varied []string) []Case {
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
		OverLaws: number("single_grain_chance"),
		Within:   tally.Interval{Low: number("single_grain_chance_low"), High: number("single_grain_chance_high")},
	}
}
