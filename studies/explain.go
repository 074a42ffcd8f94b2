package studies

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"onegrain/studies/border"
	"onegrain/studies/laws"
)

// Explanation says what a study would do and cost, for one of its cases where cases differ.
type Explanation struct {
	Cases          int                 `json:"cases"`                // all of the study
	Runs           int                 `json:"runs_at_most"`         // if no case stops early
	FewestCells    int64               `json:"cells_low"`            // of the box around the body, of the cases looked at
	MostCells      int64               `json:"cells_high"`           //
	Memory         int64               `json:"memory_bytes"`         // with one run at a time; largest case
	MemoryPerRun   int64               `json:"memory_bytes_per_run"` // more for each run at a time
	CoreHours      float64             `json:"core_hours"`           // by estimate
	Files          int                 `json:"files_about"`          // when all is done by one command
	Case           int                 `json:"case"`                 // from 1
	Values         map[string]any      `json:"values"`               // that the case has of what is varied
	ProgrammeHours float64             `json:"programme_h"`
	HottestC       float64             `json:"hottest_C"`        // of the programme anywhere in the body
	Record         *border.Recorded    `json:"record,omitempty"` // of a controller, where the schedule is one
	Schedule       []border.StageRow   `json:"schedule"`
	Seeds          []border.SeedMargin `json:"seeds"`
	Warnings       []string            `json:"warnings"` // harmless, but perhaps not what was meant
	OddsHours      float64             `json:"-"`        // of the odds alone, by estimate
	HighestK       float64             `json:"-"`        // offset of the hottest place of the body
	Gradient       string              `json:"-"`        // what the numbers mean under a gradient; empty without one
}

// Explain looks at case i. It simulates nothing.
func (s *Study) Explain(i int) (Explanation, error) {
	p, err := s.Plan(i)
	if err != nil {
		return Explanation{}, err
	}
	t, found := s.converter.Draft(p.doc)
	if len(found) > 0 {
		return Explanation{}, found.Err()
	}
	e := Explanation{Cases: s.Cases(), Runs: s.Cases() * s.Replicates, Case: i + 1, Values: p.Varied(),
		ProgrammeHours: t.Case.Programme.EndH(), HottestC: t.HottestC() + t.HighestK, HighestK: t.HighestK,
		Record: t.Record, Schedule: t.Stages(), Seeds: t.Margins(),
		Warnings: append(append([]string{}, t.Warnings...), s.Notes()...)}
	cases := s.sample()
	s.cost(&e, cases)
	s.files(&e)
	if t.LowestK < t.HighestK {
		e.Gradient = fmt.Sprintf("the temperatures, undercoolings and grown lengths of the stages are those at the centre "+
			"of the top face, where the gradient is zero; other places of the body differ from it by %.4g to %.4g K",
			t.LowestK, t.HighestK)
		e.Warnings = append(e.Warnings, e.Gradient)
	}
	e.Warnings = append(e.Warnings, s.warnings(append(s.look(i), cases...), i)...)
	return e, nil
}

// How long finished runs wait in memory.
const (
	FlushRuns  = 256              // runs gathered in one part file
	FlushEvery = 30 * time.Second // the longest a finished run waits for its file
)

// files is about how many files one command leaves.
func (s *Study) files(e *Explanation) {
	parts := (e.Runs + FlushRuns - 1) / FlushRuns
	e.Files = 5 + 3*parts // study, provenance, manifest, cases, an empty history; runs, grains, boundaries
	if s.History {
		e.Files += parts - 1
	}
	e.Files += map[string]int{"first": e.Cases, "all": e.Runs}[s.Fields]
}

// looked is a case that was looked at.
type looked struct {
	border.Looked
	index int
}

// look is case i, or nothing where it will be refused when its turn comes.
func (s *Study) look(i int) []looked {
	d, _ := s.document(i)
	if l, ok := s.converter.Look(d); ok {
		return []looked{{l, i}}
	}
	return nil
}

// sample is a hundred cases or all, the first and the last among them, where most axes have their
// extreme values.
func (s *Study) sample() (cases []looked) {
	n := s.Cases()
	step := max(1, n/100)
	for i := 0; i < n; i += step {
		if i+step >= n {
			i = n - 1
		}
		cases = append(cases, s.look(i)...)
	}
	return cases
}

// warnings of the cases that are looked at: each kind of doubt speaks once, for the first case it
// finds.
func (s *Study) warnings(cases []looked, first int) (out []string) {
	var said []string
	for _, l := range cases {
		for kind, text := range l.Doubts(s.Replicates) {
			if text != "" && l.index != first {
				text += fmt.Sprintf(" (in case %d)", l.index+1)
			}
			if kind == len(said) {
				said = append(said, text)
			}
			said[kind] = cmp.Or(said[kind], text)
		}
	}
	return slices.DeleteFunc(said, func(text string) bool { return text == "" })
}

// Idle tells of hours of the programme of case i after the body is solid, where they are many. Full
// is when the run without strays is solid; +Inf for never.
func (s *Study) Idle(i int, fullH float64) string {
	d, found := s.document(i)
	t, more := s.converter.Draft(d)
	if len(found)+len(more) > 0 {
		return ""
	}
	return t.Idle(fullH)
}

// Beyond says where case i goes deeper, as long as anything is liquid, than the rows that its laws
// were learnt from; empty where it does not. Full is when the run without strays is solid; NaN or
// +Inf for never.
func (s *Study) Beyond(i int, fullH float64) string {
	d, found := s.document(i)
	t, more := s.converter.Draft(d)
	m := s.Melt()
	if m == nil || len(found)+len(more) > 0 {
		return ""
	}
	deepest := 0.0
	for _, k := range t.Case.Programme.GrowthKnots() {
		at := k.UndercoolingK
		if k.TimeH > fullH {
			at = t.Case.Programme.Undercooling(fullH)
		}
		if at <= border.DeepestK { // what comes later is cooling down
			deepest = max(deepest, at)
		}
	}
	if !(deepest > m.HighestK) {
		return ""
	}
	return fmt.Sprintf("%s was learnt from %.4g to %.4g K; while liquid is left this programme goes to %.4g K, where its "+
		"laws are carried on", d.Text(laws.LawFile), m.LowestK, m.HighestK, deepest)
}

// Notes are what of the axes and the design is harmless, but perhaps not what was meant.
func (s *Study) Notes() (all []string) {
	if text := s.Uneven(); text != "" {
		all = append(all, text)
	}
	var stages []string // that are given in undercooling
	for i := 1; i <= s.doc.Count("schedule.stage"); i++ {
		if at := fmt.Sprintf("schedule.stage.%d", i); s.doc.Has(at + ".to_undercooling_K") {
			stages = append(stages, at)
		}
	}
	columns, unknown := s.Columns(), s.Unknown()
	for k, key := range s.Keys() {
		ofMelt := strings.HasPrefix(key, "material.") && key != "material.furnace" ||
			strings.HasPrefix(key, "nucleation.") // which are as they are
		if ofMelt && !slices.Contains(unknown, columns[k].Name) {
			all = append(all, key+` is varied as if it could be chosen, but no furnace can set it: with role = "unknown" in `+
				`its [[vary]] results are averaged over it`)
		}
		if key == "material.peritectic_C" && len(stages) > 0 {
			all = append(all, fmt.Sprintf("%s is varied while stages are given in undercooling (%s): their temperatures "+
				"change with it, so every case has the same undercooling there, and no case shows a furnace that is set for "+
				"another peritectic temperature than the true one; for that give these stages by to_C",
				key, strings.Join(stages, ", ")))
		}
	}
	return all
}

// What running costs beside the engine, measured on one core of a 4 GHz machine.
const (
	replicateS   = 5e-4     // s, a replicate that is the run without strays
	programBytes = 32 << 20 // the program with a small body
)

// cost adds up what the cases take, by those that were looked at.
func (s *Study) cost(e *Explanation, cases []looked) {
	e.FewestCells = math.MaxInt64
	all, odds, kept, runs := 0.0, 0.0, 0.0, 0.0
	for _, l := range cases {
		cells := l.Body.Cells()
		e.FewestCells, e.MostCells = min(e.FewestCells, cells), max(e.MostCells, cells)
		n := s.expected(l.Outlook)
		any := -math.Expm1(-l.Strays)
		own, alone := l.Seeded, l.Seeded
		if l.Case.Scattered() {
			own, alone = n*own, float64(s.Placings())*alone
		}
		if s.EachLaw { // each replicate is grown without strays first, as its law has it
			own += n * l.Seeded
		}
		all, odds = all+own+n*(replicateS+any*l.Run), odds+alone
		runs, kept = runs+n, kept+n*any*l.Waiting
		e.MemoryPerRun = max(e.MemoryPerRun, int64(l.Bytes))
	}
	each := float64(s.Cases()) / float64(len(cases)) / 3600
	e.CoreHours, e.OddsHours = all*each, odds*each
	waiting := runs * float64(s.Cases()) / float64(len(cases)) // for their file
	waiting = min(waiting, FlushRuns, FlushEvery.Seconds()*runs/all)
	e.Memory = programBytes + e.MemoryPerRun + int64(waiting*kept/runs)
}

// expected is how many replicates a case should have: with a precision, until the interval of its
// chance is narrow.
func (s *Study) expected(o border.Outlook) float64 {
	if s.Precision == 0 {
		return float64(s.Replicates)
	}
	chance := math.Exp(-o.Free)
	n := Batch
	for n < s.Replicates && !s.Precise(int(math.Round(chance*float64(n))), n) {
		n += max(Batch, n/16/Batch*Batch)
	}
	return float64(min(n, s.Replicates))
}

// How many placings are looked at where no run is counted: as many as the study has replicates; no
// fewer than make an error worth telling, and no more than bring it below 0.0625 at worst.
const (
	fewestPlacings = 16
	mostPlacings   = 64
)

// Placings is how many placings the exact odds of a case are averaged over where no run is counted;
// 1 where no seed of the study is placed with scatter.
func (s *Study) Placings() int {
	varied := func(key string) bool { return strings.HasSuffix(key, "_sd_deg") }
	t, found := s.converter.Draft(s.doc)
	if len(found) == 0 && !t.Case.Scattered() && !slices.ContainsFunc(s.Keys(), varied) {
		return 1
	}
	return min(max(s.Replicates, fewestPlacings), mostPlacings)
}
