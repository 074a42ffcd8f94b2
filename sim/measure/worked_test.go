package measure

import (
	"math"
	"testing"

	"onegrain/sim"
	"onegrain/sim/body"
	"onegrain/sim/draw"
	"onegrain/sim/furnace"
	"onegrain/sim/kinetics"
	"onegrain/sim/nucleation/rate"
)

// worked is a worked case of the survival formula: a seed of 3 mm on a body of half width 15 mm,
// grown on a ramp.
type worked struct {
	name           string
	g              *body.Grid
	law            func(scale float64) rate.Law // scale 1; the canary moves its barrier or mean
	kPerH, from    float64                      // the ramp, K/h from K
	expectedStrays float64
}

// TestWorkedCases goes the whole way, engine and odds: Λ = ∫ I(ΔT) V_liquid dt with the free box
// cut by the body, integrated numerically with the closed forms of the liquid (square, prism, disc)
// and of the grown length (a: 2.8e-6 mm/s at 1 K, exponent 1.9; c: the same divided by 1.35).
// Tolerance: cell size/W, as in TestSurvival. Canary: a barrier or a mean undercooling 2 % lower.
func TestWorkedCases(t *testing.T) {
	const cell = 0.5
	barrier := func(perS, b float64) func(float64) rate.Law {
		return func(scale float64) rate.Law {
			return rate.Barrier{PrefactorPerUnitH: perS * 3600, BarrierK3: scale * b, PeritecticK: 1278.15}
		}
	}
	sites := func(density, mean float64) func(float64) rate.Law {
		return func(scale float64) rate.Law {
			return rate.Sites{DensityPerUnit: density, MeanUndercoolingK: scale * mean, SpreadK: 2}
		}
	}
	square, prism, round := block(t, 30, 30, 0, cell, body.FromAbove), block(t, 30, 30, 10, cell, body.Solid),
		disc(t, 30, 10, cell, body.Solid)
	for _, w := range []worked{
		{"square, barrier, 0.5 K/h", square, barrier(2e-5, 1.5e6), 0.5, 0, 0.04476208},
		{"square, barrier, 1 K/h", square, barrier(2e-5, 1.5e6), 1, 0, 0.615052},
		{"square, sites, 0.2 K/h", square, sites(2e-3, 12), 0.2, 0, 0.1015111},
		{"square, sites, held at 9 K", square, sites(2e-3, 12), 0, 9, 0.1190504},
		{"prism, barrier", prism, barrier(1e-4, 1.75e6), 0.5, 0, 0.8603087},
		{"disc, barrier", round, barrier(1e-4, 1.75e6), 0.5, 0, 0.4942014},
		{"disc, sites", round, sites(5e-4, 13), 0.5, 0, 1.127881},
	} {
		got := w.odds(1)
		ok := func(o Odds) bool { return math.Abs(o.ExpectedStrays/w.expectedStrays-1) < cell/15 }
		if !ok(got) || math.Abs(got.Probability/math.Exp(-w.expectedStrays)-1) > w.expectedStrays*cell/15 {
			t.Errorf("%s: %+v, want Λ = %v", w.name, got, w.expectedStrays)
		}
		if o := w.odds(0.98); ok(o) {
			t.Errorf("%s: canary passed with %+v", w.name, o)
		}
		t.Logf("%s: Λ = %.6g, %.4f of the integral", w.name, got.ExpectedStrays, got.ExpectedStrays/w.expectedStrays)
	}
}

// odds runs the case without strays.
func (w worked) odds(scale float64) Odds {
	on := &sim.Case{Grid: w.g, Seeds: []sim.Seed{{SizeMM: [2]float64{3, 3}}}}
	rate := 2.8e-6 * 3600 * math.Pow(10, 1.9)
	on.GrowthA = kinetics.Power{RateAt10K: rate, Exponent: 1.9}
	on.GrowthC = kinetics.Power{RateAt10K: rate / 1.35, Exponent: 1.9}
	on.Programme = furnace.Programme{Knots: []furnace.Knot{
		{TimeH: 0, UndercoolingK: -1}, {TimeH: 1, UndercoolingK: -1}, {TimeH: 1 + 1e-6, UndercoolingK: w.from},
		{TimeH: 60, UndercoolingK: w.from + 59*w.kPerH}}}
	on.Nuclei.Melt = w.law(scale)
	return Look(sim.Seeded(on, draw.NewKey("worked")), 5).Odds()
}
