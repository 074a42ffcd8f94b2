package logbook

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
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
func leftOut(why string, rows []string) []string {
	if len(rows) == 0 {
		return nil
	}
	names := strings.Join(rows[:min(4, len(rows))], ", ")
	if n := len(rows) - 4; n > 0 {
		names += fmt.Sprintf(" and %d more", n)
	}
	return []string{fmt.Sprintf("left out, as "+why, names)}
}

// row is a line of a sheet: its cells by column.
type row struct {
	*Sheet
	line  int
	cells map[string]string
}

func (r *row) at() Line { return Line{r.line, r.cells["run"], r.cells["note"]} }

func (r *row) filled(column string) bool { return r.cells[column] != "" }

// wrong notes what is wrong with a cell, or with one that is missing; without a column, with the
// row.
func (r *row) wrong(column, wanted, hint string) {
	r.note(r.line, column, r.cells[column], wanted, hint)
}

// number reads a cell; it is 0 where the cell is empty or wrong, which is noted.
func (r *row) number(column string) float64 {
	text := r.cells[column]
	if text == "" {
		return 0
	}
	plain := text
	if r.comma && !strings.Contains(text, ".") {
		plain = strings.Replace(text, ",", ".", 1)
	}
	f, _ := r.known.Field(column)
	x, err := strconv.ParseFloat(plain, 64)
	wanted, hint := f.Wanted(), ""
	switch {
	case err == nil && strings.Trim(plain, "0123456789.+-eE") == "" && !math.IsInf(x, 0):
		if _, wanted, hint = f.Take(column, x); wanted == "" {
			return x
		}
		if f.Unit == "K" {
			hint = "an undercooling is the peritectic temperature less the temperature; " +
				"temperatures go into columns that end in _C"
		}
	case strings.Contains(text, ",") && !r.comma:
		hint = commaHint
	case strings.ContainsAny(text, "0123456789") && strings.ContainsAny(text, " °KCmh"):
		hint = "the unit is in the name of the column"
	}
	r.wrong(column, wanted, hint)
	return 0
}

// needed reads a cell that may not be empty.
func (r *row) needed(column, hint string) float64 {
	if !r.filled(column) {
		r.wrong(column, "missing", hint)
	}
	return r.number(column)
}

// word reads a cell that takes one of some words; empty where it is empty or wrong, which is noted.
func (r *row) word(column string) string {
	f, _ := r.known.Field(column)
	text := strings.ToLower(r.cells[column])
	if text == "" || slices.Contains(f.Choices, text) {
		return text
	}
	_, wanted, hint := f.Take(column, text)
	r.wrong(column, wanted, hint)
	return ""
}

// stage reads hours and undercoolings; temperatures need peritecticC, which is NaN where it is not
// known. What is wrong is noted.
func (r *row) stage(peritecticC float64) Stage {
	s := Stage{Hours: r.needed("hours", "")}
	var ways [][2]string
	var starts []string
	for _, way := range [][2]string{{"undercooling_K", "undercooling_K"}, {"start_undercooling_K", "end_undercooling_K"},
		{"temperature_C", "temperature_C"}, {"start_C", "end_C"}} {
		if r.filled(way[0]) || r.filled(way[1]) {
			ways, starts = append(ways, way), append(starts, way[0])
		}
	}
	switch len(ways) {
	case 0:
		r.wrong("undercooling_K", "missing",
			"or start_undercooling_K and end_undercooling_K, or temperature_C, or start_C and end_C")
		return s
	case 1:
	default:
		r.wrong("", "the undercooling is given in several ways: "+strings.Join(starts, " and "),
			"leave all but one of them empty")
		return s
	}
	from, to := ways[0][0], ways[0][1]
	s.FromK = r.needed(from, "it belongs to "+to)
	if s.ToK = s.FromK; to != from {
		s.ToK = r.needed(to, "it belongs to "+from)
	}
	if strings.HasSuffix(from, "_C") {
		s.FromK, s.ToK = peritecticC-s.FromK, peritecticC-s.ToK
		if math.IsNaN(peritecticC) {
			r.wrong(from, "a temperature gives the undercooling only with a peritectic temperature",
				"--peritectic C, or --base NAME for a row of `onegrain materials`")
			return Stage{}
		}
	}
	return s
}
