package measure

import (
	"math"
	"math/rand/v2"
	"testing"

	"onegrain/sim"
	"onegrain/sim/body"
	"onegrain/sim/crystal"
)

// clearOf looks at one seeded grain, turned by turnDeg, that owns what is inside; the rest of the
// body is a stray.
func clearOf(g *body.Grid, turnDeg float64, inside func(x, y float64) bool) Run {
	c, grains := scene(g, turnDeg)
	grains = append(grains, sim.Grain{Seed: -1, BornH: 2, Orientation: crystal.Turned(20, 0, 0)})
	return look(c, grains, made{g, owner(func(x, y, _ float64) int {
		if inside(x, y) {
			return 0
		}
		return 1
	})}, 5).Run()
}

// TestClearDisc: a grain that is a disc somewhere in a block. The cells of the stray have their
// centres outside the circle, so their corners stand in by at most √2/2 cell: the diameter is short
// by 0 … 1.42 cells and the search's 0.04.
func TestClearDisc(t *testing.T) {
	g := block(t, 30, 30, 2, 0.2, body.Solid)
	for _, c := range [][3]float64{{0, 0, 10}, {1.234, -2.345, 9.87}, {-3.21, 4.4, 7.03}} {
		diameter := func(r float64) float64 {
			return clearOf(g, 0, func(x, y float64) bool { return math.Hypot(x-c[0], y-c[1]) <= r }).ClearDiameterMM
		}
		ok := func(d float64) bool { return between(d, 2*c[2]-1.46*0.2, 2*c[2]) }
		if d := diameter(c[2]); !ok(d) {
			t.Errorf("disc %v: diameter %v", c, d)
		}
		if d := diameter(0.98 * c[2]); ok(d) {
			t.Errorf("canary: a disc 2 %% smaller passed with %v", d)
		}
	}
}

// TestClearDiscStandsWhereItIsClear: around the place that is told, no cell of anything else comes
// nearer than half the diameter, cell by cell; the disc is no stroke of luck, for moved by a tenth
// of its radius to some side it meets one.
func TestClearDiscStandsWhereItIsClear(t *testing.T) {
	g := block(t, 30, 24, 2, 0.2, body.Solid)
	inside := func(x, y float64) bool { return math.Hypot(x-4, y+3) <= 7.5 || x < -11 }
	c, grains := scene(g, 0)
	grains = append(grains, sim.Grain{Seed: -1, BornH: 2, Orientation: crystal.Turned(20, 0, 0)})
	at, d := look(c, grains, made{g, owner(func(x, y, _ float64) int {
		if inside(x, y) {
			return 0
		}
		return 1
	})}, 5).ClearDisc()
	nearest := func(cx, cy float64) float64 {
		near := math.Inf(1)
		for j := -1; j <= g.N[1]; j++ {
			for i := -1; i <= g.N[0]; i++ {
				x, y := g.Origin[0]+float64(i)*0.2, g.Origin[1]+float64(j)*0.2
				if i < 0 || j < 0 || i == g.N[0] || j == g.N[1] || !inside(x, y) {
					near = math.Min(near, math.Hypot(math.Max(0, math.Abs(x-cx)-0.1), math.Max(0, math.Abs(y-cy)-0.1)))
				}
			}
		}
		return near
	}
	if near := nearest(at[0], at[1]); near < d/2-1e-9 || d < 14.6 {
		t.Errorf("a disc of %v mm about %v: something else is %v mm from its axis", d, at, near)
	}
	if near := nearest(at[0]+d/20, at[1]); near >= d/2-1e-9 {
		t.Errorf("canary: beside it is room too, %v", near)
	}
}

// TestClearSquare: a turned square is found at full size along its grain's axes, less the corners
// of the cells around it, and nowhere near it at another turn: a square turned by φ in another has
// 1/(cos φ + sin φ) of its side.
func TestClearSquare(t *testing.T) {
	g := block(t, 30, 30, 1, 0.2, body.Solid)
	for _, turn := range []float64{0, 15, 30, 45, 77, -20} {
		sin, cos := math.Sincos(turn * math.Pi / 180)
		inside := func(x, y float64) bool {
			x, y = x-0.7, y+1.1
			return math.Abs(x*cos+y*sin) < 8.03 && math.Abs(y*cos-x*sin) < 8.03
		}
		ok := func(s float64) bool { return between(s, 16.06-1.46*0.2, 16.06+0.2) }
		r := clearOf(g, turn, inside)
		if !ok(r.ClearSquareMM) || !between(r.ClearDiameterMM, 16.06-1.46*0.2, 16.06+0.2) {
			t.Errorf("turn %v: square %v, disc %v", turn, r.ClearSquareMM, r.ClearDiameterMM)
		}
		if wrong := clearOf(g, turn+20, inside).ClearSquareMM; ok(wrong) ||
			math.Abs(wrong-16.06/(math.Cos(math.Pi/9)+math.Sin(math.Pi/9))) > 1.46*0.2 {
			t.Errorf("canary: at 20° more the square is %v", wrong)
		}
		if want := 16.06 * 16.06; math.Abs(r.ClearVolumeMM3/want-1) > 0.02 { // cells on the rim: ± half of 320 cells in 6450
			t.Errorf("turn %v: volume %v, want %v", turn, r.ClearVolumeMM3, want)
		}
	}
}

// TestClearAligned: where the edges run along the cells nothing is lost but the search's 0.04 cell.
func TestClearAligned(t *testing.T) {
	g := block(t, 20, 30, 1, 0.25, body.Solid)
	r := clearOf(g, 90, func(x, y float64) bool { return x < 5 && y > -9 })
	for _, got := range []float64{r.ClearDiameterMM, r.ClearSquareMM} {
		if !between(got, 15-0.04*0.25, 15+1e-9) {
			t.Errorf("got %v, want 15", got)
		}
	}
}

// TestClearWhole: in a round body of one grain the true rim counts, not the cells: disc D, square
// D/√2 whatever the turn; in a ring of radii 6 and 12 the disc is 6 wide, and the square about (6 +
// t, 0) with half side t has its far corners on the rim: (6 + 2t)² + t² = 144. Canary: the ring's
// forms with an inner radius of 6.1.
func TestClearWhole(t *testing.T) {
	whole := func(x, y float64) bool { return true }
	for _, cell := range []float64{0.3, 0.37} {
		r := clearOf(disc(t, 24.2, 4, cell, body.Solid), 17, whole)
		if math.Abs(r.ClearDiameterMM-24.2) > 0.04*cell || math.Abs(r.ClearSquareMM-24.2/math.Sqrt2) > 0.04*cell {
			t.Errorf("disc: %v and %v", r.ClearDiameterMM, r.ClearSquareMM)
		}
		g, err := body.Ring(24, 12, 1, cell, body.FromAbove)
		if err != nil {
			t.Fatal(err)
		}
		r = clearOf(g, 0, whole)
		check := func(inner float64) bool {
			side := 2 * (-2*inner + math.Sqrt(4*inner*inner-5*(inner*inner-144))) / 5
			return math.Abs(r.ClearDiameterMM-(12-inner)) < 0.05*cell && math.Abs(r.ClearSquareMM-side) < 0.05*cell
		}
		if !check(6) {
			t.Errorf("ring: %v and %v", r.ClearDiameterMM, r.ClearSquareMM)
		}
		if check(6.1) {
			t.Error("canary: an inner radius of 6.1 passed")
		}
	}
}

// TestClearBite: a round bite of radius b about a point of the rim leaves a disc of diameter D − b;
// the bite's cells stand out by up to 0.71 cell.
func TestClearBite(t *testing.T) {
	for _, b := range []float64{2, 5} {
		r := clearOf(disc(t, 24, 2, 0.2, body.Solid), 0, func(x, y float64) bool {
			return math.Hypot(x-12*0.6,
				y-12*0.8) > b
		})
		if d := 24 - b - r.ClearDiameterMM; !between(d, -0.1, 0.75*0.2) {
			t.Errorf("bite %v: diameter %v", b, r.ClearDiameterMM)
		}
	}
}

// TestWidest compares the search with plain trial of centres a tenth of a cell apart, on random
// speckles.
func TestWidest(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 2))
	g := block(t, 14, 11, 1, 1, body.Solid)
	for n := range 12 {
		clear := make([]bool, 14*11)
		for u := range clear {
			clear[u] = rng.Float64() < 0.6+0.032*float64(n)
		}
		sin, cos := math.Sincos(float64(n))
		for _, s := range []shape{roundShape{}, turnedShape{cos, sin}} {
			c := newClearing(g, clear, func(int) bool { return true })
			trial := 0.0
			for y := -0.5; y < 11; y += 0.1 {
				for x := -0.5; x < 14; x += 0.1 {
					trial = math.Max(trial, plainReach(clear, s, x, y))
				}
			}
			if _, _, got := c.widest(s); !between(got, trial-shortfall-1e-9, trial+0.05*s.diagonal()+1e-9) {
				t.Errorf("speckle %d, %T: %v, by trial %v", n, s, got, trial)
			}
		}
	}
}

// plainReach looks at every cell in and around a map of 14 by 11.
func plainReach(clear []bool, s shape, x, y float64) float64 {
	best := math.Inf(1)
	for j := -1; j <= 11; j++ {
		for i := -1; i <= 14; i++ {
			if i < 0 || j < 0 || i >= 14 || j >= 11 || !clear[j*14+i] {
				best = math.Min(best, s.cell(float64(i)-x, float64(j)-y))
			}
		}
	}
	return best
}

// TestClearColumns: liquid, a stray or another domain anywhere in a column spoils it; a joined
// grain does not.
func TestClearColumns(t *testing.T) {
	g := block(t, 10, 10, 4, 0.5, body.Solid)
	for _, c := range []struct {
		below int
		turn  float64
		want  float64
	}{{-1, 0, 5}, {2, 0, 5}, {1, 30, 5}, {1, 3, 10}, {0, 0, 10}} {
		on, grains := scene(g, 0, c.turn)
		grains = append(grains, sim.Grain{Seed: -1, BornH: 3})
		r := look(on, grains, made{g, owner(func(x, y, z float64) int {
			if z < 1 && x > 0 {
				return c.below
			}
			return 0
		})}, 5).Run()
		if volume := c.want * 10 * 4; r.ClearVolumeMM3 != volume || math.Abs(r.ClearDiameterMM-c.want) > 0.02+1e-9 {
			t.Errorf("%+v: volume %v, diameter %v", c, r.ClearVolumeMM3, r.ClearDiameterMM)
		}
	}
}

// TestClearSection: in a vertical section the clear width is the longest clear run along x.
func TestClearSection(t *testing.T) {
	g := block(t, 10, 0, 4, 0.5, body.VerticalSection)
	r := clearOf(g, 0, func(x, _ float64) bool { return x < -3 || x > -2 && x < 4 })
	if r.ClearDiameterMM != 6 || r.ClearSquareMM != 6 || r.ClearVolumeMM3 != (2+6)*4 {
		t.Errorf("%+v", r)
	}
}
