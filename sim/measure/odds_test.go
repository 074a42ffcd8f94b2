package measure

import (
	"fmt"
	"math"
	"testing"

	"onegrain/sim"
	"onegrain/sim/body"
	"onegrain/sim/draw"
	"onegrain/sim/furnace"
	"onegrain/sim/nucleation"
	"onegrain/sim/nucleation/rate"
)

// steady is a law of a constant rate per unit and hour.
func steady(t *testing.T, perUnitH float64) rate.Law {
	t.Helper()
	l, err := rate.NewTable([]float64{1, 2}, []float64{perUnitH, perUnitH})
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// boxed is the arrival of a seeded box of half width start at ΔT held from 1 h on: ra and rc in
// mm/h, from the top at z = top.
func boxed(g *body.Grid, start, ra, rc, top float64) made {
	return made{g, func(x, y, z float64) (int, uint8, float64) {
		a, c := (math.Max(math.Abs(x), math.Abs(y))-start)/ra, 0.0
		if g.Flat != body.FromAbove {
			c = (top - z) / rc
		}
		return 0, 0, 1 + math.Max(0, math.Max(a, c))
	}}
}

// TestSurvival is the closed form of a constant rate I and growth R: in a square of half width W
// with a seed of half width h, Λ = (4I/R)[W²(W−h) − (W³−h³)/3] (the integral of the liquid's area
// over time), and for a prism finished on a and c together, R_a/R_c = k, Λ = (I/R)[4W²H L −
// (4/k)(h²L²/2 + 2hL³/3 + L⁴/4)] with L = W−h, H = L/k. Tolerance: cell size/W, the part of the
// liquid a layer of half a cell holds. Canary: a growth rate 5 % off.
func TestSurvival(t *testing.T) {
	const w, h, rate, growth, k = 15, 1.5, 3.6e-4, 0.72, 1.35 // 1e-7 per mm² (or mm³) s; 2e-4 mm/s
	const l = w - h
	square := 4 * rate / growth * (w*w*(w-h) - (w*w*w-h*h*h)/3.0)
	prism := rate / growth * (4*w*w*l/k*l - 4/k*(h*h*l*l/2+2*h*l*l*l/3+l*l*l*l/4.0))
	if math.Abs(square-3.82725) > 1e-9 || math.Abs(prism-44.499375) > 1e-9 {
		t.Fatalf("closed forms: %v and %v", square, prism)
	}
	for _, c := range []struct {
		g    *body.Grid
		cell float64
		want float64
	}{
		{block(t, 2*w, 2*w, 0, 0.5, body.FromAbove), 0.5, square},
		{block(t, 2*w, 2*w, 0, 0.1, body.FromAbove), 0.1, square},
		{block(t, 2*w, 2*w, 10, 0.5, body.Solid), 0.5, prism},
	} {
		on, _ := scene(c.g, 0)
		on.Nuclei.Melt = steady(t, rate)
		lambda := func(ra float64) float64 { return newOdds(on, boxed(c.g, h, ra, ra/k, 10), true).ExpectedStrays }
		ok := func(x float64) bool { return math.Abs(x/c.want-1) < c.cell/w }
		o := newOdds(on, boxed(c.g, h, growth, growth/k, 10), true)
		if !ok(o.ExpectedStrays) || math.Abs(o.Probability/math.Exp(-o.ExpectedStrays)-1) > 1e-14 {
			t.Errorf("cell %v: Λ = %v, want %v; chance %v", c.cell, o.ExpectedStrays, c.want, o.Probability)
		}
		if x := lambda(0.95 * growth); ok(x) {
			t.Errorf("canary: slower growth passed with Λ = %v", x)
		}
		if o := newOdds(on, boxed(c.g, h, growth, growth/k, 10), false); o.Probability != 0 || !ok(o.ExpectedStrays) {
			t.Errorf("a body that is not filled: %+v", o)
		}
	}
}

// TestOddsCellByCell: bins of time against the exact hazard of every cell, for every origin, under
// a ramp with a knee and a steep law; the tolerance is what `uniform` states. A gradient too small
// to matter takes the other way through.
func TestOddsCellByCell(t *testing.T) {
	for _, g := range []*body.Grid{disc(t, 9, 4, 0.5, body.Solid), block(t, 8, 0, 5, 0.25, body.VerticalSection),
		disc(t, 9, 0, 0.25, body.FromAbove)} {
		on, _ := scene(g, 0)
		on.Programme = furnace.Programme{Knots: []furnace.Knot{{TimeH: 0, UndercoolingK: -4},
			{TimeH: 0.5, UndercoolingK: 3}, {TimeH: 4, UndercoolingK: 10}, {TimeH: 30, UndercoolingK: 30}}}
		barrier := rate.Barrier{PrefactorPerUnitH: 1e4, BarrierK3: 1e7, PeritecticK: 1283}
		on.Nuclei = nucleation.Model{Melt: barrier, Top: steady(t, 1e-3),
			Side: rate.Sites{DensityPerUnit: 0.1, MeanUndercoolingK: 12, SpreadK: 3}, Bottom: barrier}
		field := boxed(g, 1, 0.3, 0.2, 4)
		got := newOdds(on, field, true)
		on.Gradient.VerticalKPerMM = 1e-12
		want := newOdds(on, field, true)
		for origin := range got.ByOrigin {
			if d := math.Abs(got.ByOrigin[origin] - want.ByOrigin[origin]); d > 1e-6*want.ByOrigin[origin] {
				t.Errorf("%v, flat %d: %v, cell by cell %v", nucleation.Origin(origin), g.Flat, got.ByOrigin[origin],
					want.ByOrigin[origin])
			}
		}
		if got.ByOrigin[nucleation.Melt] == 0 || got.ByOrigin[nucleation.Side] == 0 {
			t.Errorf("flat %d: %+v", g.Flat, got)
		}
		on.Gradient.VerticalKPerMM = 0.5 // colder below, where the liquid stays longest
		if steeper := newOdds(on, field, true); g.Flat != body.FromAbove &&
			!(steeper.ExpectedStrays > 1.05*got.ExpectedStrays) {
			t.Errorf("flat %d: a gradient of 0.5 K/mm changes Λ from %v to %v", g.Flat, got.ExpectedStrays,
				steeper.ExpectedStrays)
		}
	}
}

// TestOddsAgainstDice draws the nuclei of many replicates and counts those of which none meets
// liquid: binomial, three standard deviations of 0.0106 at 2000 draws. Canary: the odds of a melt
// that nucleates 1.2 times as readily.
func TestOddsAgainstDice(t *testing.T) {
	const draws = 2000
	g := disc(t, 10, 4, 0.5, body.Solid)
	on, _ := scene(g, 0)
	on.Gradient = furnace.Gradient{VerticalKPerMM: 0.2, RadialKPerMM: 0.1}
	on.Programme = furnace.Programme{Knots: []furnace.Knot{{TimeH: 0, UndercoolingK: -9}, {TimeH: 1, UndercoolingK: -9},
		{TimeH: 1.1, UndercoolingK: 8}, {TimeH: 25, UndercoolingK: 24}}}
	barrier := rate.Barrier{PrefactorPerUnitH: 60, BarrierK3: 4e6, PeritecticK: 1283}
	on.Nuclei = nucleation.Model{Melt: barrier, Side: steady(t, 1e-4),
		Top: rate.Sites{DensityPerUnit: 0.01, MeanUndercoolingK: 15, SpreadK: 4}}
	field := boxed(g, 1, 0.3, 0.25, 4)
	odds := nucleation.NewOdds(on.Nuclei, g, on.Cooling)
	none := 0
	for n := range draws {
		events := odds.Events(draw.NewKey("odds against dice", fmt.Sprint(n)))
		clean := true
		for e, ok := events.Next(); ok && clean; e, ok = events.Next() {
			_, _, until := field.rule(g.Centre(e.Cell[0], e.Cell[1], e.Cell[2]))
			clean = e.TimeH >= until
		}
		if clean {
			none++
		}
	}
	p := newOdds(on, field, true)
	ok := func(p float64) bool {
		return math.Abs(float64(none)/draws-p) < 3*math.Sqrt(p*(1-p)/draws)
	}
	if !ok(p.Probability) || !between(p.Probability, 0.2, 0.8) {
		t.Errorf("%d of %d without strays, odds %+v", none, draws, p)
	}
	if ok(p.Probability * math.Exp(-0.2*p.ExpectedStrays)) {
		t.Error("canary: odds 1.2 times as bad passed")
	}
	t.Logf("%d of %d without strays, odds %v", none, draws, p)
}

// TestOddsOfOutcome: the door for others, with a run of the engine.
func TestOddsOfOutcome(t *testing.T) {
	on, _ := scene(disc(t, 6, 3, 0.5, body.Solid), 0)
	on.Nuclei.Melt = steady(t, 1e-3)
	o := sim.Seeded(on, draw.NewKey("odds"))
	got := Look(o, 5).Odds()
	if p := math.Exp(-got.ExpectedStrays); !(got.ExpectedStrays > 0) || math.Abs(got.Probability-p) > 1e-14 {
		t.Errorf("%+v", got)
	}
	grains := append(o.Grains[:1:1], sim.Grain{Seed: -1})
	if got := look(on, grains, o.Field, 5).Odds(); !math.IsNaN(got.Probability) || !math.IsNaN(got.ExpectedStrays) {
		t.Errorf("with a stray: %+v", got)
	}
	on.Programme = held(10, 2) // ends before the body is full
	if got := Look(sim.Seeded(on, draw.NewKey("odds")), 5).Odds(); got.Probability != 0 || !(got.ExpectedStrays > 0) {
		t.Errorf("unfinished: %+v", got)
	}
}
