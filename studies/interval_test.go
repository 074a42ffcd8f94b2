package studies

import (
	"math"
	"testing"
)

// Values of Clopper and Pearson's interval worked out from its defining tail sums (Biometrika 26
// (1934) 404), 7 digits.
func TestInterval95(t *testing.T) {
	off := func(canary int) float64 {
		worst := 0.0
		for _, c := range []struct {
			hits, n   int
			low, high float64
		}{
			{0, 10, 0, 0.3084971}, {1, 10, 0.002528579, 0.4450161}, {5, 10, 0.187086, 0.812914}, {10, 10, 0.6915029, 1},
			{3, 30, 0.02111714, 0.2652885},
			{27, 30, 0.7347115, 0.9788829}, {8, 20, 0.1911901, 0.6394574}, {95, 100, 0.8871651, 0.9835681},
			{340, 1000, 0.3106473, 0.3702982},
		} {
			low, high := interval(c.hits, c.n+canary, missing)
			worst = math.Max(worst, math.Max(math.Abs(low-c.low), math.Abs(high-c.high)))
		}
		return worst
	}
	if d := off(0); d > 6e-8 {
		t.Errorf("an end is off by %g, wanted 6e-8 at most (the table has 7 digits)", d)
	}
	if d := off(1); d < 1e-3 {
		t.Error("the canary passes: one run more changes nothing")
	}
	if low, high := interval(0, 0, missing); low != 0 || high != 1 {
		t.Errorf("%g to %g without a run, wanted 0 to 1", low, high)
	}
}

// Runs that a case takes to be precise at half width 0.05: without any hit the interval 0 to 1 −
// 0.0175^(1/n) is 0.1 wide from n = 39 on; at one half it is the normal one, ± 2.108 · 0.5/√n, and
// 1/n wider, which is 0.05 at n = 464.
func TestPrecise(t *testing.T) {
	first := func(share float64) int {
		for n := Batch; ; n += Batch {
			if precise(int(math.Round(share*float64(n))), n, 0.05) {
				return n
			}
		}
	}
	if n := first(0); n != 40 {
		t.Errorf("precise without a hit after %d runs, wanted 40: the first whole batch from 39 on", n)
	}
	if n := first(0.5); n < 448 || n > 480 {
		t.Errorf("precise at one half after %d runs, wanted about 464", n)
	}
	if precise(0, 1000000, 0) {
		t.Error("a precision of 0 stops a case; wanted never")
	}
	plain, early := &Study{}, &Study{Precision: 0.1}
	if low, high := plain.Interval95(5, 10); math.Abs(low-0.187086) > 1e-6 || math.Abs(high-0.812914) > 1e-6 {
		t.Errorf("without precision %g to %g, wanted the plain interval", low, high)
	}
	if low, high := early.Interval95(5, 10); low > 0.18 || high < 0.82 {
		t.Errorf("with precision %g to %g, wanted a wider one", low, high)
	}
}
