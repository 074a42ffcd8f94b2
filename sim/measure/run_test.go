package measure

import (
	"math"
	"testing"

	"onegrain/sim"
	"onegrain/sim/body"
	"onegrain/sim/crystal"
	"onegrain/sim/draw"
	"onegrain/sim/furnace"
	"onegrain/sim/growth"
	"onegrain/sim/kinetics"
	"onegrain/sim/nucleation"
)

// TestDomains: a row of grains in touch, 0° 4° 8° 30° and one of 2° beyond that: the first three
// are one domain through the middle one, the last is within 5° of the first but does not touch it.
func TestDomains(t *testing.T) {
	g := block(t, 10, 4, 4, 1, body.Solid)
	row := owner(func(x, _, _ float64) int { return int(x+5) / 2 })
	for _, c := range []struct {
		join float64
		want []int
	}{{5, []int{0, 0, 0, 1, 2}}, {3.9, []int{0, 1, 2, 3, 4}}, {45, []int{0, 0, 0, 0, 0}}} {
		on, grains := scene(g, 0, 4, 8, 30, 2)
		s := look(on, grains, made{g, row}, c.join)
		for i, d := range s.Grains() {
			if d.Domain != c.want[i] || d.VolumeMM3 != 32 {
				t.Errorf("join %v: grain %d has domain %d and volume %v", c.join, i, d.Domain, d.VolumeMM3)
			}
		}
		if single := s.Run().SingleGrain; single != (c.join == 45) {
			t.Errorf("join %v: single grain %v", c.join, single)
		}
	}
	// Strays join nothing, whatever their orientation.
	on, grains := scene(g, 0)
	grains = append(grains, sim.Grain{Seed: -1, Orientation: crystal.Turned(0, 0, 0)})
	s := look(on, grains, made{g, owner(func(x, _, _ float64) int {
		if x > 4 {
			return 1
		}
		return 0
	})}, 5)
	if d := s.Grains()[1]; d.Domain != -1 || s.Run().SingleGrain {
		t.Errorf("stray: %+v", d)
	}
}

func TestGrainRows(t *testing.T) {
	g := block(t, 4, 4, 2, 1, body.Solid)
	on, grains := scene(g, 10)
	grains = append(grains, sim.Grain{Origin: nucleation.Side, Seed: -1, BornH: 9, Orientation: crystal.Turned(35, 0, 0)})
	list := look(on, grains, made{g, func(x, y, z float64) (int, uint8, float64) {
		if z < 1 {
			return 1, uint8(int(y + 2)), 10
		}
		return 0, uint8(6), 2
	}}, 5).Grains()
	if list[0].SectorMM3 != [6]float64{} || list[1].SectorMM3 != [6]float64{4, 4, 4, 4} || list[0].VolumeMM3 != 16 ||
		list[1].Origin != nucleation.Side {
		t.Errorf("%+v", list)
	}
	if list[0].DisorientationDeg != 0 || math.Abs(list[1].DisorientationDeg-25) > 1e-9 {
		t.Errorf("disorientations %v and %v", list[0].DisorientationDeg, list[1].DisorientationDeg)
	}
	on, grains = scene(g)
	grains = append(grains, sim.Grain{Seed: -1})
	if d := look(on, grains, made{g, owner(func(_, _, _ float64) int { return 0 })},
		5).Grains()[0].DisorientationDeg; !math.IsNaN(d) {
		t.Errorf("without a seed: %v", d)
	}
}

// TestRunRows: a body of 64 cells with a seeded grain, liquid and two strays, one of which never
// got a cell.
func TestRunRows(t *testing.T) {
	g := block(t, 4, 4, 4, 1, body.Solid)
	on, grains := scene(g, 0)
	grains = append(grains,
		sim.Grain{Seed: -1, BornH: 2.5, BornUndercoolingK: 7},
		sim.Grain{Seed: -1, BornH: 3, BornUndercoolingK: 10})
	liquid := false
	rule := func(x, y, z float64) (int, uint8, float64) {
		switch {
		case z < 1 && y > 0:
			return 2, 4, 12
		case liquid && z < 1:
			return growth.Liquid, 0, 0
		case x > 1:
			return 0, 6, 1
		case x > 0:
			return 0, 5, 7.5
		}
		return 0, 3, 8
	}
	r := look(on, grains, made{g, rule}, 5).Run()
	if r.SingleGrain || r.StrayGrains != 1 || r.StrayVolumeFraction != 8.0/64 || r.SolidFraction != 1 ||
		r.TimeToFullH != 12 {
		t.Errorf("%+v", r)
	}
	// 2 h after the start of growth at 0.5 mm/h: 2(1 + 1), within a body 4 wide.
	if r.FirstStrayH != 3 || r.FirstStrayUndercoolingK != 10 || math.Abs(r.GrainWidthAtFirstStrayMM-4) > 1e-12 {
		t.Errorf("%+v", r)
	}
	if r.SectorAFraction != 28.0/56 || r.SectorCFraction != 14.0/56 {
		t.Errorf("sectors %v and %v", r.SectorAFraction, r.SectorCFraction)
	}
	liquid = true
	if r = look(on, grains, made{g, rule}, 5).Run(); r.SolidFraction != 56.0/64 || !math.IsNaN(r.TimeToFullH) ||
		r.ClearVolumeMM3 != 0 || r.ClearDiameterMM != 0 {
		t.Errorf("%+v", r)
	}
	grains = grains[:1]
	if r = look(on, grains, made{g, func(_, _, _ float64) (int, uint8, float64) { return 0, 4, 5 }},
		5).Run(); !r.SingleGrain || r.StrayGrains != 0 || !math.IsNaN(r.FirstStrayH) ||
		!math.IsNaN(r.GrainWidthAtFirstStrayMM) || r.ClearVolumeMM3 != 64 {
		t.Errorf("%+v", r)
	}
	on, grains = scene(g)
	if r = look(on, grains, made{g, owner(func(_, _, _ float64) int { return growth.Liquid })},
		5).Run(); r.SingleGrain || r.SolidFraction != 0 || r.ClearDiameterMM != 0 || !math.IsNaN(r.SectorAFraction) {
		t.Errorf("no seed: %+v", r)
	}
}

// TestWidthCapped: the free width stops at the body's width along the seed's a axis.
func TestWidthCapped(t *testing.T) {
	for _, c := range []struct {
		g          *body.Grid
		turn, want float64
	}{
		{block(t, 4, 2, 2, 0.5, body.Solid), 0, 4}, {block(t, 4, 2, 2, 0.5, body.Solid), 90, 2},
		{block(t, 4, 4, 2, 0.5, body.Solid), 45, 4 * math.Sqrt2}, {disc(t, 5.1, 2, 0.5, body.Solid), 20, 5.1},
		{block(t, 4, 0, 2, 0.5, body.VerticalSection), 0, 4},
	} {
		on, grains := scene(c.g, c.turn)
		grains = append(grains, sim.Grain{Seed: -1, BornH: 40})
		r := look(on, grains, made{c.g, owner(func(x, _, _ float64) int {
			if x > 0 {
				return 1
			}
			return 0
		})}, 5).Run()
		if math.Abs(r.GrainWidthAtFirstStrayMM-c.want) > 1e-9 {
			t.Errorf("turn %v: width %v, want %v", c.turn, r.GrainWidthAtFirstStrayMM, c.want)
		}
	}
}

// TestHistory: the free lengths against L = α/(c(n+1))·[(d0+ct)^(n+1) − d0^(n+1)] (elementary):
// from 5 K at 0.3 K/h for 30 h, then a hold of 10 h, α_a = 2.8e-6 mm/s, n = 1.9: 23.18517 and
// 38.3593 mm; α_c = 1e-6, n = 1.3: 2.045695 and 3.158115 mm. Solid by counting: (w/W)² for a square
// grain of half width w in a square body, good to the cells on its rim, 2h/w. Canary: n = 1.8.
func TestHistory(t *testing.T) {
	g := block(t, 120, 120, 0, 0.5, body.FromAbove)
	on, grains := scene(g, 0)
	on.GrowthC = kinetics.Power{RateAt10K: 3.6e-3 * math.Pow(10, 1.3), Exponent: 1.3}
	on.Programme = furnace.Programme{Knots: []furnace.Knot{{TimeH: 0, UndercoolingK: -1}, {TimeH: 1, UndercoolingK: -1},
		{TimeH: 1, UndercoolingK: 5}, {TimeH: 31, UndercoolingK: 14}, {TimeH: 41, UndercoolingK: 14}}}
	grains = append(grains, sim.Grain{Seed: -1, BornH: 20})
	history := func(n float64) []Moment {
		on.GrowthA = kinetics.Power{RateAt10K: 1.008e-2 * math.Pow(10, n), Exponent: n}
		f := newFree(on, on.Programme.GrowthStartH())
		hours := make([]float64, 61*4) // when each quarter of a millimetre is reached
		for i, t := 0, 1.0; i < len(hours); i++ {
			for t < 41 && f.halfA(t) < float64(i)/4 {
				t += 0.01
			}
			hours[i] = t
		}
		return look(on, grains, made{g, func(x, y, _ float64) (int, uint8, float64) {
			w := math.Max(math.Abs(x), math.Abs(y))
			if w > f.halfA(41) {
				return growth.Liquid, 0, 0
			}
			return 0, 0, hours[int(math.Ceil(w*4))]
		}}, 5).History()
	}
	at := func(list []Moment, hour float64) Moment { return momentAt(t, list, hour) }
	ok := func(list []Moment) bool {
		near := func(got, want float64) bool { return math.Abs(got/want-1) < 1e-6 }
		a, b := at(list, 31), at(list, 41)
		return near(a.HalfWidthAMM, 24.18517) && near(b.HalfWidthAMM, 39.3593) && near(a.HalfWidthCMM, 2.045695) &&
			near(b.HalfWidthCMM, 3.158115)
	}
	list := history(1.9)
	if !ok(list) {
		t.Errorf("lengths: %+v and %+v", at(list, 31), at(list, 41))
	}
	if ok(history(1.8)) {
		t.Error("canary: exponent 1.8 passed")
	}
	for i, m := range list {
		if i > 0 && (m.TimeH <= list[i-1].TimeH || m.SolidFraction < list[i-1].SolidFraction) {
			t.Fatalf("row %d: %+v after %+v", i, m, list[i-1])
		}
		w := m.HalfWidthAMM
		if f := math.Pow(w/60, 2); m.TimeH > 1 && math.Abs(m.SolidFraction/f-1) > 2*0.5/w {
			t.Errorf("%v h: solid %v, want %v", m.TimeH, m.SolidFraction, f)
		}
		if (m.Nuclei == 1) != (m.TimeH >= 20) {
			t.Errorf("%v h: %d nuclei", m.TimeH, m.Nuclei)
		}
	}
	if n := len(list); n < 200 || n > 210 || list[0].SolidFraction != 0 || list[0].UndercoolingK != -1 ||
		list[0].Nuclei != 0 {
		t.Errorf("%d rows, the first %+v", n, list[0])
	}
}

// momentAt is the row of an hour.
func momentAt(t *testing.T, list []Moment, hour float64) Moment {
	t.Helper()
	for _, m := range list {
		if m.TimeH == hour {
			return m
		}
	}
	t.Fatalf("no row at %v h", hour)
	return Moment{}
}

// TestEngine: the measures of a run of the engine agree among themselves.
func TestEngine(t *testing.T) {
	on, _ := scene(disc(t, 8, 4, 0.4, body.Solid), 12)
	on.Nuclei.Melt = steady(t, 2e-3)
	key := draw.NewKey("engine", "3")
	o := sim.Seeded(on, key).Strays(key)
	s := Look(o, 5)
	r := s.Run()
	whole := float64(on.Grid.Cells()) * on.Grid.CellVolume()
	sum, seed, seeded := 0.0, 0.0, 0.0
	for _, g := range s.Grains() {
		sum += g.VolumeMM3
		if g.Seed >= 0 {
			seeded += g.VolumeMM3
			seed += g.VolumeMM3
			for _, v := range g.SectorMM3 {
				seed -= v
			}
		}
	}
	if math.Abs(sum/whole-r.SolidFraction) > 1e-12 || r.SolidFraction != 1 ||
		math.Abs(r.SectorAFraction+r.SectorCFraction+seed/seeded-1) > 1e-12 {
		t.Errorf("volumes %v of %v, seed %v: %+v", sum, whole, seed, r)
	}
	if r.StrayGrains == 0 || math.Abs(r.StrayVolumeFraction-(1-seeded/whole)) > 1e-12 || r.ClearVolumeMM3 > seeded ||
		r.ClearDiameterMM > 8 {
		t.Errorf("strays: %+v", r)
	}
	h := s.History()
	if last := h[len(h)-1]; last.SolidFraction != 1 || last.Nuclei != len(o.Grains)-1 {
		t.Errorf("end: %+v", last)
	}
}
