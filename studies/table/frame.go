package table

import (
	"fmt"
	"math"
	"slices"

	"onegrain/studies/column"
)

// Frame holds rows of one table, column by column.
type Frame struct {
	Schema column.Schema
	rows   int
	data   []cells
	meta   map[string]string // key-values of the file it was read from
}

// cells of one column; only the slice of its kind is used. A real that does not exist is NaN here and null in the file.
type cells struct {
	ints  []int64
	reals []float64
	texts []string
	flags []bool
	null  []bool // ints, texts and flags that do not exist
}

// NewFrame is an empty frame of that schema.
func NewFrame(s column.Schema) *Frame { return &Frame{Schema: s, data: make([]cells, len(s.Columns))} }

// Len is the number of rows.
func (f *Frame) Len() int { return f.rows }

// Append adds a row: one value per column in order, int, int64, float64, string or bool as the column's kind, nil (or NaN in a
// Real column) where the value does not exist. The error names the column, the value and what was wanted; then nothing is added.
func (f *Frame) Append(values ...any) error {
	if len(values) != len(f.Schema.Columns) {
		return fmt.Errorf("table %s: a row of %d values: wanted %d, one for each column", f.Schema.Table, len(values), len(f.Schema.Columns))
	}
	tidy := make([]any, len(values))
	for i, v := range values {
		t, err := tidied(f.Schema.Columns[i], v)
		if err != nil {
			return fmt.Errorf("table %s, row %d: %w", f.Schema.Table, f.rows+1, err)
		}
		tidy[i] = t
	}
	for i, v := range tidy {
		f.data[i].add(f.Schema.Columns[i].Kind, v)
	}
	f.rows++
	return nil
}

// tidy turns a value into the one form its kind has, nil if it does not exist.
func tidied(c column.Column, v any) (any, error) {
	if n, ok := v.(int); ok {
		v = int64(n)
	}
	if n, ok := v.(int64); ok && c.Kind == column.Real {
		v = float64(n)
	}
	if x, ok := v.(float64); ok && math.IsNaN(x) {
		v = nil
	}
	if v == nil {
		if !c.Null {
			return nil, fmt.Errorf("column %s: no value: this column cannot be empty", c.Name)
		}
		return nil, nil
	}
	fits := false
	switch x := v.(type) {
	case int64:
		fits = c.Kind == column.Int
	case float64:
		fits = c.Kind == column.Real && !math.IsInf(x, 0)
	case string:
		fits = c.Kind == column.Text
	case bool:
		fits = c.Kind == column.Flag
	}
	if !fits {
		return nil, fmt.Errorf("column %s: %v (%T): wanted a finite %s", c.Name, v, v, c.Kind)
	}
	return v, nil
}

// add puts a tidy value at the end.
func (d *cells) add(k column.Kind, v any) {
	switch k {
	case column.Int:
		n, ok := v.(int64)
		d.ints, d.null = append(d.ints, n), append(d.null, !ok)
	case column.Real:
		x, ok := v.(float64)
		if !ok {
			x = math.NaN()
		}
		d.reals = append(d.reals, x)
	case column.Text:
		s, ok := v.(string)
		d.texts, d.null = append(d.texts, s), append(d.null, !ok)
	case column.Flag:
		b, ok := v.(bool)
		d.flags, d.null = append(d.flags, b), append(d.null, !ok)
	}
}

// value of a row, nil if it does not exist.
func (d *cells) value(k column.Kind, row int) any {
	switch {
	case k == column.Real && math.IsNaN(d.reals[row]):
		return nil
	case k == column.Real:
		return d.reals[row]
	case d.null[row]:
		return nil
	case k == column.Int:
		return d.ints[row]
	case k == column.Text:
		return d.texts[row]
	}
	return d.flags[row]
}

// Value of a column in row 0..Len()-1: int64, float64, string or bool; nil where it is empty or there is no such column.
func (f *Frame) Value(row int, name string) any {
	i := f.Schema.Index(name)
	if i < 0 {
		return nil
	}
	return f.data[i].value(f.Schema.Columns[i].Kind, row)
}

// Reals is a column as numbers, one per row: flags count as 0 or 1, what is empty or text as NaN. The error names a column
// that does not exist.
func (f *Frame) Reals(name string) ([]float64, error) {
	i := f.Schema.Index(name)
	if i < 0 {
		return nil, fmt.Errorf("table %s has no column %q", f.Schema.Table, name)
	}
	if f.Schema.Columns[i].Kind == column.Real {
		return slices.Clone(f.data[i].reals), nil
	}
	out := make([]float64, f.rows)
	for r := range out {
		switch v := f.data[i].value(f.Schema.Columns[i].Kind, r).(type) {
		case int64:
			out[r] = float64(v)
		case bool:
			if v {
				out[r] = 1
			}
		default:
			out[r] = math.NaN()
		}
	}
	return out, nil
}

// Pick is a frame of the given rows, in the given order.
func (f *Frame) Pick(rows []int) *Frame {
	p := NewFrame(f.Schema)
	p.meta = f.meta
	for i, c := range f.Schema.Columns {
		for _, r := range rows {
			p.data[i].add(c.Kind, f.data[i].value(c.Kind, r))
		}
	}
	p.rows = len(rows)
	return p
}

// join adds the rows of g: columns are matched by name, new ones are added, and what a side does not know stays empty.
func (f *Frame) join(g *Frame) error {
	for _, c := range g.Schema.Columns {
		i := f.Schema.Index(c.Name)
		switch {
		case i < 0:
			c.Null = true
			f.Schema.Columns = append(f.Schema.Columns, c)
			f.data = append(f.data, cells{})
			for range f.rows {
				f.data[len(f.data)-1].add(c.Kind, nil)
			}
		case f.Schema.Columns[i].Kind != c.Kind:
			return fmt.Errorf("table %s: column %s is %s in one part and %s in another: the folder holds two different studies; keep each in a folder of its own",
				f.Schema.Table, c.Name, f.Schema.Columns[i].Kind, c.Kind)
		}
	}
	for i, c := range f.Schema.Columns {
		from := g.Schema.Index(c.Name)
		if from < 0 {
			f.Schema.Columns[i].Null = true
		}
		for r := range g.rows {
			var v any
			if from >= 0 {
				v = g.data[from].value(c.Kind, r)
			}
			f.data[i].add(c.Kind, v)
		}
	}
	f.rows += g.rows
	return nil
}
