package measure

import (
	"math"
	"math/rand/v2"
	"testing"

	"onegrain/sim"
	"onegrain/sim/body"
	"onegrain/sim/crystal"
	"onegrain/sim/growth"
)

// areas are the boundary areas between a background grain 0 and what the rule gives, by pair.
func areas(g *body.Grid, rule func(x, y, z float64) int) map[[2]int]float64 {
	c, grains := scene(g, 0)
	for range 3 {
		grains = append(grains, sim.Grain{Seed: -1, Orientation: crystal.Turned(0, 10, 0)})
	}
	out := map[[2]int]float64{}
	for _, b := range look(c, grains, made{g, owner(rule)}, 5).Boundaries() {
		out[[2]int{b.Grain1, b.Grain2}] = b.AreaMM2
	}
	return out
}

// TestTiltedPlane: a plane through a body at any tilt, against the area a·c/|n_y| of a plane n
// through a block it leaves by the four upright sides. Tolerance ±4 %, as surface states: what is
// left of the ragged rims of patches. Canary: the count of faces, which a tilt makes |n_x| + |n_y|
// + |n_z| times the area.
func TestTiltedPlane(t *testing.T) {
	g := block(t, 20, 40, 20, 0.5, body.Solid)
	rng := rand.New(rand.NewPCG(1, 2))
	worst, canary := 0.0, 0.0
	for range 24 {
		n := [3]float64{rng.Float64() - 0.5, 1.2, rng.Float64() - 0.5}
		long := math.Sqrt(n[0]*n[0] + n[1]*n[1] + n[2]*n[2])
		off := rng.Float64()
		got := areas(g, func(x, y, z float64) int {
			if n[0]*x+n[1]*y+n[2]*(z-10) > off {
				return 1
			}
			return 0
		})[[2]int{0, 1}]
		want := 400 * long / n[1]
		worst = math.Max(worst, math.Abs(got/want-1))
		canary = math.Max(canary, (math.Abs(n[0])+n[1]+math.Abs(n[2]))/long-1)
	}
	if worst > 0.04 || canary < 0.04 {
		t.Errorf("worst error %.4f; counting faces %.4f", worst, canary)
	}
	t.Logf("worst error %.4f; counting faces %.4f", worst, canary)
}

// TestSphere: patches lose by their bend, about (8/r)²/24 at a radius of r cells, and gain by their
// ragged rims. The canary is again the count of faces, 3/2 of the area of a sphere.
func TestSphere(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for _, r := range []float64{6, 10, 20} {
		g := block(t, 50, 50, 50, 1, body.Solid)
		at := [3]float64{rng.Float64(), rng.Float64(), 25 + rng.Float64()}
		got := areas(g, func(x, y, z float64) int {
			x, y, z = x-at[0], y-at[1], z-at[2]
			if x*x+y*y+z*z < r*r {
				return 1
			}
			return 0
		})[[2]int{0, 1}]
		ok := func(a float64) bool { return math.Abs(a/(4*math.Pi*r*r)-1) < 0.05 }
		if !ok(got) || ok(1.5*got) {
			t.Errorf("radius %v cells: %.4f of the area", r, got/(4*math.Pi*r*r))
		}
		t.Logf("radius %v cells: %.4f", r, got/(4*math.Pi*r*r))
	}
}

// TestBox: a box in the melt loses at its edges, where an edge is still in a patch of two cells: up
// to 5 % at 12 cells. Canary: a tenth less.
func TestBox(t *testing.T) {
	g := block(t, 60, 60, 60, 1, body.Solid)
	for _, turn := range []float64{0, 0.4} {
		for _, l := range []float64{12, 24, 40} {
			sin, cos := math.Sincos(turn)
			got := areas(g, func(x, y, z float64) int {
				x, y, z = x-0.3, y+0.2, z-30.4
				if max(math.Abs(x*cos-y*sin), math.Abs(y*cos+x*sin), math.Abs(z)) < l/2 {
					return 1
				}
				return 0
			})[[2]int{0, 1}]
			ok := func(a float64) bool { return math.Abs(a/(6*l*l)-1) < 0.05 }
			if !ok(got) || ok(0.9*got) {
				t.Errorf("box %v turned %v: %.4f of the area", l, turn, got/(6*l*l))
			}
			t.Logf("box %v turned %v: %.4f of the area, %.2f cells² per cell of edge", l, turn, got/(6*l*l), (6*l*l-got)/(12*l))
		}
	}
}

// TestLengths: in a plane the area is a length × 1 mm: half the rim of a disc of radius 8 and a
// straight line through it.
func TestLengths(t *testing.T) {
	g := block(t, 30, 30, 1, 0.1, body.FromAbove)
	got := areas(g, func(x, y, _ float64) int {
		switch {
		case math.Hypot(x, y) > 8:
			return 0
		case x+0.4*y > 0:
			return 1
		}
		return 2
	})
	for pair, want := range map[[2]int]float64{{0, 1}: 8 * math.Pi, {0, 2}: 8 * math.Pi, {1, 2}: 16} {
		if math.Abs(got[pair]/want-1) > 0.03 {
			t.Errorf("%v: length %v, want %v", pair, got[pair], want)
		}
	}
	if len(got) != 3 {
		t.Errorf("pairs: %v", got)
	}
}

// TestPeriodicContacts: in a periodic body a slab touches its neighbour on both sides.
func TestPeriodicContacts(t *testing.T) {
	for axis := range 3 {
		for _, periodic := range []bool{false, true} {
			g := block(t, 8, 8, 8, 1, body.Solid)
			g.Periodic = periodic
			got := areas(g, func(x, y, z float64) int {
				if [3]float64{x, y, z - 4}[axis] > 0 {
					return 1
				}
				return 0
			})[[2]int{0, 1}]
			if want := map[bool]float64{false: 64, true: 128}[periodic]; got != want {
				t.Errorf("axis %d, periodic %v: area %v, want %v", axis, periodic, got, want)
			}
		}
	}
}

// TestBoundaryRows: order, angles, and nothing between grains and liquid. What is low is what joins
// a domain: 14° at 14.1°, and the canary: not at 13.9°.
func TestBoundaryRows(t *testing.T) {
	g := block(t, 4, 4, 4, 1, body.Solid)
	c, grains := scene(g, 0, 14, 80)
	grains[2].Orientation = crystal.Turned(0, 30, 40)
	for joinDeg, low := range map[float64]bool{13.9: false, 14.1: true} {
		b := look(c, grains, made{g, owner(func(x, y, _ float64) int {
			switch {
			case y > 0:
				return growth.Liquid
			case x > 0:
				return 2
			case x > -1:
				return 0
			}
			return 1
		})}, joinDeg).Boundaries()
		if len(b) != 2 || b[0].Grain1 != 0 || b[0].Grain2 != 1 || b[1].Grain2 != 2 || b[0].AreaMM2 != 8 || b[1].AreaMM2 != 8 {
			t.Fatalf("%+v", b)
		}
		if math.Abs(b[0].DisorientationDeg-14) > 1e-9 || b[0].LowAngle != low || b[0].CAxisAngleDeg != 0 ||
			math.Abs(b[1].CAxisAngleDeg-30) > 1e-9 || b[1].LowAngle {
			t.Errorf("joined within %g°: %+v", joinDeg, b)
		}
	}
}
