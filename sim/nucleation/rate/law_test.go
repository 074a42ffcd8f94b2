package rate

import (
	"math"
	"strings"
	"testing"
)

func near(got, want, relative float64) bool { return math.Abs(got-want) <= relative*math.Abs(want) }

// ∫ exp(−B/((P−u)u²)) du by adaptive quadrature with 30 digits, apart from this code. Canary: a
// barrier 0.01 % lower.
func TestBarrierIntegral(t *testing.T) {
	for _, c := range []struct{ b, p, low, high, want float64 }{
		{1.12e7, 1283.15, 8, 30, 6.5227641962824944e-5}, {1.12e7, 1283.15, 19.5, 20.5, 2.8226173774687658e-10},
		{1.5e6, 1278.15, 0.001, 17, 0.025821140576312473},
		{1e3, 1283.15, 0.01, 30, 28.459275578354208}, {8e6, 1278.15, 1, 29.6, 0.0011505766355244141},
		{1.12e7, 1283.15, 0.5, 900, 723.67716779758432},
	} {
		law := Barrier{3, c.b, c.p}
		want := 3 * 7 * c.want / (c.high - c.low)
		if got := law.Expected(c.low, c.high, 7, 0); !near(got, want, 1e-9) {
			t.Errorf("%v to %v K: %.15g, want %.15g", c.low, c.high, got, want)
		}
		if up, down := law.Expected(c.low, c.high, 7, 0), law.Expected(c.high, c.low, 7, 50); up != down {
			t.Errorf("the way down differs from the way up: %v, %v", up, down)
		}
		if near((Barrier{3, 0.9999 * c.b, c.p}).Expected(c.low, c.high, 7, 0), want, 1e-9) {
			t.Errorf("a barrier 0.01 %% lower passes from %v to %v K", c.low, c.high)
		}
	}
	law := Barrier{1.1e4, 1.12e7, 1283.15}
	if got := law.Expected(20, 20, 2, 20); !near(got, 2*1.1e4*2.3609066541333168e-10, 1e-12) {
		t.Errorf("hold at 20 K: %v", got)
	}
	if got, want := law.Expected(20, 20*(1+1e-13), 2, 20), law.Expected(20, 20, 2, 20); !near(got, want, 1e-10) {
		t.Errorf("slope to zero: %v, want %v", got, want)
	}
	if got, want := law.Expected(-5, 25, 30, 0), law.Expected(0, 25, 25, 0); !near(got, want, 1e-12) {
		t.Errorf("the part above the peritectic counts: %v, want %v", got, want)
	}
	if law.Expected(-5, 0, 3, 0) != 0 || law.Expected(0, 0, 3, 0) != 0 || law.Expected(0, 30, 0, 0) != 0 ||
		law.Expected(1, 2, 5, 0) != 0 || law.Expected(2, 2, 5, 0) > 1e-300 ||
		(Barrier{0, 1e6, 1283}).Expected(0, 30, 30, 0) != 0 {
		t.Error("nothing must come of no undercooling, no time, or a hopeless barrier")
	}
}

// Differences of the normal distribution with 30 digits. Canary: a spread 1 % wider.
func TestSites(t *testing.T) {
	for _, c := range []struct{ m, s, a, b, want float64 }{
		{12, 2, 0, 9, 0.066807200282270421}, {12, 2, 0, 4, 3.1670255245474884e-5}, {12, 2, 20, 30, 3.1671241833119808e-5},
		{3, 2, 0, 1, 0.091848052662598985}, {12, 2, 9, 14, 0.77453754479968488}, {15, 3, 0, 40, 0.99999971334842808},
	} {
		if got := (Sites{0.05, c.m, c.s}).Expected(c.a, c.b, 1, c.a); !near(got, 0.05*c.want, 1e-13) {
			t.Errorf("mean %v, %v to %v K: %.15g, want %.15g", c.m, c.a, c.b, got, 0.05*c.want)
		}
		if near((Sites{0.05, c.m, 1.01 * c.s}).Expected(c.a, c.b, 1, c.a), 0.05*c.want, 1e-13) {
			t.Errorf("a spread 1 %% wider passes from %v to %v K", c.a, c.b)
		}
	}
	law := Sites{0.05, 12, 2}
	for name, got := range map[string]float64{
		"a hold":                  law.Expected(9, 9, 100, 9),
		"re-heating":              law.Expected(9, 3, 2, 9),
		"cooling again to before": law.Expected(3, 9, 2, 9),
		"above the peritectic":    law.Expected(-9, -1, 2, -9),
	} {
		if got != 0 {
			t.Errorf("%s starts %v sites", name, got)
		}
	}
	if got, want := law.Expected(3, 11, 2, 9), law.Expected(9, 11, 2, 9); got != want {
		t.Errorf("beyond the old maximum: %v, want %v", got, want)
	}
	if got, want := law.Expected(0, 9, 0, 0), law.Expected(0, 9, 50, 0); got != want || got == 0 {
		t.Errorf("a jump: %v, want %v", got, want)
	}
	if sharp := (Sites{0.05, 12, 0}); sharp.Expected(0, 13, 1, 0) != 0.05 || sharp.Expected(0, 11, 1, 0) != 0 ||
		sharp.Expected(12, 13, 1, 12) != 0 {
		t.Error("sites without spread all start at the mean")
	}
}

func TestTable(t *testing.T) {
	law, err := NewTable([]float64{5, 10, 20}, []float64{1, 3, 3})
	if err != nil {
		t.Fatal(err)
	}
	// areas: 0 below 5 K, trapezium 10, rectangle 30, then constant
	for _, c := range []struct{ from, to, hours, want float64 }{
		{0, 5, 5, 0}, {5, 10, 5, 10}, {0, 10, 10, 10}, {0, 20, 20, 40}, {0, 30, 30, 70}, {30, 0, 60, 140}, {-10, 20, 15, 20},
		{7, 7, 2, 3.6}, {5, 5, 2, 2}, {4, 4, 2, 0}, {40, 40, 2, 6}, {-1, -1, 2, 0}, {-4, -1, 2, 0}, {0, 30, 0, 0},
		{25, 35, 1, 3},
	} {
		if got := law.Expected(c.from, c.to, c.hours, 0); !(math.Abs(got-c.want) <= 1e-14*c.want) {
			t.Errorf("%v to %v K in %v h: %v, want %v", c.from, c.to, c.hours, got, c.want)
		}
	}
	if (Table{}).Expected(0, 20, 1, 0) != 0 {
		t.Error("the zero table nucleates")
	}
	for _, c := range []struct {
		u, r []float64
		want string
	}{
		{[]float64{1, 2}, []float64{1}, "2 undercoolings but 1 rates"},
		{nil, nil, "no points"},
		{[]float64{3, 2}, []float64{1, 1}, "point 2: undercooling 2 K does not exceed"},
		{[]float64{-1}, []float64{1}, "point 1: undercooling -1 K"},
		{[]float64{math.NaN()}, []float64{1}, "point 1: undercooling NaN K"},
		{[]float64{1}, []float64{-1}, "point 1: rate -1 at 1 K"},
		{[]float64{1}, []float64{math.Inf(1)}, "rate +Inf"},
	} {
		if _, err := NewTable(c.u, c.r); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("points %v, %v: error %v, want %q", c.u, c.r, err, c.want)
		}
	}
}
