package design

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strconv"
	"strings"

	"onegrain/studies/column"
	"onegrain/studies/strict"
	"onegrain/studies/unit"
)

// Design says how the axes make cases.
type Design struct {
	axes  []axis
	kind  string
	cases int
	at    func(i int) []any // the values of a case, in the order of the axes

	points int                     // of a sampled design; of a Saltelli design rows of A
	point  func(i int) []float64   // of the cube; of a Saltelli design row i of A and, behind it, of B
	twins  func() map[string][]int // by their values, the cases of which others are the same
}

// mostCases is where a study is a slip of the pen: at a millisecond a run it would take a month.
const mostCases = 1 << 31

// Read checks the [[vary]] of keys of some sections and the [design]; open reads files beside the
// study. Where there are problems the design may have no cases.
func Read(d *strict.Document, keys strict.Schema, sections []string,
	open func(name string) ([]byte, error)) (*Design, strict.Problems) {
	g := &Design{kind: d.Text("design.kind"), cases: 1, at: func(int) []any { return nil }}
	var found strict.Problems
	g.axes, found = reader{d, keys, sections, g.kind}.axes()
	cases := g.grid
	switch {
	case sampled(g.kind):
		cases = g.sample
	case g.kind == "table":
		cases = func(d *strict.Document) strict.Problems { return g.table(d, open) }
	case g.kind == "together":
		cases = g.together
	}
	return g, append(found, cases(d)...)
}

// Cases counts the cases; one where nothing is varied.
func (g *Design) Cases() int { return g.cases }

// Varied counts the axes.
func (g *Design) Varied() int { return len(g.axes) }

// Values are those of case i, in the order of the axes; in a grid the last axis runs fastest.
func (g *Design) Values(i int) []any { return g.at(i) }

// Keys are those of the axes.
func (g *Design) Keys() []string {
	var keys []string
	for _, a := range g.axes {
		keys = append(keys, a.key)
	}
	return keys
}

// Columns are those that the varied quantities make in the tables, in the order of [[vary]].
func (g *Design) Columns() (out []column.Column) {
	for _, a := range g.axes {
		kind := column.Real // also of one number of a list
		switch a.field.Like.(type) {
		case int64:
			kind = column.Int
		case string:
			kind = column.Text
		case bool:
			kind = column.Flag
		}
		means := "varied: "
		if a.unknown {
			means = "not known, averaged over: "
		}
		out = append(out, column.Column{Name: a.name, Kind: kind, Unit: unit.Code(a.field.Unit), Means: means + a.key})
	}
	return out
}

// Name names case i by its values, as "cooling_rate_K_per_h = 0.4, start_undercooling_K = 8".
func (g *Design) Name(i int) string {
	parts := make([]string, len(g.axes))
	for k, v := range g.at(i) {
		parts[k] = fmt.Sprintf("%s = %v", g.axes[k].name, v)
	}
	return strings.Join(parts, ", ")
}

// Unknown are the names of the axes that are merely not known.
func (g *Design) Unknown() (all []string) {
	for _, a := range g.axes {
		if a.unknown {
			all = append(all, a.name)
		}
	}
	return all
}

// Branches tells whether a varied value can decide which other keys apply; numbers cannot, only
// their being there.
func (g *Design) Branches() bool {
	return slices.ContainsFunc(g.axes, func(a axis) bool { return a.field.Like == "" || a.field.Like == false })
}

// grid is every combination of the values.
func (g *Design) grid(d *strict.Document) strict.Problems {
	for _, a := range g.axes {
		if n := len(a.values); n > 0 && g.cases > mostCases/n {
			g.cases = 0
			return d.Problem("design.kind", "more than two thousand million cases", "take fewer values")
		}
		g.cases *= len(a.values)
	}
	g.at = func(i int) []any {
		out := make([]any, len(g.axes))
		for k, a := range slices.Backward(g.axes) {
			out[k], i = a.values[i%len(a.values)], i/len(a.values)
		}
		return out
	}
	return nil
}

// together is element by element.
func (g *Design) together(d *strict.Document) strict.Problems {
	for _, a := range g.axes {
		first := g.axes[0]
		g.cases = len(first.values)
		if m, n := len(a.values), g.cases; m != n && m > 0 && n > 0 {
			return d.Problem(a.at, fmt.Sprintf("together wants as many values in every [[vary]]: %d here, %d in %s", m, n,
				first.at), `or take design.kind = "grid"`)
		}
	}
	g.at = func(i int) (out []any) {
		for _, a := range g.axes {
			out = append(out, a.values[i])
		}
		return out
	}
	return nil
}

// table takes the cases from the rows of a CSV file.
func (g *Design) table(d *strict.Document, open func(name string) ([]byte, error)) strict.Problems {
	const key = "design.file"
	g.cases = 0
	if len(g.axes) == 0 {
		return d.Problem("design.kind", "a table of cases needs a [[vary]] for each of its columns", "key = …, name = …")
	}
	if !d.Has(key) {
		return nil
	}
	data, err := open(d.Text(key))
	if err != nil {
		return d.Problem(key, "cannot be read: "+Plain(err), "it must lie beside the study")
	}
	r := csv.NewReader(strings.NewReader(strings.TrimPrefix(string(data), "\ufeff")))
	r.Comment, r.TrimLeadingSpace, r.FieldsPerRecord = '#', true, -1
	head, err := r.Read()
	if err != nil {
		return d.Problem(key, "has no first row with the names of its columns", "")
	}
	order, wanted := g.order(head)
	if wanted != "" {
		return d.Problem(key, wanted, "its columns are the names of the [[vary]]")
	}
	var rows [][]any
	for row, err := r.Read(); err != io.EOF; row, err = r.Read() {
		if err != nil {
			return d.Problem(key, "is no CSV: "+err.Error(), "")
		}
		values, wanted := g.row(row, order)
		if line, _ := r.FieldPos(0); wanted != "" {
			return d.Problem(key, fmt.Sprintf("line %d: %s", line, wanted), "")
		}
		rows = append(rows, values)
	}
	if len(rows) == 0 {
		return d.Problem(key, "has no rows", "")
	}
	g.cases, g.at = len(rows), func(i int) []any { return rows[i] }
	return nil
}

// order finds the axis of each column of the head row.
func (g *Design) order(head []string) (order []int, wanted string) {
	for _, name := range head {
		name = strings.TrimSpace(name)
		k := slices.IndexFunc(g.axes, func(a axis) bool { return a.name == name })
		if k < 0 {
			return nil, fmt.Sprintf("the column %q is the name of no [[vary]]", name)
		}
		if slices.Contains(order, k) {
			return nil, fmt.Sprintf("the column %q is there twice", name)
		}
		order = append(order, k)
	}
	for k, a := range g.axes {
		if !slices.Contains(order, k) {
			return nil, fmt.Sprintf("there is no column %q", a.name)
		}
	}
	return order, ""
}

// row turns the cells of a CSV row into the values of the axes.
func (g *Design) row(cells []string, order []int) (values []any, wanted string) {
	if len(cells) != len(order) {
		return nil, fmt.Sprintf("wanted %d cells, it has %d", len(order), len(cells))
	}
	values = make([]any, len(order))
	for c, k := range order {
		a, cell := g.axes[k], strings.TrimSpace(cells[c])
		v, wanted, _ := a.field.Take(a.key, value(a, cell))
		if wanted != "" {
			return nil, fmt.Sprintf("%s = %q: %s", a.name, cell, wanted)
		}
		values[k] = v
	}
	return values, ""
}

// value is a cell as the decoder of studies would give it.
func value(a axis, cell string) any {
	if a.field.Like == "" {
		return cell
	}
	if n, err := strconv.ParseInt(cell, 10, 64); err == nil {
		return n
	}
	if x, err := strconv.ParseFloat(cell, 64); err == nil {
		return x
	}
	if b, err := strconv.ParseBool(cell); err == nil && a.field.Like == false {
		return b
	}
	return cell
}

// Plain says an error of the file system without the path, which the reader has before him.
func Plain(err error) string {
	if errors.Is(err, fs.ErrNotExist) {
		return "no such file"
	}
	var pe *fs.PathError
	if errors.As(err, &pe) {
		return pe.Err.Error()
	}
	return err.Error()
}
