package table

import (
	"fmt"
	"math"

	"github.com/parquet-go/parquet-go"

	"onegrain/studies/column"
)

// Frame holds rows of one table, column by column.
type Frame struct {
	Schema column.Schema
	rows   int
	data   [][]parquet.Value // of each column; null where a value does not exist
	meta   map[string]string // key-values of the file it was read from
}

// NewFrame is an empty frame of that schema.
func NewFrame(s column.Schema) *Frame {
	return &Frame{Schema: s, data: make([][]parquet.Value, len(s.Columns))}
}

// Len is the number of rows.
func (f *Frame) Len() int { return f.rows }

// Append adds a row: one value per column in order, int, int64, float64, string or bool as the
// column's kind, nil or NaN where the value does not exist. The error names the column, the value
// and what was wanted; then nothing is added.
func (f *Frame) Append(values ...any) (err error) {
	if len(values) != len(f.data) {
		return fmt.Errorf("table %s: a row of %d values: wanted %d, one for each column",
			f.Schema.Table, len(values), len(f.data))
	}
	row := make([]parquet.Value, len(values))
	for i, v := range values {
		if row[i], err = stored(f.Schema.Columns[i], v); err != nil {
			return fmt.Errorf("table %s, row %d: %w", f.Schema.Table, f.rows+1, err)
		}
	}
	for i, v := range row {
		f.data[i] = append(f.data[i], v)
	}
	f.rows++
	return nil
}

// stored is a value as a frame holds it.
func stored(c column.Column, v any) (parquet.Value, error) {
	fits := false
	switch x := v.(type) {
	case int:
		return stored(c, int64(x))
	case int64:
		if c.Kind == column.Real {
			return stored(c, float64(x))
		}
		fits = c.Kind == column.Int
	case float64:
		fits = c.Kind == column.Real && !math.IsInf(x, 0)
		if math.IsNaN(x) {
			v = nil
		}
	case string:
		fits = c.Kind == column.Text
	case bool:
		fits = c.Kind == column.Flag
	}
	switch {
	case v == nil && !c.Null:
		return parquet.Value{}, fmt.Errorf("column %s: no value: this column cannot be empty", c.Name)
	case v != nil && !fits:
		return parquet.Value{}, fmt.Errorf("column %s: %v (%T): wanted a finite %s", c.Name, v, v, c.Kind)
	}
	return parquet.ValueOf(v), nil
}

// plain is a value in Go's own form, nil if there is none.
func plain(v parquet.Value) any {
	switch {
	case v.IsNull():
		return nil
	case v.Kind() == parquet.Int64:
		return v.Int64()
	case v.Kind() == parquet.Double:
		return v.Double()
	case v.Kind() == parquet.Boolean:
		return v.Boolean()
	}
	return string(v.ByteArray())
}

// Value of a column in row 0..Len()-1: int64, float64, string or bool; nil where it is empty or
// there is no such column.
func (f *Frame) Value(row int, name string) any {
	if i := f.Schema.Index(name); i >= 0 {
		return plain(f.data[i][row])
	}
	return nil
}

// Reals is a column as numbers, one per row: flags count as 0 or 1, what is empty or text as NaN.
// The error names a column that does not exist.
func (f *Frame) Reals(name string) ([]float64, error) {
	i := f.Schema.Index(name)
	if i < 0 {
		return nil, fmt.Errorf("table %s has no column %q", f.Schema.Table, name)
	}
	out := make([]float64, f.rows)
	for r, v := range f.data[i] {
		switch x := plain(v).(type) {
		case float64:
			out[r] = x
		case int64:
			out[r] = float64(x)
		case bool:
			out[r] = float64(btoi(x))
		default:
			out[r] = math.NaN()
		}
	}
	return out, nil
}

// Texts is a column of text, one value per row, "" where it is empty. The error names a column that
// does not exist or is no text.
func (f *Frame) Texts(name string) ([]string, error) {
	i := f.Schema.Index(name)
	if i < 0 || f.Schema.Columns[i].Kind != column.Text {
		return nil, fmt.Errorf("table %s has no column of text %q", f.Schema.Table, name)
	}
	out := make([]string, f.rows)
	for r, v := range f.data[i] {
		out[r] = string(v.ByteArray())
	}
	return out, nil
}

// Pick is a frame of the given rows, in the given order.
func (f *Frame) Pick(rows []int) *Frame {
	p := NewFrame(f.Schema)
	p.meta, p.rows = f.meta, len(rows)
	for i := range f.data {
		p.data[i] = make([]parquet.Value, len(rows))
		for k, r := range rows {
			p.data[i][k] = f.data[i][r]
		}
	}
	return p
}

// join adds the rows of g: columns are matched by name, new ones are added, and what a side does
// not have stays empty.
func (f *Frame) join(g *Frame) error {
	for _, c := range g.Schema.Columns {
		i := f.Schema.Index(c.Name)
		switch {
		case i < 0:
			c.Null = true
			f.Schema.Columns = append(f.Schema.Columns, c)
			f.data = append(f.data, make([]parquet.Value, f.rows))
		case f.Schema.Columns[i].Kind != c.Kind:
			return fmt.Errorf("table %s: column %s is %s in one part and %s in another: "+
				"the folder holds two different studies; keep each in a folder of its own",
				f.Schema.Table, c.Name, f.Schema.Columns[i].Kind, c.Kind)
		}
	}
	for i, c := range f.Schema.Columns {
		if from := g.Schema.Index(c.Name); from >= 0 {
			f.data[i] = append(f.data[i], g.data[from]...)
		} else {
			f.Schema.Columns[i].Null = true
			f.data[i] = append(f.data[i], make([]parquet.Value, g.rows)...)
		}
	}
	f.rows += g.rows
	return nil
}

// joined is both frames in one; the first may be nil. An empty one gives no columns of its own: it
// may have the varied ones of an earlier study.
func joined(f, g *Frame) (*Frame, error) {
	switch {
	case f == nil || f.rows == 0:
		return g, nil
	case g.rows == 0:
		return f, nil
	}
	return f, f.join(g)
}
