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
	MemoryPerRun      int64   // bytes, largest case
	CoreHoursLow      float64 // a single grain in each run
	CoreHoursHigh     float64 // many strays in each run
	Files             int     // about, when all is done by one command
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

// What a cell costs, measured on one core of a 4 GHz machine: growth in blocks, and growth contested everywhere.
const (
	fastestPerCellS = 2e-8
	slowestPerCellS = 4e-7
	rowsPerPart     = 256 // runs gathered in one part file
)

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
	s.cost(&e)
	e.Schedule = scheduleRows(t)
	e.Seeds = margins(t)
	e.HottestC = t.Schedule.HottestC(t.PeritecticC) + t.HighestK
	e.Warnings = append(t.Warnings, s.design.notes()...)
	if e.LowestK < e.HighestK {
		e.Gradient = fmt.Sprintf("the temperatures, undercoolings and grown lengths of the stages are those at the centre of the top face, where the gradient is zero; "+
			"other places of the body differ from it by %.4g to %.4g K", e.LowestK, e.HighestK)
		e.Warnings = append(e.Warnings, e.Gradient)
	}
	if s.Replicates > 1 && t.NoDice() {
		e.Warnings = append(e.Warnings, fmt.Sprintf("nothing in this case is left to chance: its %d runs would all be the same, and their interval means nothing; replicates = 1 is enough", s.Replicates))
	}
	return e, nil
}

// cost adds up cells over the cases, over a sample of them where they are many.
func (s *Study) cost(e *Explanation) {
	n := s.Cases()
	step := max(1, n/500)
	e.FewestCells = math.MaxInt64
	total, looked := 0.0, 0
	for i := 0; i < n; i += step {
		if i+step >= n {
			i = n - 1 // where most axes have their largest value
		}
		d, _ := s.doc.With(s.design.keys(), s.design.values(i))
		cells := s.converter.Cells(d)
		e.FewestCells, e.MostCells, e.MemoryPerRun = min(e.FewestCells, cells), max(e.MostCells, cells), max(e.MemoryPerRun, s.converter.Bytes(d))
		total += float64(cells)
		looked++
	}
	runCells := total / float64(looked) * float64(e.Runs)
	e.CoreHoursLow, e.CoreHoursHigh = runCells*fastestPerCellS/3600, runCells*slowestPerCellS/3600
	parts := (e.Runs + rowsPerPart - 1) / rowsPerPart
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
	end := t.Case.Programme.At(t.LowestK, 0).GrowthStartH()
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
