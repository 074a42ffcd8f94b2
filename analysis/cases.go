package analysis

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"

	"onegrain/analysis/influence"
	"onegrain/analysis/window"
	"onegrain/studies/table"
)

// varied are the columns that the study has put into the table of cases.
func varied(s table.Schema) (cols []table.Column) {
	plain, err := table.Of(s.Table, nil)
	if err != nil {
		return nil
	}
	for _, c := range s.Columns {
		if !slices.ContainsFunc(plain.Columns, func(p table.Column) bool { return p.Name == c.Name }) {
			cols = append(cols, c)
		}
	}
	return cols
}

// study turns the table of cases into what package window looks at.
func study(f *table.Frame) window.Study {
	s := window.Study{}
	ids, _ := f.Texts("case_id") // there, and text, in every table of cases
	col := func(name string) []float64 {
		x, err := f.Reals(name)
		if err != nil { // of a version that did not have it
			return slices.Repeat([]float64{math.NaN()}, f.Len())
		}
		return x
	}
	var at [][]float64
	for _, c := range varied(f.Schema) {
		if c.Kind == table.Int || c.Kind == table.Real {
			x := col(c.Name)
			s.Axes, at = append(s.Axes, window.Numbers(c.Name, c.Unit, x)), append(at, x)
			continue
		}
		words := make([]string, f.Len())
		for r := range words {
			words[r] = fmt.Sprint(f.Value(r, c.Name))
		}
		a, x := window.Words(c.Name, words)
		s.Axes, at = append(s.Axes, a), append(at, x)
	}
	runs, hits, exact, strays := col("runs"), col("single_grain_runs"), col("single_grain_probability_exact"), col("expected_strays_exact")
	diameter, p10, p90, full, programme := col("clear_diameter_mm_median"), col("clear_diameter_mm_p10"), col("clear_diameter_mm_p90"), col("time_to_full_h"), col("programme_h")
	placings, se := col("placings"), col("single_grain_probability_exact_se")
	for r := range f.Len() {
		c := window.Case{ID: ids[r], Runs: whole(runs[r]), Hits: whole(hits[r]), Exact: exact[r], Strays: strays[r],
			DiameterMM: diameter[r], P10: p10[r], P90: p90[r], FullH: full[r], ProgrammeH: programme[r],
			Placings: whole(placings[r]), Error: se[r]}
		for _, x := range at {
			c.At = append(c.At, x[r])
		}
		s.Cases = append(s.Cases, c)
	}
	return s
}

func whole(x float64) int {
	if math.IsNaN(x) {
		return 0
	}
	return int(x)
}

// only are the rows of the cases that have the values asked for. The error names a column or a value that does not occur.
func only(f *table.Frame, fixed map[string]string) (*table.Frame, error) {
	rows := make([]int, f.Len())
	for r := range rows {
		rows[r] = r
	}
	for _, name := range slices.Sorted(maps.Keys(fixed)) {
		if !slices.ContainsFunc(varied(f.Schema), func(c table.Column) bool { return c.Name == name }) {
			return nil, fmt.Errorf("column %q: the study does not vary it", name)
		}
		occurs := map[string]bool{}
		rows = slices.DeleteFunc(rows, func(r int) bool {
			have := f.Value(r, name)
			occurs[fmt.Sprint(have)] = true
			return !same(have, fixed[name])
		})
		if len(rows) == 0 && f.Len() > 0 {
			return nil, fmt.Errorf("%s = %q: no case has it; there are %v", name, fixed[name], slices.Sorted(maps.Keys(occurs)))
		}
	}
	if len(rows) == f.Len() {
		return f, nil
	}
	return f.Pick(rows), nil
}

func same(have any, text string) bool {
	x, err := strconv.ParseFloat(text, 64)
	switch v := have.(type) {
	case float64:
		return err == nil && math.Abs(v-x) <= 1e-9*math.Abs(v)
	case int64:
		return err == nil && float64(v) == x
	}
	return fmt.Sprint(have) == text
}

// rankings says which input matters, where two axes of numbers were varied.
func rankings(f *table.Frame, s window.Study, kind string) ([]influence.Ranking, error) {
	t := influence.Table{}
	column := func(name string, of func(window.Case) float64) influence.Column {
		c := influence.Column{Name: name, Values: make([]float64, len(s.Cases))}
		for i, one := range s.Cases {
			c.Values[i] = of(one)
		}
		return c
	}
	for i, a := range s.Axes {
		if len(a.Values) > 1 {
			in := column(a.Name, func(c window.Case) float64 { return c.At[i] })
			in.Label = a.Label
			t.Inputs = append(t.Inputs, in)
		}
	}
	if len(t.Inputs) < 2 || len(s.Cases) < 2 {
		return nil, nil
	}
	for _, c := range []influence.Column{
		column("logarithm of expected strays", func(c window.Case) float64 { return math.Log10(math.Max(c.Strays, 1e-12)) }),
		column("exact chance of a single grain", func(c window.Case) float64 { return c.Exact }),
		column("counted share of single grains", func(c window.Case) float64 { return float64(c.Hits) / float64(c.Runs) }),
		column("median clear diameter", func(c window.Case) float64 { return c.DiameterMM }),
		column("time to full", func(c window.Case) float64 { return c.FullH }),
	} {
		if slices.ContainsFunc(c.Values, func(x float64) bool { return !math.IsNaN(x) }) {
			t.Results = append(t.Results, c)
		}
	}
	if places, err := f.Texts("design_points"); err == nil && kind == "saltelli" {
		t.Places = places
	}
	return influence.Of(t)
}

// settings of a case, for people.
func settings(s window.Study, of int) (all []window.Setting) {
	for i, a := range s.Axes {
		all = append(all, window.Setting{Axis: a.Name, Value: a.Text(s.Cases[of].At[i])})
	}
	return all
}

// best is the index of the case worth looking at, −1 for none, and whether it reaches the wanted chance.
func best(s window.Study, w window.Window) (index int, reaches bool) {
	sure := map[string]bool{}
	for _, sl := range w.Slices {
		for _, p := range sl.Points {
			if p.Verdict == "yes" {
				sure[p.ID] = true
			}
		}
	}
	index = -1
	for i, c := range s.Cases {
		if len(sure) > 0 && !sure[c.ID] || !(c.DiameterMM > 0) && !(len(sure) > 0 && math.IsNaN(c.DiameterMM)) {
			continue
		}
		if index < 0 || ahead(c, s.Cases[index]) {
			index, reaches = i, sure[c.ID]
		}
	}
	return index, reaches
}

// ahead tells whether a case has the larger clear grain, or within 1 % the same in less time.
func ahead(a, b window.Case) bool {
	x, y := a.DiameterMM, b.DiameterMM
	switch {
	case math.IsNaN(x) && math.IsNaN(y):
		return sooner(a, b)
	case math.Abs(x-y) > 0.01*math.Max(x, y):
		return x > y
	}
	return sooner(a, b)
}

// sooner tells whether the body of a case is solid earlier, as in the headline of a run; where that is not known of both, whether its
// programme is shorter. Of times within 1 % the better chance counts.
func sooner(a, b window.Case) bool {
	x, y := a.FullH, b.FullH
	if math.IsNaN(x) || math.IsNaN(y) {
		x, y = a.ProgrammeH, b.ProgrammeH
	}
	if math.Abs(x-y) <= 0.01*math.Max(x, y) {
		return a.Exact > b.Exact || math.IsNaN(a.Exact+b.Exact) && x < y
	}
	return x < y
}
