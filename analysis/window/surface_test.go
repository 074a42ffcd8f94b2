package window

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"onegrain/analysis/tally"
)

// twoWays: Λ = 0.05·(x/0.4)³·(y/12)⁵; at p* = exp(−0.05) the limit is y = 12·(0.4/x)^0.6 in closed
// form.
func twoWays(x, y float64) float64 { return math.Exp(-0.05 * math.Pow(x/0.4, 3) * math.Pow(y/12, 5)) }

func limitOf(x float64) float64 { return 12 * math.Pow(0.4/x, 0.6) }

// off is how far a line strays from the limit at most, as a share of it; 1 where there is no line.
func off(lines [][][2]float64, limit func(x float64) float64) float64 {
	most, n := 0.0, 0
	for _, l := range lines {
		for _, p := range l {
			most, n = max(most, math.Abs(p[1]/limit(p[0])-1)), n+1
		}
	}
	if n == 0 {
		return 1
	}
	return most
}

// TestLimitOnAGrid: on logarithmic axes log Λ is a plane here, so a grid of 7 × 7 has the limit
// exactly, and one with linear axes to 2 % (the bend of log x between neighbours). The canary is a
// limit with exponent 0.5.
func TestLimitOnAGrid(t *testing.T) {
	wrong := func(x float64) float64 { return 12 * math.Pow(0.4/x, 0.5) }
	ratios := func(from, to float64) (out []float64) {
		for k := range 7 {
			out = append(out, from*math.Pow(to/from, float64(k)/6))
		}
		return out
	}
	for _, c := range []struct {
		name   string
		xs, ys []float64
		limit  float64
	}{{"log", ratios(0.1, 1.6), ratios(3, 30), 1e-9}, {"linear", steps(0.2, 0.9, 7), steps(5, 20, 7), 0.02}} {
		s := study(c.xs, c.ys, twoWays, 0, true, "")
		w := find(t, s, Options{Chance: math.Exp(-0.05)})
		if log := c.name == "log"; w.X.Log != log || w.Y.Log != log {
			t.Errorf("%s: axes %+v %+v", c.name, w.X, w.Y)
		}
		lines := w.Slices[0].Contours.Line
		if d := off(lines, limitOf); len(lines) != 1 || d > c.limit || lines[0][0][0] > lines[0][len(lines[0])-1][0] {
			t.Errorf("%s: %d lines, off by %g", c.name, len(lines), d)
		}
		if d := off(lines, wrong); d <= 0.02 {
			t.Errorf("%s: canary off by %g only", c.name, d)
		}
		b := w.Slices[0].Safe[0]
		if limitOf(b.X.To) < b.Y.To || b.Cases < 4 || !b.X.FromEdge || !b.Y.FromEdge {
			t.Errorf("%s: box %+v %+v", c.name, b, *b.Y)
		}
	}
	w := find(t, study(steps(0.2, 0.9, 8), steps(5, 20, 16), twoWays, 0, true, ""), Options{Chance: math.Exp(-0.05)})
	says(t, w, "For a single grain in at least 95.1 % of runs keep cooling rate at or below",
		"(explored from 0.2) and start undercooling at or below", "it may go on there")
}

// anyhow is a study of n cases that lie anyhow in a rectangle.
func anyhow(n int, label string, of func(r *rand.Rand, x, y float64) Case) (s Study) {
	r := tally.Stream(label)
	var xs, ys []float64
	for k := range n {
		x, y := 0.2+0.01*float64(r.IntN(71)), 5+0.25*float64(r.IntN(61)) // some share a value
		c := of(r, x, y)
		c.ID, c.At = fmt.Sprint(k), []float64{x, y}
		s.Cases, xs, ys = append(s.Cases, c), append(xs, x), append(ys, y)
	}
	s.Axes = []Axis{Numbers("cooling_rate_K_per_h", "K/h", xs), Numbers("start_undercooling_K", "K", ys)}
	return s
}

// TestOrderOfLines: open lines come first, from the end at the lower x, then closed ones.
func TestOrderOfLines(t *testing.T) {
	chance := func(x, y float64) float64 { // likely but in a hole and beyond x = 8
		if math.Hypot(x-3, y-4) < 1.5 || x > 8 {
			return 0.2
		}
		return 0.99
	}
	lines := find(t, study(steps(1, 9, 9), steps(1, 9, 9), chance, 0, true, ""), Options{}).Slices[0].Contours.Line
	if len(lines) != 2 || lines[0][0] == lines[0][len(lines[0])-1] || lines[1][0] != lines[1][len(lines[1])-1] {
		t.Errorf("%v", lines)
	}
}

// TestScattered: cases on no grid have no limit. The box is the largest one about a corner all of
// whose cases reach the wanted chance, here against every pair of limits; the canary is a stretch
// along one axis alone, which holds fewer.
func TestScattered(t *testing.T) {
	for k, law := range []func(x, y float64) float64{
		twoWays,
		func(x, y float64) float64 { return twoWays(1.1-x, y) },
		func(x, y float64) float64 { return twoWays(x, 25-y) },
		func(x, y float64) float64 { return twoWays(1.1-x, 25-y) },
	} {
		s := anyhow(200, fmt.Sprint("scattered", k), func(_ *rand.Rand, x, y float64) Case {
			return Case{Exact: law(x, y), Strays: -math.Log(law(x, y))}
		})
		w := find(t, s, Options{Chance: math.Exp(-0.05)})
		signX, signY := []float64{1, -1, 1, -1}[k], []float64{1, 1, -1, -1}[k]
		most, along := 0, 0
		for _, a := range s.Cases {
			for _, b := range s.Cases {
				in, good := 0, true
				for _, c := range s.Cases {
					if signX*c.At[0] <= signX*a.At[0] && signY*c.At[1] <= signY*b.At[1] {
						in, good = in+1, good && c.Exact >= w.Wanted
					}
				}
				if good {
					most = max(most, in)
				}
			}
			in := 0
			for _, c := range s.Cases {
				if signX*c.At[0] <= signX*a.At[0] {
					if in++; c.Exact < w.Wanted {
						in = -len(s.Cases)
					}
				}
			}
			along = max(along, in)
		}
		b := w.Slices[0].Safe
		if len(b) != 1 || b[0].Cases != most || along >= most {
			t.Fatalf("law %d: %+v, wanted a box of %d cases (along one axis %d)", k, b, most, along)
		}
		for _, c := range s.Cases {
			if b[0].Holds(Point{X: tally.Real(c.At[0]), Y: tally.Real(c.At[1])}) && c.Exact < w.Wanted {
				t.Errorf("law %d: the box holds %v", k, c.At)
			}
		}
		if w.Slices[0].Contours != nil {
			t.Errorf("law %d: a limit between cases that lie anyhow", k)
		}
		says(t, w, "the cases lie on no grid, so no limit is drawn", fmt.Sprintf("all %d cases there reach it", most))
	}
	s := anyhow(60, "few", func(r *rand.Rand, x, y float64) Case { return Case{Exact: float64(r.IntN(2))} })
	if w := find(t, s, Options{}); len(w.Slices[0].Safe) != 0 {
		t.Errorf("a box among cases that know no order: %+v", w.Slices[0].Safe)
	}
	for i := range s.Cases { // on one line: two axes that nothing can be told of
		s.Cases[i].At[1] = 10 * s.Cases[i].At[0]
	}
	s.Cases = append(s.Cases, s.Cases[0])
	s.Axes[1] = Numbers("start_undercooling_K", "K", nil)
	find(t, s, Options{})
}

// TestCountedSurface: where nothing but counts is known no limit is drawn, on a grid and off it;
// the box is that of the cases whose counts show the wanted chance.
func TestCountedSurface(t *testing.T) {
	truth := func(x, y float64) float64 { return expit(math.Log(9) - 10*(x-0.5) - 0.6*(y-10)) }
	grid := study(steps(0.2, 0.8, 10), steps(4, 16, 10), truth, 200, false, "surface")
	scattered := anyhow(300, "scattered counts", func(r *rand.Rand, x, y float64) Case {
		c := Case{Runs: 200, Exact: math.NaN(), Strays: math.NaN()}
		for range c.Runs {
			if r.Float64() < truth(x, y) {
				c.Hits++
			}
		}
		return c
	})
	for _, s := range []Study{grid, scattered} {
		w := find(t, s, Options{Chance: 0.9})
		if w.Slices[0].Contours != nil {
			t.Errorf("a limit was drawn: %+v", w.Slices[0].Contours)
		}
		b := w.Slices[0].Safe
		if len(b) != 1 || b[0].Cases < 10 || truth(b[0].X.To, b[0].Y.To) < 0.88 {
			t.Fatalf("box %+v", b)
		}
		for _, p := range b[0].points {
			if float64(tally.Share(float64(p.Hits), float64(p.Runs)).Low) < 0.9 {
				t.Errorf("%d of %d do not show 90 %%", p.Hits, p.Runs)
			}
		}
		says(t, w, "no limit is drawn")
	}
	says(t, find(t, grid, Options{}), "no case has exact odds", "run the study again to finish it")
}

// TestLargestBox compares with every box there is, on random rasters.
func TestLargestBox(t *testing.T) {
	r := tally.Stream("boxes")
	for range 200 {
		n, m := 1+r.IntN(6), 1+r.IntN(6)
		s := study(steps(1, 2, n+1)[:n], steps(1, 2, m+1)[:m],
			func(float64, float64) float64 { return []float64{0.99, 0.99, 0.2}[r.IntN(3)] }, 0, true, "")
		w := find(t, s, Options{})
		if w.X == nil || w.Y == nil {
			continue
		}
		most, whole := 0, 0
		for _, a := range s.Cases {
			for _, b := range s.Cases {
				in := 0
				good := a.At[0] <= b.At[0] && a.At[1] <= b.At[1]
				for _, c := range s.Cases {
					if c.At[0] >= a.At[0] && c.At[0] <= b.At[0] && c.At[1] >= a.At[1] && c.At[1] <= b.At[1] {
						in++
						good = good && c.Exact >= 0.95
					}
				}
				if good {
					most = max(most, in)
				}
			}
		}
		for _, b := range w.Slices[0].Safe {
			whole = max(whole, b.Cases)
		}
		if whole != most {
			t.Fatalf("%d × %d: box of %d cases, the largest has %d", n, m, whole, most)
		}
	}
}

func TestSlicesAndWords(t *testing.T) {
	base := study(steps(0.2, 0.8, 7), nil, falling, 0, true, "")
	words := func(n int) Study {
		s := Study{}
		var column []string
		for k := range n {
			for _, c := range base.Cases {
				c.At = append(slices.Clone(c.At), 0)
				c.Exact, c.Strays = math.Pow(c.Exact, float64(1+20*k)), c.Strays*float64(1+20*k)
				s.Cases, column = append(s.Cases, c), append(column, fmt.Sprintf("kind %d", k))
			}
		}
		a, at := Words("turn", column)
		for i := range s.Cases {
			s.Cases[i].At[1] = at[i]
		}
		s.Axes = []Axis{base.Axes[0], a}
		return s
	}
	w := find(t, words(2), Options{})
	if len(w.Slices) != 2 || w.Y != nil {
		t.Fatalf("%d slices, y %v", len(w.Slices), w.Y)
	}
	says(t, w, "2 of the 2 settings shown have a range that reaches 95 %. With turn kind 0: for a single grain")
	w = find(t, words(20), Options{})
	if len(w.Slices) != mostSlices || w.Slices[11].Fixed[0].Value != "kind 19" {
		t.Errorf("%d slices, last %v", len(w.Slices), w.Slices[len(w.Slices)-1].Fixed)
	}
	says(t, w, "12 of 20 settings of the other axes are shown")
	only := words(2)
	for i := range only.Cases {
		only.Cases[i].At = only.Cases[i].At[1:]
	}
	only.Axes, only.Cases = only.Axes[1:], []Case{only.Cases[2], only.Cases[9]}
	says(t, find(t, only, Options{}), "take turn kind 0: the one case there has 97")
}

// TestLooksThrough: four axes in a Latin hypercube; the first two decide. What is said holds for
// every case whatever else was varied, and the best case of the range lies in it, whether its
// chance falls or rises.
func TestLooksThrough(t *testing.T) {
	for sign, want := range map[float64]string{1: "keep a0 at or below 0.", -1: "keep a0 at or above 0."} {
		r := tally.Stream("through")
		s := Study{Axes: make([]Axis, 4)}
		columns := make([][]float64, 4)
		for k := range 128 {
			c := Case{ID: fmt.Sprint(k), FullH: float64(r.IntN(1000))}
			for i := range columns {
				columns[i] = append(columns[i], r.Float64())
				c.At = append(c.At, columns[i][k])
			}
			c.Strays = 0.05 * math.Exp(6*sign*(c.At[0]-0.5)+c.At[2])
			c.Exact = math.Exp(-c.Strays)
			s.Cases = append(s.Cases, c)
		}
		for i := range columns {
			s.Axes[i] = Numbers(fmt.Sprintf("a%d_mm", i), "mm", columns[i])
		}
		w := find(t, s, Options{})
		says(t, w, want, "a1 anywhere from", "whatever else was varied",
			"all cases are shown together, and no limit is drawn")
		if len(w.Slices) != 1 || w.Slices[0].Contours != nil {
			t.Errorf("a limit was drawn: %+v", w.Slices[0].Contours)
		}
		box, quickest := w.Slices[0].Safe[0], Case{FullH: math.Inf(1)}
		for _, c := range s.Cases {
			if !box.Holds(Point{X: tally.Real(c.At[0]), Y: tally.Real(c.At[1])}) {
				continue
			}
			if c.Exact < 0.95 {
				t.Errorf("the box holds a case with %v", c.Exact)
			}
			if c.FullH < quickest.FullH {
				quickest = c
			}
		}
		if box.Best.ID != quickest.ID || !strings.Contains(w.Sentence, fmt.Sprintf("a0 %.4g mm", quickest.At[0])) {
			t.Errorf("best case %s, the quickest in the box is %s: %s", box.Best.ID, quickest.ID, w.Sentence)
		}
		if w := find(t, s, Options{X: "a2_mm", Y: "a3_mm"}); w.X.Name != "a2_mm" || w.Y.Name != "a3_mm" {
			t.Errorf("asked for a2, a3: %s, %s", w.X.Name, w.Y.Name)
		}
	}
}

func TestTogetherAndScatter(t *testing.T) {
	s := study(steps(0.2, 0.8, 7), nil, falling, 0, true, "")
	var ys []float64
	for i := range s.Cases {
		s.Cases[i].At = append(s.Cases[i].At, 20-float64(i))
		ys = append(ys, 20-float64(i))
	}
	s.Axes = append(s.Axes, Numbers("start_undercooling_K", "K", ys))
	w := find(t, s, Options{})
	if w.Y != nil {
		t.Errorf("y %v", w.Y)
	}
	says(t, w, "varied together", "The limit itself lies")
	s = study(steps(0.2, 0.8, 7), nil, falling, 40, true, "placing")
	for i := range s.Cases {
		s.Cases[i].Placings = 40
	}
	w = find(t, s, Options{})
	says(t, w, "No case is shown to reach 95 %", "over its placings", "mean over 40 placings of its seeds")
	if i := w.Slices[0].Crossings[0].Interval; i.Low.Known() {
		t.Errorf("40 placings cannot tell where 95 %% begins: %+v", i)
	}
}

func TestBadOptions(t *testing.T) {
	s := study(steps(0.2, 0.8, 7), []float64{1, 2}, falling, 0, true, "")
	for want, o := range map[string]Options{
		"Chance = 1.5": {Chance: 1.5}, "Chance = NaN": {Chance: math.NaN()},
		`axis "color"`: {X: "color"}, "asked for twice": {X: "start_undercooling_K", Y: "start_undercooling_K"},
	} {
		if _, err := Find(s, o); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%+v: %v", o, err)
		}
	}
	s.Cases[0].At = nil
	if _, err := Find(s, Options{}); err == nil || !strings.Contains(err.Error(), "0 values for 2 axes") {
		t.Errorf("%v", err)
	}
}

func TestPercent(t *testing.T) {
	for p, want := range map[float64]string{0.95: "95 %", 0.9999: "99.99 %", 0.99999: "99.999 %", 0.949: "94.9 %",
		0.5: "50 %", 0.034: "3.4 %", 1 - 1e-9: "99.9999999 %", 1: "100 %", 0: "0 %", 1e-9: "1.0e-09"} {
		if got := percent(p); got != want {
			t.Errorf("%v: %s, wanted %s", p, got, want)
		}
	}
}
