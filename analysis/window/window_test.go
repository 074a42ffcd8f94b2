package window

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"onegrain/analysis/tally"
)

// study over one axis or two: chance gives the exact chance at a place (NaN: not known), runs are
// counted with it.
func study(xs, ys []float64, chance func(x, y float64) float64, runs int, keepExact bool, label string) Study {
	r := tally.Stream(label)
	var s Study
	var cx, cy []float64
	if ys == nil {
		ys = []float64{math.NaN()}
	}
	for _, x := range xs {
		for _, y := range ys {
			p := chance(x, y)
			c := Case{ID: fmt.Sprintf("%g-%g", x, y), At: []float64{x}, Runs: runs, Exact: math.NaN(), Strays: math.NaN(),
				DiameterMM: 10, P10: 8, P90: 12, FullH: 45 / x, ProgrammeH: 60 / x}
			if !math.IsNaN(y) {
				c.At = append(c.At, y)
			}
			for range runs {
				if r.Float64() < p {
					c.Hits++
				}
			}
			if keepExact {
				c.Exact, c.Strays = p, -math.Log(p)
			}
			s.Cases = append(s.Cases, c)
			cx, cy = append(cx, x), append(cy, y)
		}
	}
	s.Axes = []Axis{Numbers("cooling_rate_K_per_h", "K/h", cx)}
	if !math.IsNaN(ys[0]) {
		s.Axes = append(s.Axes, Numbers("start_undercooling_K", "K", cy))
	}
	return s
}

func find(t *testing.T, s Study, o Options) Window {
	t.Helper()
	w, err := Find(s, o)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := json.Marshal(w); err != nil {
		t.Fatalf("no JSON: %v", err)
	}
	if strings.Contains(w.Sentence, "NaN") || strings.Contains(strings.Join(w.Warnings, " "), "NaN") {
		t.Errorf("NaN for people: %s %s", w.Sentence, w.Warnings)
	}
	return w
}

func says(t *testing.T, w Window, want ...string) {
	t.Helper()
	all := w.Sentence + " | " + strings.Join(w.Warnings, " | ")
	for _, s := range w.Slices {
		all += " | " + strings.Join(s.Warnings, " | ")
	}
	for _, text := range want {
		if !strings.Contains(all, text) {
			t.Errorf("wanted %q in:\n%s", text, all)
		}
	}
}

func steps(from, to float64, n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = math.Round(1e9*(from+(to-from)*float64(i)/float64(n-1))) / 1e9
	}
	return out
}

// falling: Λ = (x/0.5)⁴·0.0513, so that the chance is 95 % at 0.5 in closed form.
func falling(x, _ float64) float64 { return math.Exp(math.Log(0.95) * math.Pow(x/0.5, 4)) }

// TestLimitAlongOneAxis: seven cases, a power law: monotone interpolation of log Λ is right to 1 %
// of the step. The canary interpolates the chance itself, as a straight line, and must miss by
// more.
func TestLimitAlongOneAxis(t *testing.T) {
	xs := steps(0.2, 0.8, 5)
	w := find(t, study(xs, nil, falling, 0, true, ""), Options{})
	c := w.Slices[0].Crossings
	if len(c) != 1 || math.Abs(float64(c[0].At)-0.5) > 0.0015*1.001 || !c[0].Falls ||
		c[0].Interval != (tally.Interval{Low: 0.5, High: 0.65}) && c[0].Interval != (tally.Interval{Low: 0.35, High: 0.5}) {
		t.Errorf("%+v", c)
	}
	straight := 0.0
	for i := range xs[1:] {
		if a, b := falling(xs[i], 0), falling(xs[i+1], 0); a > 0.9 && b <= 0.9 {
			straight = xs[i] + (xs[i+1]-xs[i])*(a-0.9)/(a-b)
		}
	}
	true90 := 0.5 * math.Pow(math.Log(0.9)/math.Log(0.95), 0.25)
	at90 := float64(find(t, study(xs, nil, falling, 0, true, ""), Options{Chance: 0.9}).Slices[0].Crossings[0].At)
	if math.Abs(at90-true90) > 0.004 {
		t.Errorf("90 %%: %v, wanted %v", at90, true90)
	}
	if math.Abs(straight-true90) <= 0.004 {
		t.Errorf("canary: a straight line through the chances gives %v, as good as %v", straight, true90)
	}
}

func TestSentences(t *testing.T) {
	xs := steps(0.2, 0.8, 7)
	at := func(f func(x, y float64) float64) Window { return find(t, study(xs, nil, f, 0, true, ""), Options{}) }
	says(t, at(func(x, _ float64) float64 { return falling(x+0.01, 0) }),
		"For a single grain in at least 95 % of runs keep cooling rate at or below 0.4 K/h (explored from 0.2): all 3 "+
			"cases there reach it, the lowest with 97.",
		"The limit itself lies at 0.49 K/h (0.4 to 0.5). The best case there is at cooling rate 0.4 K/h, solid after 112 h.",
		"ends at the edge of what was explored, at the lowest cooling rate", "odds assume", "nothing checks the exact odds")
	says(t, at(func(float64, float64) float64 { return 0.3 }),
		"None of the 7 cases reaches 95 %: the best at cooling rate 0.8 K/h has 30 %",
		"edge of the explored range (highest cooling rate)")
	says(t, at(func(float64, float64) float64 { return 0.999 }),
		"All 7 cases reach at least 95 %: cooling rate anywhere from 0.2 to 0.8 K/h (all that was explored); the lowest "+
			"has 99.9 %. The limit lies outside")
	says(t, at(func(x, _ float64) float64 {
		return map[bool]float64{true: 0.99, false: 0.5}[x < 0.35 || x > 0.55 && x < 0.75]
	}), "cooling rate at or below 0.3 K/h (explored from 0.2), or cooling rate between 0.6 and 0.7 K/h: all 4 cases",
		"neither only rises nor only falls")
	says(t, at(func(x, _ float64) float64 { return map[bool]float64{true: 0.96, false: 0.01}[x == 0.5] }),
		"keep cooling rate at 0.5 K/h: the one case there has 96 %", "changes by 95 %")
	says(t, at(func(float64, float64) float64 { return 1 }), "the lowest has 100 %")
	says(t, find(t, Study{}, Options{}), "No case was computed")
	says(t, find(t, study(xs[:1], nil, falling, 0, true, ""), Options{}),
		"The one case gives a single grain with a chance of 99.86 % (at least the wanted 95 %)", "one case makes no window")
	failed := study(xs, nil, falling, 0, false, "")
	says(t, find(t, failed, Options{}), "None of the 7 cases has a result", "7 cases have no result")
	stuck := study(xs, nil, falling, 0, true, "")
	for i := range stuck.Cases {
		stuck.Cases[i].Exact = 0
	}
	says(t, find(t, stuck, Options{}), "None of the 7 cases reaches 95 %",
		"0, since no domain of seeded grains fills the body", "7 cases cannot become a single grain")
	half := study(xs, nil, falling, 0, true, "")
	half.Cases[1].Exact, half.Cases[1].Strays = math.NaN(), math.NaN()
	says(t, find(t, half, Options{}), "cooling rate between 0.4 and 0.5 K/h, or cooling rate at 0.2 K/h",
		"1 case has no result")
}

// TestCountsAlone: 64 of 64 do not show 95 %, and the sentence must not claim it.
func TestCountsAlone(t *testing.T) {
	w := find(t, study([]float64{1, 2}, nil, func(float64, float64) float64 { return 1 }, 64, false, ""), Options{})
	says(t, w, "No case is shown to reach 95 %: 2 cases have too few runs to decide", "64 of 64 counted, 94.3 % to 100 %",
		"takes 72 runs")
	says(t, find(t, study([]float64{1, 2}, nil, func(float64, float64) float64 { return 1 }, 80, false, ""), Options{}),
		"All 2 cases reach at least 95 %")
	says(t, find(t, study([]float64{1, 2, 3}, nil, func(float64, float64) float64 { return 0.5 }, 4, false, ""),
		Options{}), "3 cases have fewer than 25 runs")
}

// TestDisagreement: counts that come of other chances than the exact ones are told.
func TestDisagreement(t *testing.T) {
	s := study(steps(0.2, 0.8, 7), nil, falling, 200, true, "fair")
	if w := find(t, s, Options{}); strings.Contains(strings.Join(w.Warnings, " "), "disagree") {
		t.Errorf("honest counts: %v", w.Warnings)
	}
	for i := range s.Cases {
		s.Cases[i].Exact = math.Pow(s.Cases[i].Exact, 1.5)
	}
	says(t, find(t, s, Options{}), "exact and counted chances disagree")
}

func expit(eta float64) float64 { return 1 / (1 + math.Exp(-eta)) }

// TestCountsHaveNoLimit: along one axis counts give ranges and no limit, and it is said why.
func TestCountsHaveNoLimit(t *testing.T) {
	truth := func(x, _ float64) float64 { return expit(math.Log(4) - 12*(x-0.5)) }
	s := study(steps(0.1, 0.9, 9), nil, truth, 400, false, "limit")
	w := find(t, s, Options{Chance: 0.8})
	if n := len(w.Slices[0].Crossings); n != 0 || len(w.Slices[0].Safe) != 1 || w.Slices[0].Safe[0].X.To > 0.5 {
		t.Errorf("%d limits, %+v", n, w.Slices[0].Safe)
	}
	says(t, w, "no case has exact odds", "no limit is drawn")
	s.Cases[4].Exact = 0.8
	if w = find(t, s, Options{Chance: 0.8}); strings.Contains(strings.Join(w.Slices[0].Warnings, ""),
		"no case has exact odds") {
		t.Errorf("canary: one case has them: %v", w.Slices[0].Warnings)
	}
}

// TestNeverClaimsTooMuch: whatever the counts, the box of a counted study with a known truth takes
// in a case below the wanted chance in at most 5 % of studies, and three standard errors more.
func TestNeverClaimsTooMuch(t *testing.T) {
	truth := func(x, y float64) float64 { return expit(6 - 8*x - 0.3*y) }
	bad, boxes := 0, 0
	for k := range 100 {
		w := find(t, study(steps(0.1, 0.7, 5), steps(2, 8, 5), truth, 100, false, fmt.Sprint("claim", k)),
			Options{Chance: 0.8})
		for _, b := range w.Slices[0].Safe {
			boxes++
			if truth(b.X.To, b.Y.To) < 0.8 {
				bad++
			}
		}
	}
	if boxes < 75 || float64(bad) > 0.05*100+3*math.Sqrt(100*0.05*0.95) {
		t.Errorf("%d of %d boxes claim too much", bad, boxes)
	}
}
