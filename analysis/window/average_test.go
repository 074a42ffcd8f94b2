package window

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"onegrain/analysis/tally"
)

// half is a study of rates that are set and of an unknown u: chance(x, u) exact.
func half(xs, us []float64, paired, sampled bool, chance func(x, u float64) float64) Study {
	s := Study{Sampled: sampled}
	var cx, cu []float64
	add := func(x, u float64) {
		p := chance(x, u)
		s.Cases = append(s.Cases, Case{ID: fmt.Sprintf("%g/%g", x, u), At: []float64{x, u}, Exact: p, Strays: -math.Log(p),
			DiameterMM: 9 + p/10, FullH: 40 / x, ProgrammeH: 60, CellMM: 0.1})
		cx, cu = append(cx, x), append(cu, u)
	}
	for i, x := range xs {
		if paired {
			add(x, us[i])
			continue
		}
		for _, u := range us {
			add(x, u)
		}
	}
	s.Axes = []Axis{Numbers("rate_K_per_h", "K/h", cx), Numbers("peritectic_C", "Cel", cu)}
	s.Axes[1].Unknown = true
	return s
}

// TestUnknownIsAveraged: what a setting comes to, against means worked out by hand. Canary: the
// chance at the middle value of what is not known, which is what comes of choosing it, is another
// number.
func TestUnknownIsAveraged(t *testing.T) {
	table := map[float64][]float64{0.2: {1, 1, 0.99, 0.98}, 0.4: {1, 0.97, 0.96, 0.9}, 0.8: {0.8, 0.4, 0.1, 0}}
	us := []float64{1008, 1009, 1010, 1011}
	s := half([]float64{0.2, 0.4, 0.8}, us, false, false, func(x, u float64) float64 { return table[x][int(u)-1008] })
	points := s.Averaged().Points(0.95)
	want := []struct{ mean, reach float64 }{{0.9925, 4}, {0.9575, 3}, {0.325, 0}}
	if len(points) != 3 {
		t.Fatalf("%d settings", len(points))
	}
	for i, p := range points {
		if math.Abs(float64(p.Chance)-want[i].mean) > 1e-12 || float64(p.Reach) != want[i].reach || p.Over != 4 ||
			len(p.Cases) != 4 || math.Abs(float64(p.DiameterMM)-9-want[i].mean/10) > 1e-12 {
			t.Errorf("setting %d: %+v, wanted %v", i, p, want[i])
		}
		if middle := table[[]float64{0.2, 0.4, 0.8}[i]][2]; math.Abs(float64(p.Chance)-middle) < 1e-3 {
			t.Errorf("canary: the mean is the chance %v of one value", middle)
		}
	}
	w := find(t, s, Options{})
	says(t, w, "keep rate at or below 0.4 K/h", "all 2 settings there reach it, the lowest with 95.7 %",
		"It has 95.7 % over what is not known (peritectic); 75 % of the 4 points reach 95 %.")
	if w.Y != nil || w.Best == nil || w.Best.At[0] != 0.4 || strings.Contains(w.Sentence, "peritectic at") ||
		strings.Contains(w.Sentence, "peritectic any") {
		t.Errorf("%+v %s", w.Best, w.Sentence)
	}
	if _, err := Find(s, Options{X: "peritectic_C"}); err == nil || !strings.Contains(err.Error(), "averaged over") {
		t.Errorf("%v", err)
	}
	s.Axes[1].Unknown = false
	if v := find(t, s, Options{}); v.Y == nil || strings.Contains(v.Sentence, "not known") {
		t.Errorf("canary: a study whose axes are all set is averaged: %s", v.Sentence)
	}
}

// TestNothingIsSet: a study of nothing but what is not known has a yield.
func TestNothingIsSet(t *testing.T) {
	s := half([]float64{1}, []float64{1, 2, 3, 4}, false, false, func(_, u float64) float64 { return 1 - u/20 })
	s.Axes[0].Unknown = true
	says(t, find(t, s, Options{}), "The yield over what is not known (rate, peritectic): 87 % of runs give a single "+
		"grain; 25 % of the 4 points reach 95 %.")
}

// TestUnevenSettingsAreTold: settings that met other values of what is not known are no fair
// comparison.
func TestUnevenSettingsAreTold(t *testing.T) {
	flat := func(_, _ float64) float64 { return 0.9 }
	s := half([]float64{1, 2, 2}, []float64{7, 7, 8}, true, false, flat)
	says(t, find(t, s, Options{}), "different values of what is not known")
	s = half([]float64{1, 2}, []float64{7, 8}, false, false, flat)
	if w := find(t, s, Options{}); strings.Contains(strings.Join(w.Warnings, " "), "different values") {
		t.Errorf("%v", w.Warnings)
	}
}

// TestPartsOfASampledDesign: x is set and u is not known, both spread at random. The chance is u^k,
// whose mean over u from 0 to 1 is 1/(k+1) whatever x is. Each part must hold the cases that a
// binning by hand puts there; and its 95 % interval must hold the true mean in nine of ten parts at
// least (of 600: a share of 0.95 falls to 0.90 by luck once in 10⁶ such tests; skewness of u^k
// costs some hundredths). Canary: an interval of half the width does not.
func TestPartsOfASampledDesign(t *testing.T) {
	r := tally.Stream("parts")
	held, narrow, n := 0, 0, 0
	for k := range 100 {
		const points = 120
		var xs, us []float64
		for range points {
			xs, us = append(xs, 1+r.Float64()), append(us, r.Float64())
		}
		power := float64(1 + k%2)
		all := half(xs, us, true, true, func(_, u float64) float64 { return math.Pow(u, power) }).Averaged().Points(0.95)
		if len(all) != 6 {
			t.Fatalf("%d parts of 120 points, 20 each wanted", len(all))
		}
		low, high := 3.0, 0.0
		for _, x := range xs {
			low, high = min(low, x), max(high, x)
		}
		for part, p := range all {
			sum, of := 0.0, 0
			for i, x := range xs {
				if a, b := low+(high-low)*float64(part)/6, low+(high-low)*float64(part+1)/6; x >= a && (x < b || part == 5) {
					sum, of = sum+math.Pow(us[i], power), of+1
				}
			}
			if p.Over != of || math.Abs(float64(p.Chance)-sum/float64(of)) > 1e-9 {
				t.Fatalf("part %d: %d points with %v, by hand %d with %v", part, p.Over, p.Chance, of, sum/float64(of))
			}
			truth, width := 1/(power+1), float64(p.Interval.High-p.Interval.Low)
			n++
			if float64(p.Interval.Low) <= truth && truth <= float64(p.Interval.High) {
				held++
			}
			if math.Abs(float64(p.Chance)-truth) <= width/4 {
				narrow++
			}
		}
	}
	if share := float64(held) / float64(n); share < 0.9 {
		t.Errorf("intervals hold the mean in %.3f of %d parts", share, n)
	}
	if share := float64(narrow) / float64(n); share >= 0.9 {
		t.Errorf("canary: half intervals hold it in %.3f", share)
	}
}

// TestTwoAxesOfWordsAreSlices: no line joins unlike cases.
func TestTwoAxesOfWordsAreSlices(t *testing.T) {
	turn, x := Words("turn", []string{"parallel", "parallel", "radial", "radial"})
	base, y := Words("strays", []string{"random", "fibre", "random", "fibre"})
	s := Study{Axes: []Axis{turn, base}}
	for i := range 4 {
		s.Cases = append(s.Cases, Case{ID: string(rune('a' + i)), At: []float64{x[i], y[i]},
			Exact: []float64{0.99, 0.98, 0.1, 0.2}[i], Strays: 0.1, DiameterMM: 8})
	}
	w := find(t, s, Options{})
	if len(w.Slices) != 2 || len(w.Slices[0].Points) != 2 || len(w.Slices[0].Fixed) != 1 {
		t.Fatalf("%d slices, the first of %d points", len(w.Slices), len(w.Slices[0].Points))
	}
	says(t, w, "With strays random: for a single grain in at least 95 % of runs take turn parallel")
}

// TestWhatNoFurnaceSetsIsACondition: nobody is advised to keep a peritectic temperature.
func TestWhatNoFurnaceSetsIsACondition(t *testing.T) {
	s := half([]float64{0.2, 0.4, 0.8}, []float64{1008, 1010}, false, false,
		func(x, _ float64) float64 { return map[float64]float64{0.2: 0.99, 0.4: 0.98, 0.8: 0.1}[x] })
	s.Axes[1].Unknown, s.Axes[1].Melt = false, true
	says(t, find(t, s, Options{}), "keep rate at or below 0.4 K/h (explored from 0.2) if the body has peritectic "+
		"anywhere from 1008 to 1010 °C (all that was explored):")
}

// TestSteepStep: a step across the wanted chance is warned of only where it takes up most of it.
func TestSteepStep(t *testing.T) {
	const text = "from one case to the next"
	for least, warned := range map[float64]bool{0.05: true, 0.3: false, 0.9: false} {
		s := half([]float64{1, 2, 3}, []float64{1010}, false, false, func(x, _ float64) float64 {
			if x > 2 {
				return least
			}
			return 0.99
		})
		s.Axes[1].Unknown = false
		w := find(t, s, Options{})
		if got := strings.Contains(strings.Join(w.Slices[0].Warnings, "\n"), text); got != warned {
			t.Errorf("from 99 %% to %g: warned %v: %q", least, got, w.Slices[0].Warnings)
		}
	}
}
