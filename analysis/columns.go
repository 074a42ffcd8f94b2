package analysis

import (
	"cmp"
	"math"
	"slices"

	"onegrain/studies/table"
)

// columns hands out the columns of a table. One that is not there is unknown in each row, and the
// first such stays in err.
type columns struct {
	rows    *table.Frame
	numbers map[string][]float64
	err     error
}

func columnsOf(rows *table.Frame) *columns {
	return &columns{rows: rows, numbers: map[string][]float64{}}
}

func (c *columns) reals(name string) []float64 {
	x, read := c.numbers[name]
	if !read {
		var err error
		if x, err = c.rows.Reals(name); err != nil {
			x, c.err = slices.Repeat([]float64{math.NaN()}, c.rows.Len()), cmp.Or(c.err, err)
		}
		c.numbers[name] = x
	}
	return x
}

func (c *columns) texts(name string) []string {
	x, err := c.rows.Texts(name)
	if err != nil {
		x, c.err = make([]string, c.rows.Len()), cmp.Or(c.err, err)
	}
	return x
}

// whole is a number of a column of whole ones, 0 where it is not known.
func whole(x float64) int {
	if math.IsNaN(x) {
		return 0
	}
	return int(x)
}
