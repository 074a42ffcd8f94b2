package compare

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"onegrain/analysis/tally"
	"onegrain/studies/column"
	"onegrain/studies/table"
)

// Published examples of the exact test, and a canary: the one-sided value must not pass for the
// two-sided one.
func TestFishersExactTest(t *testing.T) {
	for _, c := range []struct {
		what           string
		ha, na, hb, nb int
		want           float64
	}{
		// R. A. Fisher, The Design of Experiments, 1935: three of four cups right. (1+16+16+1)/70 = 34/70
		// are no more likely.
		{"tea", 3, 4, 1, 4, 34. / 70},
		// R. A. Fisher, J. R. Stat. Soc. 98 (1935) 39: convicted twins of criminals, 10 of 13 and 2 of
		// 17; two-sided value from memory of statistics packages' documentation, 0.0005367.
		{"twins", 10, 13, 2, 17, 0.0005367},
		{"the same", 5, 10, 5, 10, 1},
		{"nothing at all", 0, 10, 0, 20, 1},
		{"all against none", 3, 3, 0, 3, 2. / 20}, // one of 20 tables, and its mirror image
	} {
		if got := fisher(c.ha, c.na, c.hb, c.nb); math.Abs(got-c.want) > 5e-5*c.want {
			t.Errorf("%s: p = %.7g, wanted %.7g", c.what, got, c.want)
		}
		if got, other := fisher(c.ha, c.na, c.hb, c.nb), fisher(c.hb, c.nb, c.ha, c.na); math.Abs(got-other) > 1e-12 {
			t.Errorf("%s: %g one way, %g the other", c.what, got, other)
		}
	}
	if one := 0.0004652; math.Abs(fisher(10, 13, 2, 17)-one) < 5e-5*one {
		t.Error("canary: the one-sided value passes")
	}
}

// The p-value must be below any level in no more than that share of experiments with the same
// chance: an exact test is never too bold. The canary is the test without correction by the normal
// law, which is.
func TestFishersTestHoldsItsLevel(t *testing.T) {
	const n, level = 8, 0.05
	for _, chance := range []float64{0.02, 0.1, 0.3, 0.5, 0.9} {
		exact, normal := 0.0, 0.0
		for a := 0; a <= n; a++ {
			for b := 0; b <= n; b++ {
				weight := math.Exp(choose(n, a)+choose(n, b)) * math.Pow(chance, float64(a+b)) * math.Pow(1-chance,
					float64(2*n-a-b))
				if fisher(a, n, b, n) < level {
					exact += weight
				}
				mean := float64(a+b) / (2 * n)
				if z := math.Abs(float64(a-b)) / n / math.Sqrt(2*mean*(1-mean)/n); z > 1.96 {
					normal += weight
				}
			}
		}
		if exact > level {
			t.Errorf("at a chance of %g it is below %g in %.3f of experiments", chance, level, exact)
		}
		if chance == 0.5 && normal <= level {
			t.Errorf("canary: the normal law passes with %.3f", normal)
		}
	}
}

// side is a side of cases named like "x=1:8/10", with x as its one varied column; the name of a
// physics may stand before, "other x=1:8/10".
func side(t *testing.T, content string, settings map[string]string, cases ...string) Side {
	t.Helper()
	s := Side{Settings: settings, Varied: []string{"x"}, Content: content}
	for _, text := range cases {
		var x, hits, runs int
		id, rest, ok := strings.Cut(text, " ")
		if !ok {
			id, rest = "", text
		}
		if _, err := fmt.Sscanf(rest, "x=%d:%d/%d", &x, &hits, &runs); err != nil {
			t.Fatal(err)
		}
		r := &Result{Runs: runs, Singles: hits, Exact: 0.5, Strays: 0.7, ClearMM: 9, P10MM: 8, P90MM: 10}
		s.Cases = append(s.Cases, Case{ID: fmt.Sprint(id, x), Values: map[string]any{"x": int64(x)}, Result: r})
	}
	return s
}

func modelled(s Side, version string) Side {
	s.Model = version
	return s
}

func TestCompare(t *testing.T) {
	one, two := map[string]string{"random.seed": "1", "body.cell_mm": "0.5"},
		map[string]string{"random.seed": "2", "body.cell_mm": "0.5"}
	fine := map[string]string{"random.seed": "1", "body.cell_mm": "0.4"}
	for _, c := range []struct {
		what string
		a, b Side
		want string // settings, only a, only b, pairs, of the same physics, that differ, tested, verdict
	}{
		{"the same", side(t, "c", one, "x=1:4/8", "x=2:0/8"), side(t, "c", one, "x=1:4/8", "x=2:0/8"), "0 0 0 2 2 0 0 same"},
		{"another order", side(t, "c", one, "x=1:4/8", "x=2:0/8"), side(t, "c", one, "x=2:0/8", "x=1:4/8"),
			"0 0 0 2 2 0 0 same"},
		{"another seed", side(t, "c", one, "x=1:4/8", "x=2:0/8"), side(t, "d", two, "x=1:5/8", "x=2:0/8"),
			"1 0 0 2 2 1 2 chance"},
		{"another chance", side(t, "c", one, "x=1:40/40", "x=2:0/8"), side(t, "d", two, "x=1:5/40", "x=2:0/8"),
			"1 0 0 2 2 1 2 beyond"},
		{"more cases", side(t, "c", one, "x=1:4/8", "x=2:0/8"), side(t, "d", one, "x=1:4/8", "x=3:0/8"),
			"0 1 1 1 1 0 0 differ"},
		{"other physics, same values", side(t, "c", one, "x=1:4/8", "x=2:0/8"),
			side(t, "d", fine, "fine x=1:4/8", "fine x=2:0/8"), "1 0 0 2 0 0 2 chance"},
		{"other rows elsewhere", side(t, "c", one, "x=1:4/8"), side(t, "d", one, "x=1:4/8"), "0 0 0 1 1 0 0 differ"},
		{"not run", side(t, "", one, "x=1:4/8"), side(t, "", one, "x=1:4/8"), "0 0 0 1 1 0 0 same"},
		{"another physics of the program", modelled(side(t, "c", one, "x=1:4/8"), "1"),
			modelled(side(t, "d", one, "new x=1:4/8"), "2"), "1 0 0 1 0 0 1 chance"},
		{"twice the same values", side(t, "c", one, "x=1:4/8", "x=1:4/8"), side(t, "c", one, "x=1:4/8"),
			"0 1 0 1 1 0 0 differ"},
	} {
		f := Compare(c.a, c.b)
		physics, differ := 0, 0
		for _, p := range f.Pairs {
			if p.SamePhysics {
				physics++
			}
			if p.Differs {
				differ++
			}
		}
		verdict := "differ"
		switch {
		case f.Same:
			verdict = "same"
		case f.BeyondChance:
			verdict = "beyond"
		case f.PValue.Known():
			verdict = "chance"
		}
		if got := fmt.Sprint(len(f.Settings), len(f.OnlyA), len(f.OnlyB), len(f.Pairs), physics, differ, f.Tested, " ",
			verdict); strings.Join(strings.Fields(got), " ") != c.want {
			t.Errorf("%s: %s, wanted %s", c.what, got, c.want)
		}
	}
}

func TestWarnings(t *testing.T) {
	one := map[string]string{"random.seed": "1"}
	for _, c := range []struct {
		a, b Side
		want string
	}{
		{side(t, "c", one, "x=1:4/8"), side(t, "d", one, "x=1:5/8"), "changed program"},
		{side(t, "c", one, "x=1:4/8"), side(t, "d", one, "x=1:4/8"), "rows of other tables"},
		{side(t, "c", one, "x=1:4/8"), side(t, "d", one, "other x=1:4/8"), "values of what both studies vary"},
		{side(t, "c", nil, "x=1:4/8"), side(t, "c", one, "x=1:4/8"), "settings were not compared"},
		{side(t, "c", one, "x=1:4/8"), side(t, "c", one, "x=1:4/8"), ""},
		{side(t, "c", one, "x=1:4/8"), side(t, "d", one, "x=1:4/16"), ""}, // more runs are no contradiction
	} {
		f := Compare(c.a, c.b)
		if got := strings.Join(f.Warnings, "\n"); (c.want == "") != (got == "") || !strings.Contains(got, c.want) {
			t.Errorf("warnings %q, wanted %q", got, c.want)
		}
	}
}

func TestCasesAreReadFromTheirTable(t *testing.T) {
	s, err := column.Of("cases", []column.Column{{Name: "x", Kind: column.Real, Null: true}})
	if err != nil {
		t.Fatal(err)
	}
	f := table.NewFrame(s)
	row := make([]any, len(s.Columns))
	for i, c := range s.Columns {
		row[i] = map[string]any{"case_id": "a", "x": 2.5, "runs": 8, "single_grain_runs": 4, "single_grain_fraction": 0.5,
			"expected_strays_exact": 0.7, "clear_diameter_mm_median": 9.0, "stopped_by": "replicates",
			"single_grain_chance": 0.4, "single_grain_chance_low": 0.2, "single_grain_chance_high": 0.6}[c.Name]
	}
	if err := f.Append(row...); err != nil {
		t.Fatal(err)
	}
	all := casesOf(f, []string{"x"})
	r := all[0].Result
	if all[0].ID != "a" || all[0].Values["x"] != 2.5 || r.Runs != 8 || r.Singles != 4 || r.Share != 0.5 ||
		r.ClearMM != 9 || r.Strays != 0.7 || r.Exact.Known() || r.OverLaws != 0.4 || r.Within.Low != 0.2 ||
		r.Within.High != 0.6 {
		t.Errorf("%+v %+v", all[0], *r)
	}
	if want := tally.Share(4, 8); r.Interval != want {
		t.Errorf("interval %v, wanted %v", r.Interval, want)
	}
}

// Each kind of difference alone makes a pair differ.
func TestWhatMakesAPairDiffer(t *testing.T) {
	for what, change := range map[string]func(r *Result){
		"": func(*Result) {}, "runs": func(r *Result) { r.Runs++ }, "strays": func(r *Result) { r.Strays++ },
		"chance": func(r *Result) { r.Exact = tally.Unknown() }, "clear": func(r *Result) { r.ClearMM++ },
		"p10": func(r *Result) { r.P10MM++ }, "p90": func(r *Result) { r.P90MM++ },
		"over laws": func(r *Result) { r.OverLaws++ }, "of the laws": func(r *Result) { r.Within.Low-- },
	} {
		a, b := side(t, "c", nil, "x=1:4/8"), side(t, "c", nil, "x=1:4/8")
		change(b.Cases[0].Result)
		if p := Compare(a, b).Pairs[0]; p.Differs != (what != "") {
			t.Errorf("%q: %+v", what, p)
		}
	}
}
