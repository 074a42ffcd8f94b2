package sheet

import (
	"math"
	"slices"
	"strconv"
	"strings"
)

// Row is a line of a sheet: its cells by column.
type Row struct {
	*Sheet
	Line  int // from 1
	cells map[string]string
}

// Cell is the text of a cell, empty where there is none.
func (r *Row) Cell(column string) string { return r.cells[column] }

// Filled tells whether anything stands in a cell.
func (r *Row) Filled(column string) bool { return r.cells[column] != "" }

// Refuse notes what is wrong with a cell, or with one that is missing; without a column, with the
// row.
func (r *Row) Refuse(column, wanted, hint string) {
	r.Note(r.Line, column, r.cells[column], wanted, hint)
}

// Number reads a cell; it is 0 where the cell is empty or wrong, which is noted.
func (r *Row) Number(column string) float64 {
	text := r.cells[column]
	if text == "" {
		return 0
	}
	plain := text
	if r.comma && !strings.Contains(text, ".") {
		plain = strings.Replace(text, ",", ".", 1)
	}
	f, _ := r.kind.Columns.Field(column)
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
	r.Refuse(column, wanted, hint)
	return 0
}

// Needed reads a cell that may not be empty.
func (r *Row) Needed(column, hint string) float64 {
	if !r.Filled(column) {
		r.Refuse(column, "missing", hint)
	}
	return r.Number(column)
}

// Word reads a cell that takes one of some words; empty where it is empty or wrong, which is noted.
func (r *Row) Word(column string) string {
	f, _ := r.kind.Columns.Field(column)
	text := strings.ToLower(r.cells[column])
	if text == "" || slices.Contains(f.Choices, text) {
		return text
	}
	_, wanted, hint := f.Take(column, text)
	r.Refuse(column, wanted, hint)
	return ""
}
