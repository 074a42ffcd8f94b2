package analysis

import (
	"cmp"
	"math"
	"slices"

	"onegrain/studies/column"
	"onegrain/studies/table"
)

// columns hands out the columns of a table. One that a version of the program did not have yet is
// unknown in each row, and the first such stays in err.
type columns struct {
	rows    *table.Frame
	numbers map[string][]float64
	words   map[string][]string
	err     error
}

func columnsOf(rows *table.Frame) *columns {
	return &columns{rows: rows, numbers: map[string][]float64{}, words: map[string][]string{}}
}

func (c *columns) reals(name string) []float64 {
	return readOnce(c, c.numbers, name, c.rows.Reals, math.NaN())
}

func (c *columns) texts(name string) []string {
	return readOnce(c, c.words, name, c.rows.Texts, "")
}

// readOnce reads a column at the first call: a frame makes it anew for each.
func readOnce[T any](c *columns, seen map[string][]T, name string, read func(string) ([]T, error), unknown T) []T {
	x, known := seen[name]
	if !known {
		var err error
		if x, err = read(name); err != nil {
			c.missing(name, err)
			x = slices.Repeat([]T{unknown}, c.rows.Len())
		}
		seen[name] = x
	}
	return x
}

// missing notes a column that is not there. One that no version has is a slip of ours.
func (c *columns) missing(name string, err error) {
	c.err = cmp.Or(c.err, err)
	if s, _ := column.Of(c.rows.Schema.Table, nil); s.Index(name) < 0 {
		panic(err)
	}
}

// whole is a number of a column of whole ones, 0 where it is not known.
func whole(x float64) int {
	if math.IsNaN(x) {
		return 0
	}
	return int(x)
}
