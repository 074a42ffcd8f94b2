package plots

import (
	"bytes"
	"fmt"
	"image/png"
	"io"
	"math"
	"strings"
	"testing"

	"onegrain/analysis"
	"onegrain/analysis/chart/paper"
	"onegrain/analysis/influence"
	"onegrain/analysis/joints"
	"onegrain/analysis/magnet"
	"onegrain/analysis/tally"
	"onegrain/analysis/window"
)

// made is a study over one axis, two, or two and a word; Λ goes with the squares of the numbers.
func made(words []string, rates, starts []float64, runs int, failed bool) window.Study {
	s := window.Study{}
	var at [3][]float64
	var word []string
	for w := range max(1, len(words)) {
		for _, r := range rates {
			for _, u := range starts {
				l := r * r * u * u / 50
				c := window.Case{ID: fmt.Sprintf("%d %g %g", w, r, u), Runs: runs, Exact: math.Exp(-l), Strays: l,
					DiameterMM: 20 - 5*r, P10: 10, P90: 20, FullH: 20 / r, ProgrammeH: 60 / r}
				c.Hits = int(c.Exact * float64(runs))
				if failed {
					nan := math.NaN()
					c.Runs, c.Hits, c.Exact, c.Strays, c.DiameterMM, c.P10, c.P90, c.FullH = 0, 0, nan, nan, nan, nan, nan, nan
				}
				s.Cases = append(s.Cases, c)
				at[0], at[1] = append(at[0], r), append(at[1], u)
				if words != nil {
					word = append(word, words[w])
				}
			}
		}
	}
	s.Axes = []window.Axis{window.Numbers("cooling_rate_K_per_h", "K/h", at[0]),
		window.Numbers("start_undercooling_K", "K", at[1])}
	if words != nil {
		var a window.Axis
		a, at[2] = window.Words("turn", word)
		s.Axes = append(s.Axes, a)
	}
	for i := range s.Cases {
		for k := range s.Axes {
			s.Cases[i].At = append(s.Cases[i].At, at[k][i])
		}
	}
	return s
}

func found(t *testing.T, s window.Study) *analysis.Findings {
	t.Helper()
	w, err := window.Find(s, window.Options{})
	if err != nil {
		t.Fatal(err)
	}
	f := &analysis.Findings{Axes: s.Axes, Cases: len(s.Cases), Window: w, JoinDeg: 5, Design: "grid"}
	for i, c := range s.Cases {
		one := analysis.CaseRuns{ID: c.ID, DiameterMM: tally.SpreadOf([]float64{10, 12, 13, 14, 15, 16, 20}, 0, 20, 20)}
		for k, a := range s.Axes {
			one.Settings = append(one.Settings, window.Setting{Axis: a.Name, Value: a.Text(c.At[k])})
		}
		f.PerCase = append(f.PerCase, one)
		if i == 0 {
			f.Best = &analysis.Best{ID: c.ID}
		}
	}
	return f
}

func seeded(t *testing.T, f *analysis.Findings, cases int) *analysis.Findings {
	t.Helper()
	b, err := joints.New(magnet.Published())
	if err != nil {
		t.Fatal(err)
	}
	for k := range 12 * cases {
		run := b.Run(k%cases, true)
		b.Grain(run, true, 50, 1)
		b.Grain(run, true, 20+float64(k), 2)
		b.Boundary(run, joints.Contact{Grain1: 1, Grain2: 2, AreaMM2: 10, AngleDeg: float64(k%20) + 1})
	}
	f.Scatter = b.Scatter()
	return f
}

func ranked(t *testing.T, f *analysis.Findings, design string) *analysis.Findings {
	t.Helper()
	table := influence.Table{Inputs: []influence.Column{{Name: "a"}, {Name: "b"}},
		Results: []influence.Column{{Name: "time until full"}, {Name: "nothing known"}}}
	for k := range 80 {
		a, b := math.Mod(0.618*float64(k), 1), math.Mod(0.755*float64(k), 1)
		table.Inputs[0].Values, table.Inputs[1].Values = append(table.Inputs[0].Values, a), append(table.Inputs[1].Values, b)
		table.Results[0].Values, table.Results[1].Values = append(table.Results[0].Values, 3*a+b),
			append(table.Results[1].Values, math.NaN())
	}
	if design == "saltelli" {
		table = saltelli()
	}
	all, err := influence.Of(table)
	if err != nil {
		t.Fatal(err)
	}
	f.Influence, f.Design = all, design
	return f
}

func saltelli() influence.Table {
	t := influence.Table{Inputs: []influence.Column{{Name: "a"}, {Name: "b"}},
		Results: []influence.Column{{Name: "time until full"}}}
	add := func(place string, a, b float64) {
		t.Inputs[0].Values, t.Inputs[1].Values = append(t.Inputs[0].Values, a), append(t.Inputs[1].Values, b)
		t.Results[0].Values, t.Places = append(t.Results[0].Values, 3*a+b), append(t.Places, place)
	}
	for k := range 64 {
		frac := func(by float64) float64 { return math.Mod(by*float64(k+1), 1) }
		a1, b1, a2, b2 := frac(0.618), frac(0.755), frac(0.414), frac(0.236)
		add(fmt.Sprintf("A%d", k+1), a1, b1)
		add(fmt.Sprintf("B%d", k+1), a2, b2)
		add(fmt.Sprintf("AB%d.1", k+1), a2, b1)
		add(fmt.Sprintf("AB%d.2", k+1), a1, b2)
	}
	return t
}

// names draws every chart in both formats, which must be readable pictures with words, and lists
// the charts.
func names(t *testing.T, f *analysis.Findings) string {
	t.Helper()
	var all []string
	for _, p := range Of(f) {
		all = append(all, p.Section+"/"+p.Name)
		for _, format := range []paper.Format{paper.PNG, paper.SVG} {
			var b bytes.Buffer
			alt, err := p.Draw(&b, format)
			if err != nil {
				t.Fatalf("%s: %v", p.Name, err)
			}
			if len(alt) < 20 || len(p.Caption) < 20 || strings.Contains(alt+p.Caption, "NaN") {
				t.Errorf("%s: text %q, caption %q", p.Name, alt, p.Caption)
			}
			if format == paper.PNG {
				if _, err := png.Decode(&b); err != nil {
					t.Errorf("%s: %v", p.Name, err)
				}
			} else if !strings.Contains(b.String(), "</svg>") {
				t.Errorf("%s: no whole SVG", p.Name)
			}
		}
	}
	return strings.Join(all, " ")
}

func TestEachStudyHasItsCharts(t *testing.T) {
	two, one := []float64{0.2, 0.5, 1}, []float64{8}
	long := make([]float64, 12)
	for i := range long {
		long[i] = 2 + float64(i)
	}
	flat := made(nil, two, one, 20, false)
	for i := range flat.Cases {
		c := &flat.Cases[i]
		c.DiameterMM, c.P10, c.P90, c.FullH = 20, 20, 20, 30
	}
	for name, c := range map[string]struct {
		f    *analysis.Findings
		want string
	}{
		"two axes": {found(t, made(nil, two, two, 20, false)),
			"window/window window/diameter window/hours window/diameters-best"},
		"many values": {found(t, made(nil, two, long, 20, false)),
			"window/window window/diameter window/hours window/diameters-best"},
		"one axis": {found(t, made(nil, two, one, 20, false)),
			"window/window window/diameter window/hours window/diameters-best"},
		"exact odds only": {found(t, made(nil, two, one, 0, false)),
			"window/window window/diameter window/hours window/diameters-best"},
		"words besides": {found(t, made([]string{"parallel", "radial"}, two, two, 20, false)),
			"window/window window/diameter window/hours window/diameters-best"},
		"words and one": {found(t, made([]string{"parallel", "radial"}, two, one, 20, false)),
			"window/window window/diameter window/hours window/diameters-best"},
		"words alone": {found(t, made([]string{"parallel", "radial"}, one, one, 20, false)),
			"window/window window/diameter window/diameters-best"},
		"one case":   {found(t, made(nil, one, one, 20, false)), "window/diameters-best"},
		"all alike":  {found(t, flat), "window/window window/diameters-best"},
		"all failed": {found(t, made(nil, two, two, 0, true)), "window/window window/diameters-best"},
		"nothing":    {&analysis.Findings{}, ""},
		"few seeded": {seeded(t, found(t, made(nil, two, one, 20, false)), 3),
			"window/window window/diameter window/hours window/diameters-best joints/worst-boundary joints/largest-domain"},
		"many seeded": {seeded(t, found(t, made(nil, long, two, 20, false)), 36),
			"window/window window/diameter window/hours window/diameters-best joints/worst-boundary joints/largest-domain"},
		"latin": {ranked(t, found(t, made(nil, two, two, 20, false)), "latin"),
			"window/window window/diameter window/hours window/diameters-best influence/influence-a"},
		"saltelli": {ranked(t, found(t, made(nil, two, two, 20, false)), "saltelli"),
			"window/window window/diameter window/hours window/diameters-best influence/influence-a"},
		"ranked grid": {ranked(t, found(t, made(nil, two, two, 20, false)), "grid"),
			"window/window window/diameter window/hours window/diameters-best"},
	} {
		if got := names(t, c.f); got != c.want {
			t.Errorf("%s: %s\nwanted %s", name, got, c.want)
		}
	}
}

// A chart goes over the axis with more values and has a line for each value of the other one.
func TestLinesAreThoseOfTheShorterAxis(t *testing.T) {
	few, many := []float64{0.2, 1}, []float64{4, 6, 8}
	for _, c := range []struct {
		rates, starts []float64
		want          string
	}{{few, many, "over start undercooling, 4 to 8 K. Cooling rate 0.2 K/h is 19 mm throughout; cooling rate 1 K/h is " +
		"15 mm"},
		{many, few, "over cooling rate, 4 to 8 K/h. Start undercooling 0.2 K is lowest at 8 K/h"}} {
		f := found(t, made(nil, c.rates, c.starts, 20, false))
		alt, err := sizes(f)[0].Draw(io.Discard, paper.PNG)
		if err != nil || !strings.Contains(alt, c.want) {
			t.Errorf("%q, %v; wanted %q", alt, err, c.want)
		}
	}
}

// A chart of more cases than it can show must say so.
func TestTooManyCasesAreThinnedInSight(t *testing.T) {
	long := make([]float64, 60)
	for i := range long {
		long[i] = 0.1 * float64(i+1)
	}
	f := found(t, made(nil, long, long, 4, false))
	p := chances(f)[0]
	if !strings.Contains(p.Caption, "1100 more cases are left out of the picture, evenly") {
		t.Errorf("caption %q", p.Caption)
	}
	if len(sizes(f)) != 1 { // the distribution of the best case
		t.Errorf("%d charts of sizes", len(sizes(f)))
	}
}

// Of seeds with scatter one chart has angles, the other shares.
func TestWorstBoundaryAndLargestDomain(t *testing.T) {
	f := seeded(t, found(t, made(nil, []float64{0.2, 1}, []float64{4}, 20, false)), 3)
	for i, want := range [][2]string{{"worst-boundary", "median 9 °, from 1 to 19 ° in 12 runs"},
		{"largest-domain", "median 0.5782, from 0.4854 to 0.7143 in 12 runs"}} {
		p := joined(f)[i]
		if alt, err := p.Draw(io.Discard, paper.SVG); err != nil || p.Name != want[0] || !strings.Contains(alt, want[1]) {
			t.Errorf("%s says %q, %v; wanted %q", p.Name, alt, err, want)
		}
	}
}

// TestChanceOverLawsIsDrawn: a study with laws of a logbook has a chart of the chance with its
// range, which is told in words too; one with laws of its own has none.
func TestChanceOverLawsIsDrawn(t *testing.T) {
	lawsOf := func(s window.Study) (alt, caption string) {
		for _, p := range Of(found(t, s)) {
			if p.Name == "laws" {
				var b bytes.Buffer
				text, err := p.Draw(&b, paper.PNG)
				if _, bad := png.Decode(&b); err != nil || bad != nil {
					t.Fatal(err, bad)
				}
				return text, p.Caption
			}
		}
		return "", ""
	}
	for _, starts := range [][]float64{{8}, {8, 12}} {
		s := made(nil, []float64{0.2, 0.4, 0.6}, starts, 40, false)
		if alt, _ := lawsOf(s); alt != "" {
			t.Errorf("without laws: %s", alt)
		}
		for i := range s.Cases {
			c := &s.Cases[i]
			x := tally.Real(c.Exact)
			c.Laws = tally.Laws{Chance: 0.9 * x, Low: 0.5 * x, High: x, Count: 1000, By: "table"}
		}
		alt, caption := lawsOf(s)
		if !strings.Contains(alt, "Chance of a single grain over cooling rate") ||
			!strings.Contains(alt, "Where the laws differ most, 90 of 100 of them lie from ") ||
			!strings.Contains(caption, "all laws that the logbook allows") {
			t.Errorf("%s\n%s", alt, caption)
		}
	}
}
