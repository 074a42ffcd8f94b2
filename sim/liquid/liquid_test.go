package liquid_test

import (
	"math"
	"testing"

	"onegrain/sim"
	"onegrain/sim/body"
	"onegrain/sim/draw"
	"onegrain/sim/furnace"
	"onegrain/sim/kinetics"
	"onegrain/sim/liquid"
	"onegrain/sim/measure"
	"onegrain/sim/nucleation"
	"onegrain/sim/nucleation/rate"
)

// along is a programme that is molten for an hour and then goes through hours and undercoolings in
// turn.
func along(pairs ...float64) furnace.Programme {
	p := furnace.Programme{Knots: []furnace.Knot{{TimeH: 0, UndercoolingK: -20}, {TimeH: 1, UndercoolingK: -20}}}
	for i := 0; i < len(pairs); i += 2 {
		p.Knots = append(p.Knots, furnace.Knot{TimeH: 1 + pairs[i], UndercoolingK: pairs[i+1]})
	}
	return p
}

func melt() liquid.Laws {
	return liquid.Laws{GrowthA: kinetics.Power{RateAt10K: 0.134, Exponent: 1.9},
		GrowthC: kinetics.Power{RateAt10K: 0.201, Exponent: 1.3},
		Nuclei:  nucleation.Model{Melt: rate.Barrier{PrefactorPerUnitH: 1.1e4, BarrierK3: 1.12e7, PeritecticK: 1283.15}}}
}

func grid(t *testing.T) func(g *body.Grid, err error) *body.Grid {
	return func(g *body.Grid, err error) *body.Grid {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return g
	}
}

// table is that of a body with seeds, and the case they are of.
func table(t *testing.T, g *body.Grid, seeds ...sim.Seed) (*liquid.Table, *sim.Case) {
	t.Helper()
	l := melt()
	c := &sim.Case{Grid: g, GrowthA: l.GrowthA, GrowthC: l.GrowthC, Seeds: seeds}
	c.Programme = along(1, 20)
	of, err := liquid.New(c, c.Placed(draw.NewKey("table")))
	if err != nil {
		t.Fatal(err)
	}
	return of, c
}

// run is the same body grown by the engine.
func run(c *sim.Case, p furnace.Programme, l liquid.Laws) (measure.Odds, float64) {
	on := *c
	on.Programme, on.GrowthA, on.GrowthC, on.Nuclei = p, l.GrowthA, l.GrowthC, l.Nuclei
	s := measure.Look(sim.Prepare(&on).Seeded(draw.NewKey("table")), 90)
	full := s.FullH()
	if math.IsNaN(full) {
		full = math.Inf(1)
	}
	return s.Odds(), full
}

func seedAt(x, y, size, turn, tilt float64) sim.Seed {
	return sim.Seed{AtMM: [2]float64{x, y}, SizeMM: [2]float64{size, size}, TurnDeg: turn, TiltDeg: tilt,
		TiltTowardDeg: 30}
}

// TestTableIsTheEngine: expected strays by origin and the hour of the last place against runs of
// the engine, which knows nothing of tables. Where points are those of the cells only the step
// along the programme is left; elsewhere a cell lies between points of a quarter of its width.
// Canary: a seed half a mm wider.
func TestTableIsTheEngine(t *testing.T) {
	of := grid(t)
	disc := of(body.Disc(12, 4, 0.25, body.Solid))
	for _, s := range []struct {
		name    string
		grid    *body.Grid
		seeds   []sim.Seed
		exact   bool
		within  float64 // of Λ
		hoursBy float64 // cells of growth
	}{
		{"disc", disc, []sim.Seed{seedAt(0, 0, 2, 0, 0)}, true, 2e-5, 0.01},
		{"disc, turned", disc, []sim.Seed{seedAt(0, 0, 2, 17, 0)}, true, 1e-2, 0.1},
		{"disc, tilted", disc, []sim.Seed{seedAt(0, 0, 2, 17, 5)}, true, 1e-2, 0.1},
		{"two alike", disc, []sim.Seed{seedAt(-3, 0, 2, 0, 0), seedAt(2.5, 1, 1, 0, 0)}, true, 2e-5, 0.5},
		{"two turned", disc, []sim.Seed{seedAt(-3, 0, 2, 0, 0), seedAt(2.5, 1, 2, 30, 0)}, false, 1e-2, 0.5},
		{"two tilted", disc, []sim.Seed{seedAt(-3, 0, 2, 0, 3), seedAt(2.5, 1, 2, 30, 0)}, false, 1e-2, 0.5},
		{"block", of(body.Block([3]float64{14, 6, 3}, 0.25, body.Solid, false)),
			[]sim.Seed{seedAt(-4, 0, 2, 0, 0), seedAt(4, 0, 2, 0, 0)}, true, 2e-5, 0.1},
		{"from above", of(body.Disc(16, 0, 0.1, body.FromAbove)), []sim.Seed{seedAt(1, 0, 2, 10, 0)}, true, 1e-2, 0.1},
		{"section", of(body.Disc(16, 6, 0.1, body.VerticalSection)), []sim.Seed{seedAt(1, 0, 2, 0, 0)}, true, 2e-5, 0.01},
		{"section, tilted", of(body.Disc(16, 6, 0.1, body.VerticalSection)), []sim.Seed{seedAt(1, 0, 2, 0, 8)}, true, 1e-2,
			0.1},
	} {
		on, c := table(t, s.grid, s.seeds...)
		if on.Exact() != s.exact {
			t.Errorf("%s: exact %v", s.name, on.Exact())
		}
		wide := append([]sim.Seed(nil), s.seeds...)
		wide[0].SizeMM[0] += 0.5
		wide[0].SizeMM[1] += 0.5
		wrong, _ := table(t, s.grid, wide...)
		steep := rate.Sites{DensityPerUnit: 3e-3, MeanUndercoolingK: 18, SpreadK: 2}
		l := melt()
		l.Nuclei.Top, l.Nuclei.Side = rate.Sites{DensityPerUnit: 0.02, MeanUndercoolingK: 20, SpreadK: 3}, steep
		l.Nuclei.Bottom = l.Nuclei.Melt
		canary := 0.0
		for i, p := range []furnace.Programme{along(0.3, 16, 60, 30), along(1, 20, 80, 20), along(1, 4, 70, 28),
			along(0, 19, 4, 22), along(1, 18, 9, 18, 9, 21, 80, 21)} {
			within := s.within
			if jumps := i == 4; !jumps {
				within = math.Min(within, 2.5e-3)
			}
			want, full := run(c, p, l)
			got := on.Course(p, l, liquid.Fine)
			for o := range want.ByOrigin {
				if x := want.ByOrigin[o]; math.Abs(got.Strays[o]-x) > within*x+1e-12 {
					t.Errorf("%s, %v: %v %.8g strays, the engine %.8g", s.name, p.Knots[2:], nucleation.Origin(o), got.Strays[o], x)
				}
			}
			perH := math.Min(l.GrowthA.Rate(16), l.GrowthC.Rate(16)) // slower than where the last place is
			if off := math.Abs(got.FullH-full) * perH / s.grid.CellMM; off > s.hoursBy ||
				math.IsInf(full, 1) != math.IsInf(got.FullH, 1) {
				t.Errorf("%s, %v: full after %v h, the engine %v h", s.name, p.Knots[2:], got.FullH, full)
			}
			x := wrong.Course(p, l, liquid.Fine)
			canary = math.Max(canary, math.Abs(x.Lambda()/want.ExpectedStrays-1))
		}
		if canary < 3*s.within {
			t.Errorf("%s: canary: a seed half a mm wider is off by %v", s.name, canary)
		}
	}
}

// TestAnyLaws: laws and programmes at random, quickly walked: the chance within 1e-3, Λ within 1 %
// where it is above 1e-4.
func TestAnyLaws(t *testing.T) {
	on, c := table(t, grid(t)(body.Disc(12, 4, 0.25, body.Solid)), seedAt(0, 0, 2, 0, 0))
	dice := draw.NewKey("any laws").Stream("laws")
	chance, lambda := 0.0, 0.0
	for range 60 {
		mid := 14 + 10*dice.Uniform()
		barrier := (10 + 30*dice.Uniform()) * 1270 * 20 * 20
		l := liquid.Laws{GrowthA: kinetics.Power{RateAt10K: 0.05 + 0.3*dice.Uniform(), Exponent: 1 + dice.Uniform()},
			GrowthC: kinetics.Power{RateAt10K: 0.05 + 0.3*dice.Uniform(), Exponent: 0.8 + dice.Uniform()}}
		l.Nuclei.Melt = rate.Barrier{PrefactorPerUnitH: math.Exp(barrier/(1270*mid*mid)) / 450 / 24, BarrierK3: barrier,
			PeritecticK: 1283}
		if dice.Uniform() < 0.5 {
			l.Nuclei.Melt = rate.Sites{DensityPerUnit: 0.5, MeanUndercoolingK: mid + 4, SpreadK: 1 + dice.Uniform()}
		}
		start := 4 + 12*dice.Uniform()
		p := along(0.5, start, 20, start+8*dice.Uniform(), 90, start+14*dice.Uniform())
		for i := 1; i < len(p.Knots); i++ { // no melting
			p.Knots[i].UndercoolingK = math.Max(p.Knots[i].UndercoolingK, p.Knots[i-1].UndercoolingK)
		}
		want, _ := run(c, p, l)
		got := on.Course(p, l, liquid.Quick)
		chance = math.Max(chance, math.Abs(math.Exp(-got.Lambda())-math.Exp(-want.ExpectedStrays)))
		if want.ExpectedStrays > 1e-4 {
			lambda = math.Max(lambda, math.Abs(got.Lambda()/want.ExpectedStrays-1))
		}
	}
	if t.Logf("off by at most %.2g of the chance, %.2g of Λ", chance, lambda); chance > 1e-3 || lambda > 1e-2 {
		t.Error("too far off")
	}
}

// TestLeft: a prism of half width 6 and height 3 with a seed of half width 1 has 4·(36·3 −
// (1+a)²·c) mm³ liquid, and 4·(36 − (1+a)²) mm² of its top where c faces have begun: geometry.
// Cells of a quarter of a mm lie within half a cell of that.
func TestLeft(t *testing.T) {
	on, _ := table(t, grid(t)(body.Block([3]float64{12, 12, 3}, 0.25, body.Solid, false)), seedAt(0, 0, 2, 0, 0))
	for _, at := range []liquid.Lengths{{A: 0, C: 0}, {A: 1, C: 0.5}, {A: 2.5, C: 2}, {A: 4, C: 2.9}, {A: 5, C: 3},
		{A: 9, C: 1}} {
		a := math.Min(6, 1+at.A)
		want := 4 * (36*3 - a*a*math.Min(3, at.C))
		if got := on.Left(nucleation.Melt, at); math.Abs(got-want) > 1 {
			t.Errorf("%v: %v mm³ liquid, want %v", at, got, want)
		}
		if got, want := on.Left(nucleation.Top, at), 4*(36-a*a); at.C > 0.2 && math.Abs(got-want) > 1e-9 {
			t.Errorf("%v: %v mm² of the top, want %v", at, got, want)
		}
		if full := at.A >= 5 && at.C >= 3; on.Full(at) != full {
			t.Errorf("%v: full %v", at, on.Full(at))
		}
	}
	if on.Whole(nucleation.Melt) != 432 || on.Whole(nucleation.Bottom) != 144 {
		t.Errorf("whole %v mm³, %v mm²", on.Whole(nucleation.Melt), on.Whole(nucleation.Bottom))
	}
}

// TestLast: of the same two seeds a grid of 0.01 mm over the disc, apart from this code, finds that
// the last place, on the rim between both, needs 5.42 mm. The engine is there a third of a cell
// late.
func TestLast(t *testing.T) {
	on, _ := table(t, grid(t)(body.Disc(12, 4, 0.25, body.Solid)), seedAt(-3, 0, 2, 0, 0), seedAt(2.5, 1, 1, 0, 0))
	if last := on.Last(); len(last) != 1 || math.Abs(last[0].A-5.42) > 0.01 || last[0].C != 4 {
		t.Errorf("last %v", last)
	}
}

// TestNoTable: what a table cannot know is refused; a hole makes it a guess.
func TestNoTable(t *testing.T) {
	g := grid(t)(body.Block([3]float64{4, 4, 2}, 0.5, body.Solid, false))
	c := &sim.Case{Grid: g, Seeds: []sim.Seed{seedAt(0, 0, 1, 0, 0)}}
	if _, err := liquid.New(c, nil); err == nil {
		t.Error("a body without seeds has a table")
	}
	c.Gradient.RadialKPerMM = 0.1
	if _, err := liquid.New(c, []sim.Grain{{}}); err == nil {
		t.Error("a gradient has a table")
	}
	ring := grid(t)(body.Ring(10, 5, 2, 0.5, body.Solid))
	if on, _ := table(t, ring, seedAt(3.5, 0, 1, 0, 0)); on.Exact() {
		t.Error("a ring with one seed is taken as exact")
	}
}

// BenchmarkTable is what a table of a puck costs, BenchmarkCourse one law and programme on it,
// BenchmarkRun the run of the engine that it stands for.
func BenchmarkTable(b *testing.B) {
	_, c := puck(b)
	seeds := c.Placed(draw.NewKey("table"))
	for b.Loop() {
		if _, err := liquid.New(c, seeds); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCourse(b *testing.B) {
	on, _ := puck(b)
	for b.Loop() {
		on.Course(along(0.3, 16, 60, 30), melt(), liquid.Quick)
	}
}

func BenchmarkRun(b *testing.B) {
	_, c := puck(b)
	for b.Loop() {
		run(c, along(0.3, 16, 60, 30), melt())
	}
}

func puck(b *testing.B) (*liquid.Table, *sim.Case) {
	g, err := body.Disc(24, 8, 0.2, body.Solid)
	if err != nil {
		b.Fatal(err)
	}
	l := melt()
	c := &sim.Case{Grid: g, GrowthA: l.GrowthA, GrowthC: l.GrowthC, Seeds: []sim.Seed{seedAt(0, 0, 2, 0, 0)}}
	c.Programme = along(1, 20)
	on, err := liquid.New(c, c.Placed(draw.NewKey("table")))
	if err != nil {
		b.Fatal(err)
	}
	return on, c
}
