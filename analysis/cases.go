package analysis

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"onegrain/analysis/influence"
	"onegrain/analysis/tally"
	"onegrain/analysis/window"
	"onegrain/studies/column"
	"onegrain/studies/table"
)

const shared = "points of a saltelli design share values with one another, " +
	"so intervals of their means are a little too narrow"

// study turns the table of cases into what package window looks at. Columns that a version of the
// program did not have yet are not known.
func study(f *table.Frame, of *facts) window.Study {
	s := window.Study{Common: of.Random.Pairing != "independent", Sampled: of.sampled(),
		Cases: make([]window.Case, f.Len())}
	from := columnsOf(f)
	cells := slices.Repeat([]float64{of.Body.CellMM}, f.Len())
	for _, c := range f.Schema.Varied() {
		x := from.reals(c.Name)
		a := window.Numbers(c.Name, c.Unit, x)
		if c.Kind != column.Int && c.Kind != column.Real {
			words := make([]string, f.Len())
			for r := range words {
				words[r] = fmt.Sprint(f.Value(r, c.Name))
			}
			a, x = window.Words(c.Name, words)
		}
		var key string
		key, a.Unknown = of.axis(c.Name)
		a.Melt = strings.HasPrefix(key, "material.") && key != "material.furnace" || strings.HasPrefix(key, "nucleation.")
		if key == "body.cell_mm" {
			cells = x
		}
		s.Axes = append(s.Axes, a)
		for r := range s.Cases {
			s.Cases[r].At = append(s.Cases[r].At, x[r])
		}
		if a.Unknown && of.Design.Kind == "saltelli" {
			s.Notes = []string{shared}
		}
	}
	ids, because := from.texts("case_id"), from.texts("never_because")
	families, by := from.texts("worse_family"), from.texts("laws_by")
	_, unsaid := f.Reals("placings") // a version that did not say so took the runs
	for r := range s.Cases {
		x := func(name string) float64 { return from.reals(name)[r] }
		c := &s.Cases[r]
		c.ID, c.Because, c.CellMM = ids[r], because[r], cells[r]
		c.Runs, c.Hits, c.Placings = whole(x("runs")), whole(x("single_grain_runs")), whole(x("placings"))
		if unsaid != nil && of.scattered {
			c.Placings = max(1, c.Runs)
		}
		c.Exact, c.Error = x("single_grain_probability_exact"), x("single_grain_probability_exact_se")
		c.Strays, c.FullH, c.ProgrammeH = x("expected_strays_exact"), x("time_to_full_h"), x("programme_h")
		c.Low, c.High = x("single_grain_fraction_low"), x("single_grain_fraction_high")
		c.Laws = tally.Laws{Family: families[r], By: by[r], Count: whole(x("laws"))}
		for name, to := range lawColumns(&c.Laws) {
			*to = tally.Real(x(name))
		}
		c.EachLaw = c.Laws.Count > 0 && of.Random.Laws != "middle"
		s.Common = s.Common || c.EachLaw // replicates share their laws
		c.DiameterMM, c.P10, c.P90 = x("clear_diameter_mm_median"), x("clear_diameter_mm_p10"), x("clear_diameter_mm_p90")
	}
	return s
}

// lawColumns are the columns of what all laws make of a case.
func lawColumns(l *tally.Laws) map[string]*tally.Real {
	return map[string]*tally.Real{"single_grain_chance": &l.Chance, "single_grain_chance_low": &l.Low,
		"single_grain_chance_high": &l.High, "single_grain_chance_worse": &l.Worse, "family_share": &l.Share,
		"time_to_full_h_low": &l.FullLowH, "time_to_full_h_high": &l.FullHighH}
}

// chosen are the rows of the cases that have the values asked for. The error names a column or a
// value that does not occur.
func chosen(f *table.Frame, fixed map[string]string) (*table.Frame, error) {
	rows := make([]int, f.Len())
	for r := range rows {
		rows[r] = r
	}
	for _, name := range slices.Sorted(maps.Keys(fixed)) {
		if !slices.ContainsFunc(f.Schema.Varied(), func(c column.Column) bool { return c.Name == name }) {
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

// same tells whether a value is the one asked for: the same text, or the same number to 1 in 10⁹.
func same(have any, text string) bool {
	x, noX := strconv.ParseFloat(fmt.Sprint(have), 64)
	y, noY := strconv.ParseFloat(text, 64)
	return fmt.Sprint(have) == text || noX == nil && noY == nil && math.Abs(x-y) <= 1e-9*math.Abs(x)
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
			if in.Label = a.Label; a.Unknown {
				in.Label += " (not known)"
			}
			t.Inputs = append(t.Inputs, in)
		}
	}
	if len(t.Inputs) < 2 || len(s.Cases) < 2 {
		return nil, nil
	}
	for _, c := range []influence.Column{
		column("logarithm of expected strays", func(c window.Case) float64 { return math.Log10(math.Max(c.Strays, 1e-12)) }),
		column("exact chance of a single grain", func(c window.Case) float64 { return c.Exact }),
		column("chance over all laws", func(c window.Case) float64 {
			if c.Laws.Count == 0 {
				return math.NaN()
			}
			return float64(c.Laws.Chance)
		}),
		column("counted share of single grains", func(c window.Case) float64 { return float64(c.Hits) / float64(c.Runs) }),
		column("median diameter of the clear piece", func(c window.Case) float64 { return c.DiameterMM }),
		column("hours until solid", func(c window.Case) float64 { return c.FullH }),
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

// setting is a point in words.
func setting(axes []window.Axis, at []float64) []window.Setting {
	all := []window.Setting{}
	for i, a := range axes {
		all = append(all, window.Setting{Axis: a.Name, Value: a.Text(at[i])})
	}
	return all
}

// placed tells which cases have their seeds placed, and joined, like the best one, and what these
// have in common; all where a design spreads its points like sand, or where nothing of it was set.
func placed(s window.Study, of *facts, best *window.Point) (alike []bool, common []window.Setting) {
	alike = slices.Repeat([]bool{true}, len(s.Cases))
	as := 0
	if best != nil {
		as = slices.IndexFunc(s.Cases, func(c window.Case) bool { return c.ID == best.ID })
	}
	for i, a := range s.Axes {
		key, unknown := of.axis(a.Name)
		ofSeeds := strings.HasPrefix(key, "seed") || strings.HasPrefix(key, "domain.")
		if s.Sampled || unknown || !ofSeeds || len(s.Cases) == 0 {
			continue
		}
		x := s.Cases[as].At[i]
		for c := range alike {
			alike[c] = alike[c] && s.Cases[c].At[i] == x
		}
		common = append(common, window.Setting{Axis: a.Name, Value: a.Text(x)})
	}
	return alike, common
}
