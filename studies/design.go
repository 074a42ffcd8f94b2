package studies

import (
	"encoding/csv"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"onegrain/studies/strict"
)

// design says how the axes make cases. rows is set for a table, whose columns follow the axes, spread for a sampled design.
type design struct {
	kind   string
	axes   []axis
	rows   [][]any
	spread *spread
}

// mostCases is where a study is a slip of the pen: at a millisecond a run it would take a month.
const mostCases = 1 << 31

// cases counts the cases; one where nothing is varied.
func (g *design) cases() int {
	switch {
	case g.kind == "table":
		return len(g.rows)
	case g.spread != nil:
		return g.spread.points * g.spread.block()
	case len(g.axes) == 0:
		return 1
	case g.kind == "together":
		return len(g.axes[0].values)
	}
	n := 1
	for _, a := range g.axes {
		if len(a.values) == 0 {
			return 0
		}
		if n > mostCases/len(a.values) {
			return mostCases + 1
		}
		n *= len(a.values)
	}
	return n
}

// values are those of case i, in the order of the axes; in a grid the last axis runs fastest.
func (g *design) values(i int) []any {
	if g.kind == "table" {
		return g.rows[i]
	}
	if len(g.axes) == 0 {
		return nil
	}
	out := make([]any, len(g.axes))
	if g.spread != nil {
		for k, u := range g.spread.at(i) {
			out[k] = g.axes[k].along(u)
		}
		return out
	}
	for k := len(g.axes) - 1; k >= 0; k-- {
		v := g.axes[k].values
		if g.kind == "together" {
			out[k] = v[i]
			continue
		}
		out[k], i = v[i%len(v)], i/len(v)
	}
	return out
}

func (g *design) keys() []string {
	keys := make([]string, len(g.axes))
	for k, a := range g.axes {
		keys[k] = a.key
	}
	return keys
}

// branches tells whether a varied value can decide which other keys apply; numbers cannot, only their being there.
func (g *design) branches() bool {
	return slices.ContainsFunc(g.axes, func(a axis) bool { return holds[string](a.field) || holds[bool](a.field) })
}

// readDesign checks the [design] against its axes.
func readDesign(d *strict.Document, all []axis, open opener) (*design, strict.Problems) {
	g := &design{kind: d.Text("design.kind"), axes: all}
	bad := func(key, wanted, hint string) (*design, strict.Problems) {
		return g, strict.Problems{d.Problem(key, wanted, hint)}
	}
	switch g.kind {
	case "latin", "sobol", "saltelli":
		return g, g.spreadOut(d)
	case "together":
		for _, a := range all[min(1, len(all)):] {
			if len(a.values) != len(all[0].values) && len(a.values) > 0 && len(all[0].values) > 0 {
				return bad(a.at, fmt.Sprintf("together wants as many values in every [[vary]]: %d here, %d in %s", len(a.values), len(all[0].values), all[0].at), `or take design.kind = "grid"`)
			}
		}
	case "table":
		if len(all) == 0 {
			return bad("design.kind", "a table of cases needs a [[vary]] for each of its columns", "key = …, name = …")
		}
		return g, g.table(d, open)
	}
	if n := g.cases(); n > mostCases {
		return bad("design.kind", "more than two thousand million cases", "take fewer values")
	}
	return g, nil
}

// table reads the rows of a CSV file.
func (g *design) table(d *strict.Document, open opener) strict.Problems {
	const key = "design.file"
	if !d.Has(key) {
		return nil
	}
	bad := func(wanted, hint string) strict.Problems { return strict.Problems{d.Problem(key, wanted, hint)} }
	data, err := open(d.Text(key))
	if err != nil {
		return bad("cannot be read: "+plain(err), "it stands beside the study")
	}
	r := csv.NewReader(strings.NewReader(strings.TrimPrefix(string(data), "\ufeff")))
	r.Comment, r.TrimLeadingSpace, r.FieldsPerRecord = '#', true, -1
	head, err := r.Read()
	if err != nil {
		return bad("has no first row with the names of its columns", "")
	}
	order, p := g.columns(head)
	if p != "" {
		return bad(p, "its columns are the names of the [[vary]]")
	}
	for {
		row, err := r.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			return bad("is no CSV: "+err.Error(), "")
		}
		line, _ := r.FieldPos(0)
		values, wanted := g.row(row, order)
		if wanted != "" {
			return bad(fmt.Sprintf("line %d: %s", line, wanted), "")
		}
		g.rows = append(g.rows, values)
	}
	if len(g.rows) == 0 {
		return bad("has no rows", "")
	}
	return nil
}

// columns finds the axis of each column of the head row.
func (g *design) columns(head []string) (order []int, wanted string) {
	order = make([]int, len(g.axes))
	for k := range order {
		order[k] = -1
	}
	for c, name := range head {
		name = strings.TrimSpace(name)
		k := slices.IndexFunc(g.axes, func(a axis) bool { return a.name == name })
		if k < 0 {
			return nil, fmt.Sprintf("the column %q is the name of no [[vary]]", name)
		}
		if order[k] >= 0 {
			return nil, fmt.Sprintf("the column %q stands there twice", name)
		}
		order[k] = c
	}
	for k, c := range order {
		if c < 0 {
			return nil, fmt.Sprintf("there is no column %q", g.axes[k].name)
		}
	}
	return order, ""
}

// row turns the cells of a CSV row into the values of the axes.
func (g *design) row(cells []string, order []int) (values []any, wanted string) {
	if len(cells) != len(order) {
		return nil, fmt.Sprintf("wanted %d cells, it has %d", len(order), len(cells))
	}
	values = make([]any, len(order))
	for k, a := range g.axes {
		cell := strings.TrimSpace(cells[order[k]])
		var raw any = cell
		if n, err := strconv.ParseInt(cell, 10, 64); err == nil && !holds[string](a.field) {
			raw = n
		} else if x, err := strconv.ParseFloat(cell, 64); err == nil && !holds[string](a.field) {
			raw = x
		} else if b, err := strconv.ParseBool(cell); err == nil && holds[bool](a.field) {
			raw = b
		}
		v, wanted, _ := a.field.Take(a.key, raw)
		if wanted != "" {
			return nil, fmt.Sprintf("%s = %q: %s", a.name, cell, wanted)
		}
		values[k] = v
	}
	return values, ""
}
