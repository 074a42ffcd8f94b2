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

	"onegrain/studies/strict"
)

// Design says how the axes make cases.
type Design struct {
	axes   []axis
	kind   string
	cases  int
	at     func(i int) []any // the values of a case, in the order of the axes
	spread *spread           // of a sampled design
}

// Column is a varied quantity: the column it makes in the tables and the unit it is written in.
type Column struct {
	Name  string
	Unit  string // as "K/h"; empty for none
	Means string // one line for people
	Kind  any    // float64(0), int64(0), "" or false: the type of its values
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
	switch {
	case isSpread(g.kind):
		return g, append(found, g.spreadOut(d)...)
	case g.kind == "table" && len(g.axes) == 0:
		return g, append(found, d.Problem("design.kind", "a table of cases needs a [[vary]] for each of its columns",
			"key = …, name = …")...)
	case g.kind == "table":
		rows, p := g.table(d, open)
		g.cases, g.at = len(rows), func(i int) []any { return rows[i] }
		return g, append(found, p...)
	case g.kind == "together":
		return g, append(found, g.together(d)...)
	}
	return g, append(found, g.grid(d)...)
}

// Cases counts the cases; one where nothing is varied.
func (g *Design) Cases() int { return g.cases }

// Varied counts the axes.
func (g *Design) Varied() int { return len(g.axes) }

// Values are those of case i, in the order of the axes; in a grid the last axis runs fastest.
func (g *Design) Values(i int) []any { return g.at(i) }

// Keys are those of the axes.
func (g *Design) Keys() []string {
	keys := make([]string, len(g.axes))
	for k, a := range g.axes {
		keys[k] = a.key
	}
	return keys
}

// Columns are the varied quantities, in the order of [[vary]].
func (g *Design) Columns() []Column {
	out := make([]Column, len(g.axes))
	for k, a := range g.axes {
		means := "varied: " + a.key
		if a.unknown {
			means = "not known, averaged over: " + a.key
		}
		out[k] = Column{a.name, a.field.Unit, means, a.field.Like}
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
		return g.each(func(a axis) (v any) {
			v, i = a.values[i%len(a.values)], i/len(a.values)
			return v
		})
	}
	return nil
}

// each is a value of each axis, taken from the last axis to the first.
func (g *Design) each(value func(a axis) any) []any {
	out := make([]any, len(g.axes))
	for k, a := range slices.Backward(g.axes) {
		out[k] = value(a)
	}
	return out
}

// together is element by element.
func (g *Design) together(d *strict.Document) strict.Problems {
	if len(g.axes) == 0 {
		return nil
	}
	first := g.axes[0]
	g.cases = len(first.values)
	for _, a := range g.axes {
		if m, n := len(a.values), len(first.values); m != n && m > 0 && n > 0 {
			return d.Problem(a.at, fmt.Sprintf("together wants as many values in every [[vary]]: %d here, %d in %s", m, n,
				first.at),
				`or take design.kind = "grid"`)
		}
	}
	g.at = func(i int) []any { return g.each(func(a axis) any { return a.values[i] }) }
	return nil
}

// table reads the rows of a CSV file.
func (g *Design) table(d *strict.Document, open func(name string) ([]byte, error)) (rows [][]any,
	found strict.Problems) {
	const key = "design.file"
	if !d.Has(key) {
		return nil, nil
	}
	bad := func(wanted, hint string) ([][]any, strict.Problems) { return nil, d.Problem(key, wanted, hint) }
	data, err := open(d.Text(key))
	if err != nil {
		return bad("cannot be read: "+Plain(err), "it stands beside the study")
	}
	r := csv.NewReader(strings.NewReader(strings.TrimPrefix(string(data), "\ufeff")))
	r.Comment, r.TrimLeadingSpace, r.FieldsPerRecord = '#', true, -1
	head, err := r.Read()
	if err != nil {
		return bad("has no first row with the names of its columns", "")
	}
	order, wanted := g.order(head)
	if wanted != "" {
		return bad(wanted, "its columns are the names of the [[vary]]")
	}
	for {
		row, err := r.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			return bad("is no CSV: "+err.Error(), "")
		}
		values, wanted := g.row(row, order)
		if line, _ := r.FieldPos(0); wanted != "" {
			return bad(fmt.Sprintf("line %d: %s", line, wanted), "")
		}
		rows = append(rows, values)
	}
	if len(rows) == 0 {
		return bad("has no rows", "")
	}
	return rows, nil
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
			return nil, fmt.Sprintf("the column %q stands there twice", name)
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
