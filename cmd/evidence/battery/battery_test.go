package battery

import (
	"math"
	"testing"
)

// TestWorkedNumbers holds the formulas of this package to numbers worked out elsewhere with other
// means (numpy and scipy, as printed there): the check of the check.
func TestWorkedNumbers(t *testing.T) {
	a, c := perSecond(2.8e-6, 1.9), perSecond(1.0e-6, 1.3)
	near := func(name string, got, want, rel float64) {
		t.Helper()
		if math.Abs(got-want) > rel*math.Abs(want) {
			t.Errorf("%s: %.8g, wanted %.8g", name, got, want)
		}
		if canary := got * 1.001; math.Abs(canary-want) <= rel*math.Abs(want) && rel < 1e-3 {
			t.Errorf("canary: %s off by 0.1 %% passed", name)
		}
	}
	ramp := func(rate float64) programme { return programme{0, []stage{{toK: 60, rate: rate}}} }
	near("La, 0.2 K/h, 20 h", grown(a, ramp(0.2), 20), 0.9682924, 1e-6)
	near("Lc, 1 K/h, 40 h", grown(c, ramp(1), 40), 7.573779, 1e-6)
	near("time to 13.5 mm, 0.5 K/h", hours(a, ramp(0.5), 13.5), 27.22114, 1e-6)
	near("time to 12 mm along c, 0.3 K/h", hours(c, ramp(0.3), 12), 96.49383, 1e-6)
	late := programme{-2, []stage{{toK: 10, rate: 0.3}}}
	near("La, from 2 K above, 20 h", grown(a, late, 20), 0.6455283, 1e-6)

	flat, hold := programme{0, []stage{{toK: 10, rate: 1e12}, {hold: 2}}}, power{3.6, 0}
	plane := extended{law: linear{0.036, 10, true}, axes: []growthLaw{hold, hold}, size: []float64{30, 30}, p: flat}
	const tau = 1957.434 / 3600
	near("X at 0.8 tau in the plane", 1-plane.liquid(0.8*tau), 0.400704, 1e-5)
	near("grains in the plane", plane.number(2), 157.3153, 1e-5)
	plane.walls = true
	near("X at tau, walls", 1-plane.liquid(tau), 0.611015, 1e-5)
	near("grains, walls", plane.number(2), 161.0164, 1e-5)
	solid := extended{law: linear{0.0036, 10, true}, axes: []growthLaw{hold, hold, power{1.8, 0}},
		size: []float64{20, 20, 20}, p: flat}
	near("grains in space", solid.number(2), 229.3037, 1e-5)
	cooled := extended{law: sites{0.05, 15, 3}, axes: []growthLaw{a, a, c}, size: []float64{30, 30, 4},
		p: programme{0, []stage{{toK: 30, rate: 2}}}}
	near("X at 14 K", 1-cooled.liquid(7), 0.0540593, 1e-5)
	near("X at 18 K", 1-cooled.liquid(9), 0.834118, 1e-5)
	near("grains, cooled", cooled.number(14), 123.5077, 1e-4)
}

// TestWorkedOdds is the same for the expected strays Λ of seeded bodies, which were worked out by
// adaptive quadrature and confirmed by a Monte Carlo of a million runs each (chi-squared 15.5 for
// 17 cases).
func TestWorkedOdds(t *testing.T) {
	all := pucks()
	for _, w := range workedOdds() {
		if got := all[w.puck].strays(w.programme()).total(); math.Abs(got-w.lambda) > 3e-6*w.lambda {
			t.Errorf("%s, %v K/h from %v K: Λ = %.8g, wanted %.8g", w.puck, w.rate, w.from, got, w.lambda)
		}
	}
	if wrong := all["disc-a"]; math.Abs(wrong.strays(programme{0, []stage{{toK: 60, rate: 0.3}}}).total()-1.07775) < 0.1 {
		t.Error("canary: a disc has the odds of a prism")
	}
}
