package logbook

import (
	"fmt"
	"math"
	"strings"

	"onegrain/studies/sheet"
)

// Stage is a straight piece of a furnace programme: the undercooling goes from FromK to ToK in
// Hours > 0.
type Stage struct {
	FromK float64 `json:"from_K"`
	ToK   float64 `json:"to_K"`
	Hours float64 `json:"hours"`
}

// Reach is the least and the largest undercooling of a stage (K); the least is 0 at least.
func (s Stage) Reach() (low, high float64) { return max(0, min(s.FromK, s.ToK)), max(s.FromK, s.ToK) }

// warm tells whether nothing happens in a stage.
func (s Stage) warm() bool { return max(s.FromK, s.ToK) <= leastK }

// leastK is an undercooling that no furnace can hold: nothing happens at less.
const leastK = 0.01

// Line is where a row stands in its file, and what a person wrote beside it.
type Line struct {
	Number    int // from 1
	Run, Note string
}

// Name is what sentences call a row.
func (l Line) Name() string {
	if l.Run == "" {
		return fmt.Sprintf("line %d", l.Number)
	}
	return fmt.Sprintf("line %d (%s)", l.Number, l.Run)
}

// leftOut is a sentence about rows, four of them at most; empty for none.
func leftOut(why string, rows []string) []string { return about("left out, as "+why, rows) }

func about(why string, rows []string) []string {
	if len(rows) == 0 {
		return nil
	}
	names := strings.Join(rows[:min(4, len(rows))], ", ")
	if n := len(rows) - 4; n > 0 {
		names += fmt.Sprintf(" and %d more", n)
	}
	return []string{fmt.Sprintf(why, names)}
}

// row is a row of a sheet.
type row struct{ *sheet.Row }

func (r row) at() Line { return Line{r.Line, r.Cell("run"), r.Cell("note")} }

// recorded tells whether a controller's record gives the stage.
func (r row) recorded() bool { return r.Filled("log") && !r.Filled("hours") }

// stage reads hours and undercoolings; temperatures need peritecticC, which is NaN where it is not
// known. What is wrong is noted.
func (r row) stage(peritecticC float64) Stage {
	s := Stage{Hours: r.Needed("hours", "")}
	var ways [][2]string
	var starts []string
	for _, way := range [][2]string{{"undercooling_K", "undercooling_K"}, {"start_undercooling_K", "end_undercooling_K"},
		{"temperature_C", "temperature_C"}, {"start_C", "end_C"}} {
		if r.Filled(way[0]) || r.Filled(way[1]) {
			ways, starts = append(ways, way), append(starts, way[0])
		}
	}
	switch len(ways) {
	case 0:
		r.Refuse("undercooling_K", "missing",
			"or start_undercooling_K and end_undercooling_K, or temperature_C, or start_C and end_C")
		return s
	case 1:
	default:
		r.Refuse("", "the undercooling is given in several ways: "+strings.Join(starts, " and "),
			"leave all but one of them empty")
		return s
	}
	from, to := ways[0][0], ways[0][1]
	s.FromK = r.Needed(from, "it belongs to "+to)
	if s.ToK = s.FromK; to != from {
		s.ToK = r.Needed(to, "it belongs to "+from)
	}
	if strings.HasSuffix(from, "_C") {
		s.FromK, s.ToK = peritecticC-s.FromK, peritecticC-s.ToK
		if math.IsNaN(peritecticC) {
			r.Refuse(from, "a temperature gives the undercooling only with a peritectic temperature",
				"--peritectic C, or --base NAME for a row of `onegrain materials`")
			return Stage{}
		}
	}
	return s
}
