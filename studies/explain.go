package studies

import (
	"fmt"
	"math"

	"onegrain/sim/kinetics"
	"onegrain/studies/border"
)

// Explanation says what a study would do and cost, for one of its cases where cases differ.
type Explanation struct {
	Cases, Runs       int     // all cases; most runs, if no case stops early
	FewestCells       int64   // of the box around the body, over the cases looked at
	MostCells         int64   //
	Memory            int64   // bytes, of a command that does one run at a time; largest case
	MemoryPerRun      int64   // bytes, of each run at a time
	CoreHours         float64 // by estimate; of the odds alone
	OddsHours         float64
	Files             int // about, when all is done by one command
	ProgrammeHours    float64
	Schedule          []ScheduleRow
	Seeds             []SeedMargin
	HottestC          float64  // of the programme anywhere in the body
	LowestK, HighestK float64  // offsets between which the body lies
	Gradient          string   // what the numbers mean under a gradient; empty without one
	Warnings          []string // harmless, but perhaps not what was meant
}

// ScheduleRow is the end of a stage; row 0 is the start.
type ScheduleRow struct {
	Stage                       int
	TimeH                       float64
	TemperatureC, UndercoolingK float64 // at the reference point
	GrownAMM, GrownCMM          float64 // length a face of a free grain has grown since growth began
}

// SeedMargin says how far the hottest moment stays below what a seed withstands.
type SeedMargin struct {
	Seed        string  // its table, with the number of seeds where they are several
	PeritecticC float64 // +Inf where the study does not say; then nothing is known of its survival
	OffsetK     float64 // how much hotter than the reference point the hottest place of its contact patch is
	MarginK     float64 // of several seeds the least
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
	e := Explanation{Cases: s.Cases(), Runs: s.Cases() * s.Replicates, ProgrammeHours: t.Case.Programme.EndH(), LowestK: t.LowestK, HighestK: t.HighestK}
	cases := s.sample()
	s.cost(&e, cases)
	s.files(&e)
	e.Schedule = scheduleRows(t)
	e.Seeds = margins(t)
	e.HottestC = t.Schedule.HottestC(t.PeritecticC) + t.HighestK
	e.Warnings = append(t.Warnings, s.Notes()...)
	if e.LowestK < e.HighestK {
		e.Gradient = fmt.Sprintf("the temperatures, undercoolings and grown lengths of the stages are those at the centre of the top face, where the gradient is zero; "+
			"other places of the body differ from it by %.4g to %.4g K", e.LowestK, e.HighestK)
		e.Warnings = append(e.Warnings, e.Gradient)
	}
	e.Warnings = append(e.Warnings, warnings(append(s.look(i), cases...), i)...)
	return e, nil
}

// files is about how many files one command leaves.
func (s *Study) files(e *Explanation) {
	n := s.Cases()
	parts := (e.Runs + FlushRuns - 1) / FlushRuns
	e.Files = 4 + 3*parts // study, provenance, manifest, cases; runs, grains, boundaries
	if s.History {
		e.Files += parts
	} else {
		e.Files++ // an empty one
	}
	if s.Fields == "first" {
		e.Files += n
	} else if s.Fields == "all" {
		e.Files += e.Runs
	}
}

// scheduleRows follows the stages; a stage that takes no time has its row too.
func scheduleRows(t *border.Draft) []ScheduleRow {
	end := t.Case.Programme.Seen(t.LowestK, 0).GrowthStartH()
	var rows []ScheduleRow
	var a, c float64
	for i := 0; i <= len(t.Schedule.Stages); i++ {
		part := t.Schedule
		part.Stages = part.Stages[:i]
		k := part.Programme(t.PeritecticC).Knots
		last := k[len(k)-1]
		if i > 0 {
			from := rows[i-1]
			start := math.Max(from.TimeH, end)
			if hours := last.TimeH - start; hours > 0 {
				at := t.Case.Programme.Undercooling(start)
				if start == from.TimeH {
					at = from.UndercoolingK
				}
				a += kinetics.Length(t.Case.GrowthA, at, last.UndercoolingK, hours)
				c += kinetics.Length(t.Case.GrowthC, at, last.UndercoolingK, hours)
			}
		}
		rows = append(rows, ScheduleRow{Stage: i, TimeH: last.TimeH, UndercoolingK: last.UndercoolingK, TemperatureC: t.PeritecticC - last.UndercoolingK, GrownAMM: a, GrownCMM: c})
	}
	return rows
}

// margins gathers the seeds of one table, of which the one nearest to dissolving counts.
func margins(t *border.Draft) []SeedMargin {
	var out []SeedMargin
	counts, at := map[string]int{}, map[string]int{}
	hottestC := t.Schedule.HottestC(t.PeritecticC)
	for i, table := range t.SeedTables {
		m := SeedMargin{Seed: table, PeritecticC: t.Seats[i].PeritecticC, OffsetK: t.Seats[i].HottestK, MarginK: t.Seats[i].MarginK(hottestC)}
		if counts[table]++; counts[table] == 1 {
			at[table] = len(out)
			out = append(out, m)
		} else if m.OffsetK > out[at[table]].OffsetK {
			out[at[table]] = m
		}
	}
	for i := range out {
		if n := counts[out[i].Seed]; n > 1 {
			out[i].Seed += fmt.Sprintf(" (%d seeds)", n)
		}
	}
	return out
}
