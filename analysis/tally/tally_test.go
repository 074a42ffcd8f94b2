package tally

import (
	"encoding/json"
	"math"
	"testing"
)

func TestRealInJSON(t *testing.T) {
	text, err := json.Marshal([]Real{1.5, Unknown(), Real(math.Inf(1))})
	if err != nil || string(text) != "[1.5,null,null]" {
		t.Fatalf("%s, %v", text, err)
	}
}

// TestShare: with no miss in n the lower end solves p^n = 0.025, with no hit the upper end solves
// (1−p)^n = 0.025; both closed forms. The interval must cover in 95 % of cases or more; that of
// Wald, the canary, does not.
func TestShare(t *testing.T) {
	if got, want := float64(Share(64, 64).Low), math.Pow(0.025, 1.0/64); math.Abs(got-want) > 1e-9 {
		t.Errorf("64 of 64: %v, wanted %v", got, want)
	}
	if got, want := float64(Share(0, 10).High), 1-math.Pow(0.025, 0.1); math.Abs(got-want) > 1e-9 {
		t.Errorf("0 of 10: %v, wanted %v", got, want)
	}
	if s := Share(0, 0); s != (Interval{0, 1}) {
		t.Errorf("nothing counted: %v", s)
	}
	wald := func(h, n float64) Interval {
		d := 1.96 * math.Sqrt(h/n*(1-h/n)/n)
		return Interval{Real(h/n - d), Real(h/n + d)}
	}
	if c := leastCover(Share); c < 0.95 {
		t.Errorf("covers %.3f", c)
	}
	if c := leastCover(wald); c >= 0.95 {
		t.Errorf("canary: the interval of Wald covers %.3f", c)
	}
}

// leastCover is the least chance to be covered, by summing the binomial law.
func leastCover(interval func(h, n float64) Interval) float64 {
	least := 1.0
	for _, p := range []float64{0.02, 0.1, 0.5, 0.9, 0.97} {
		const n = 40
		cover, mass := 0.0, math.Pow(1-p, n)
		for h := 0.0; h <= n; h++ {
			if i := interval(h, n); float64(i.Low) <= p && p <= float64(i.High) {
				cover += mass
			}
			mass *= (n - h) / (h + 1) * p / (1 - p)
		}
		least = min(least, cover)
	}
	return least
}

func TestSpread(t *testing.T) {
	s := SpreadOf([]float64{4, math.NaN(), 1, 3, 2, 0}, 0, 4, 2)
	if s.Count != 5 || s.Median != 2 || s.Min != 0 || s.Max != 4 || s.Bins[0].Count != 2 || s.Bins[1].Count != 3 {
		t.Errorf("%+v", s)
	}
	if s := SpreadOf([]float64{7, 7}, 0, 0, 5); len(s.Bins) != 1 || s.Bins[0].Count != 2 {
		t.Errorf("all alike: %+v", s)
	}
	many := make([]float64, 1001)
	for i := range many {
		many[i] = float64(1000 - i)
	}
	if s := SpreadOf(many, 0, 0, 10); len(s.Sample) != 100 || math.Abs(s.Sample[0]-5) > 1e-9 ||
		math.Abs(s.Sample[99]-995) > 1e-9 || s.Bins[0].Count != 100 || s.Bins[9].Count != 101 {
		t.Errorf("many: %+v", s)
	}
	if s := SpreadOf(nil, 0, 1, 3); s.Count != 0 || s.Median.Known() || s.Bins != nil {
		t.Errorf("none: %+v", s)
	}
}

// TestAgree: where counts follow the exact chances the p-value is uniform or larger; where every
// chance is off by 0.1, the canary, it is tiny. 400 studies of 40 cases: of p < 0.05 we expect 20
// or fewer, give or take 4.4; 35 is beyond three of these.
func TestAgree(t *testing.T) {
	r := Stream("agree")
	study := func(off float64, shared bool) []Count {
		var all []Count
		luck := make([]float64, 64)
		for k := range luck {
			luck[k] = r.Float64()
		}
		for c := range 40 {
			p := math.Pow(float64(c)/39, 3)
			hits := 0
			for k := range luck {
				if !shared {
					luck[k] = r.Float64()
				}
				if luck[k] < p {
					hits++
				}
			}
			all = append(all, Count{64, hits, min(1, max(0, p+off)), 0})
		}
		return all
	}
	for _, shared := range []bool{false, true} {
		small := 0
		for range 400 {
			if Agree(study(0, shared), !shared).PValue < 0.05 {
				small++
			}
		}
		if small > 35 {
			t.Errorf("shared %v: %d of 400 studies below 0.05", shared, small)
		}
		if a := Agree(study(0.1, shared), !shared); !a.Disagree() {
			t.Errorf("canary, shared %v: chances off by 0.1 pass: %+v", shared, a)
		}
	}
	if a := Agree([]Count{{Runs: 10, Hits: 1}}, true); !a.Disagree() {
		t.Errorf("a hit where none is possible: %+v", a)
	}
	if a := Agree([]Count{{Chance: 0.5}, {5, 2, math.NaN(), 0}}, true); a.Cases != 0 || a.PValue.Known() || a.Disagree() {
		t.Errorf("nothing to compare: %+v", a)
	}
}

// TestAgreeOverPlacings: runs with chances of their own, of which most are 0 or nearly 1, whose
// mean and its standard error are told. In 600 studies p < 0.05 is expected 30 times, give or take
// 5.3; beyond 16 of that the test is too bold, or so careful that it sees nothing. Canary: the same
// without the standard error is that careful.
func TestAgreeOverPlacings(t *testing.T) {
	r := Stream("placings")
	small, blind := 0, 0
	for range 600 {
		var told, untold []Count
		for range 20 {
			const n = 40
			joined, hits, sum, squares := 0.2+0.6*r.Float64(), 0, 0.0, 0.0
			for range n {
				p := 0.0
				if r.Float64() < joined {
					p = 0.75 + 0.2*r.Float64()
				}
				if r.Float64() < p {
					hits++
				}
				sum, squares = sum+p, squares+p*p
			}
			mean := sum / n
			c := Count{n, hits, mean, math.Sqrt((squares/n - mean*mean) / (n - 1))}
			told, untold = append(told, c), append(untold, Count{n, hits, mean, 0})
		}
		if Agree(told, true).PValue < 0.05 {
			small++
		}
		if Agree(untold, true).PValue < 0.05 {
			blind++
		}
	}
	if small < 14 || small > 46 {
		t.Errorf("%d of 600 studies below 0.05", small)
	}
	if blind >= 14 {
		t.Errorf("canary: without the error %d of 600 studies are below 0.05", blind)
	}
}
