package border

import (
	"fmt"
	"math"

	"onegrain/studies/laws"
)

// StageRow is the end of a stage; row 0 is the start.
type StageRow struct {
	Stage         int     `json:"stage"`
	TimeH         float64 `json:"time_h"`
	TemperatureC  float64 `json:"temperature_C"` // at the reference point, as is the undercooling
	UndercoolingK float64 `json:"undercooling_K"`
	GrownAMM      float64 `json:"grown_a_mm"` // length a face of a free grain has grown since growth began
	GrownCMM      float64 `json:"grown_c_mm"`
}

// SeedMargin says how far the hottest moment stays below what a seed withstands.
type SeedMargin struct {
	Seed        string   `json:"seed"`         // its table, with the number of seeds where they are several
	PeritecticC *float64 `json:"peritectic_C"` // nil where the study does not say
	MarginK     *float64 `json:"margin_K"`     // of several seeds the least; nil where nothing is known
	OffsetK     float64  `json:"offset_K"`     // by which the hottest place under it is hotter than the reference point
}

// Stages follows the stages; a stage that takes no time has its row too.
func (t *Draft) Stages() (rows []StageRow) {
	begins := t.Case.Programme.Seen(t.LowestK, 0).GrowthStartH()
	part, row := t.Schedule, StageRow{}
	for i := range len(t.Schedule.Stages) + 1 {
		part.Stages = t.Schedule.Stages[:i]
		knots := part.Programme(t.PeritecticC).Knots
		last, from := knots[len(knots)-1], row
		row = StageRow{i, last.TimeH, t.PeritecticC - last.UndercoolingK, last.UndercoolingK, from.GrownAMM, from.GrownCMM}
		start := math.Max(from.TimeH, begins)
		if hours := last.TimeH - start; i > 0 && hours > 0 {
			at := from.UndercoolingK
			if start != from.TimeH {
				at = t.Case.Programme.Undercooling(start)
			}
			row.GrownAMM += laws.Grown(t.Case.GrowthA, at, last.UndercoolingK, hours)
			row.GrownCMM += laws.Grown(t.Case.GrowthC, at, last.UndercoolingK, hours)
		}
		rows = append(rows, row)
	}
	return rows
}

// HottestC is the hottest temperature of the programme at the reference point, °C.
func (t *Draft) HottestC() float64 { return t.Schedule.HottestC(t.PeritecticC) }

// Margins gathers the seeds of one table, of which the one nearest to dissolving counts.
func (t *Draft) Margins() (out []SeedMargin) {
	counts := map[string]int{}
	for i, seat := range t.Seats {
		m := SeedMargin{Seed: t.seeds[i].Table, OffsetK: seat.HottestK}
		if margin := seat.MarginK(t.HottestC()); !math.IsInf(seat.PeritecticC, 0) {
			m.PeritecticC, m.MarginK = &seat.PeritecticC, &margin
		}
		if counts[m.Seed]++; counts[m.Seed] == 1 { // seeds of a table follow one another
			out = append(out, m)
		} else if worst := &out[len(out)-1]; m.OffsetK > worst.OffsetK {
			*worst = m
		}
	}
	for i := range out {
		if n := counts[out[i].Seed]; n > 1 {
			out[i].Seed += fmt.Sprintf(" (%d seeds)", n)
		}
	}
	return out
}
