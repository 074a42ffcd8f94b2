package sim_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"onegrain/sim/body"
	"onegrain/sim/crystal"
	"onegrain/sim/furnace"
	"onegrain/sim/kinetics"

	amount "onegrain/studies/disk/trial"
)

// held is ΔT that stays at a value, for so many hours.
func held(undercoolingK, hours float64) furnace.Programme {
	return furnace.Programme{Knots: []furnace.Knot{{TimeH: 0, UndercoolingK: -1},
		{TimeH: 1e-9, UndercoolingK: undercoolingK}, {TimeH: hours, UndercoolingK: undercoolingK}}}
}

// TestOpinionClosedForms: the second opinion where the answer is known. A free grain is its box: at
// all points, though ways over other points are tried as well. Round a corner a grain turned by 30°
// with R_c = R_a starts anew: hours are the norm |d| = max(|d·a|, |d·b|) to the corner, and from
// there. Along a gradient g with R = k ΔT the front of a seed that covers the top is plane, and
// from dz/dt = k (U + g z) the hour of depth z is ln(1 + g z/U)/(k g). Tolerance 1e-5 cell (tables
// of the rates), 1e-3 along the gradient (midpoint rule). Canary: laws 1 % off.
func TestOpinionClosedForms(t *testing.T) {
	check := func(name string, o *opinion, tolerance float64, want func(p [3]float64) (hour float64, holds bool)) {
		worst, canary, n := 0.0, 0.0, 0
		for _, p := range o.cells {
			if hour, holds := want(o.points[p]); holds {
				n++
				m := &o.marks[p]
				worst = math.Max(worst, math.Abs(m.hour-hour)*o.speed(p)/o.g.CellMM)
				canary = math.Max(canary, math.Abs(m.hour*1.01-hour)*o.speed(p)/o.g.CellMM)
			}
		}
		t.Logf("%s: off by %.2g cells at worst, of %d", name, worst, n)
		if !(worst <= tolerance) || canary <= tolerance || n < 20 {
			t.Errorf("%s: off by %v cells, at most %v; a law 1 %% off %v; %d cells", name, worst, tolerance, canary, n)
		}
	}
	d := dice{rand.New(rand.NewPCG(3, 3))}
	free := d.draw(traits{tilt: true})
	pace, seed := newPace(free.a, free.c, free.programme, nil), free.grains[0]
	check("free box", free.opine(2, 1), 1e-5, func(p [3]float64) (float64, bool) {
		v := along(&seed.axes, minus(p, seed.at))
		need := math.Max(math.Abs(v[0])-seed.half[0], math.Abs(v[1])-seed.half[1])
		return math.Max(seed.born, math.Max(pace.when(0, need), pace.when(1, math.Abs(v[2])))), true
	})

	law := kinetics.Power{RateAt10K: 0.2, Exponent: 1}
	corner := &scene{a: law, c: law, programme: held(10, 500)}
	corner.grid = picture(t, 10, 10, 0.5, func(x, y float64) bool { return y < -3 || math.Abs(x) > 0.5 })
	corner.grains = []sprout{{at: [3]float64{-2, 1, 0}, axes: crystal.Turned(30, 0, 0).Axes(), nucleus: true, born: 1}}
	norm := func(p, q [3]float64) float64 {
		v := along(&corner.grains[0].axes, minus(p, q))
		return math.Max(math.Abs(v[0]), math.Abs(v[1]))
	}
	check("round corners", corner.opine(1, 1), 1e-5, func(p [3]float64) (float64, bool) {
		first, second := [3]float64{-0.5, -3, 0}, [3]float64{0.5, -3, 0}
		way := norm(corner.grains[0].at, first) + norm(first, second) + norm(second, p)
		return 1 + way/0.2, p[0] > 0.5 && p[1] > -3 // both corners are between the grain and there
	})

	for _, g := range []float64{0.5, -0.5} {
		down := &scene{a: kinetics.Power{RateAt10K: 1e-3, Exponent: 1}, c: law, programme: held(10, 500)}
		down.gradient.VerticalKPerMM = g
		down.grid, _ = body.Block([3]float64{6, 1, 5}, 0.5, body.VerticalSection, false)
		down.grains = []sprout{{at: [3]float64{0, 0, 5}, half: [3]float64{3, 0, 0}, born: 1e-9,
			axes: crystal.Turned(0, 0, 0).Axes()}}
		check("down a gradient", down.opine(1, 1), 1e-3, func(p [3]float64) (float64, bool) {
			return math.Log(1+g*(5-p[2])/10) / (0.02 * g), true
		})
	}
}

// TestOpinionConverges: with points half a cell apart the hours of the second opinion must stay
// what they were. In a uniform field it turns only at corners and is exact; the polygon round a
// bore is long by π²/(6n²) of an arc; under a gradient ways bend, and the error falls to a quarter.
// Where two grains race for a gap of a cell, finer points may let the other one through: that
// turns up to 2.2 % of the cells of a body. So large is the share of the second opinion in the
// bounds of TestOpinion.
func TestOpinionConverges(t *testing.T) {
	tolerance := map[string]float64{"bore": 0.005, "gradient": 0.1, "gradient, tilted": 0.1, "several, gradient": 0.1}
	for i, k := range kinds {
		bodies, worst, mean, owners := 0, 0.0, 0.0, 0.0
		wanted := amount.Amount(1, 3, 6)
		if k.gradient && !k.tilt {
			wanted = amount.Amount(0, 3, 6)
		}
		for n := 0; n < 200 && bodies < wanted; n++ {
			s := dice{rand.New(rand.NewPCG(uint64(i), uint64(n)))}.draw(k.traits)
			if s.grid.Flat < 0 || s.grid.Cells() > amount.Amount(250, 400, 400) || k.gradient && s.grid.Cells() > 170 {
				continue // points number four times as many then, legs sixteen times
			}
			bodies++
			once, twice, other := s.opine(1, 1), s.opine(2, 2), 0.0
			for c, p := range once.cells {
				q := twice.cells[c]
				if m := &once.marks[p]; m.grain != twice.marks[q].grain {
					if (m.rival-m.hour)*once.speed(p)/s.grid.CellMM > near {
						other += 1 / float64(len(once.cells))
						owners = math.Max(owners, other)
					}
					continue
				}
				off := math.Abs(once.marks[p].hour-twice.marks[q].hour) * twice.speed(q) / s.grid.CellMM
				worst, mean = math.Max(worst, off), mean+off/float64(len(once.cells)*wanted)
			}
		}
		most := tolerance[k.kind]
		if k.many {
			most = 0.65 // single cells in the shadow of another grain, or behind a gap of a cell between two
		} else if most == 0 {
			most = 1e-3
		}
		t.Logf("%-18s %d bodies: mean %.5f most %.4f of a cell, %.4f of the cells another's", k.kind, bodies, mean,
			worst, owners)
		if worst > most || mean > 0.02 || owners > 0.025 {
			t.Errorf("%s: hours move by %.4f cells with finer points, at most %v, in the mean by %.4f, at most 0.02; "+
				"%.4f of the cells are another's, at most 0.025", k.kind, worst, most, mean, owners)
		}
	}
}
