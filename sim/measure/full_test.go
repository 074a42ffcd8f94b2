package measure

import (
	"fmt"
	"math"
	"testing"

	"onegrain/sim"
	"onegrain/sim/body"
	"onegrain/sim/draw"
	"onegrain/sim/furnace"
	"onegrain/sim/kinetics"
)

// solidBy is a body of one or more seeds of 2 mm that all stand at one undercooling, cooled at a
// rate: a faces grow by the law of Y-123, c faces much faster, so that an a face is last.
func solidBy(t *testing.T, g *body.Grid, err error, turn, rate float64, grad furnace.Gradient,
	at ...[2]float64) (fullH, lastCentreH float64) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	c := &sim.Case{Grid: g, GrowthA: kinetics.Power{RateAt10K: rate, Exponent: 1.9},
		GrowthC: kinetics.Power{RateAt10K: 2, Exponent: 1.9},
		Cooling: furnace.Cooling{Gradient: grad, Programme: furnace.Programme{Knots: []furnace.Knot{
			{TimeH: -1, UndercoolingK: -1}, {TimeH: -1e-6, UndercoolingK: -1}, {TimeH: 0, UndercoolingK: 5},
			{TimeH: 500, UndercoolingK: 30}}}}}
	for _, a := range at {
		c.Seeds = append(c.Seeds, sim.Seed{AtMM: a, SizeMM: [2]float64{2, 2}, TurnDeg: turn})
	}
	s := Look(sim.Seeded(c, draw.NewKey("full")), 5)
	if math.IsNaN(s.fullH) {
		t.Fatal("liquid is left")
	}
	last := 0.0
	for _, h := range s.rows {
		last = math.Max(last, h)
	}
	return s.fullH, last
}

// grownBy is when an a face at an offset has grown so many mm, by halving an interval on the closed
// form of the law along the ramp.
func grownBy(rate, offset, mm float64) float64 {
	low, high := 0.0, 500.0
	n := 2.9
	for range 100 {
		h := (low + high) / 2
		u0, u1 := 5-offset, 5+h*0.05-offset
		if rate*10/n*(math.Pow(u1/10, n)-math.Pow(u0/10, n))/0.05 < mm {
			low = h
		} else {
			high = h
		}
	}
	return low
}

// A body is solid when its last place is, whatever the size of the cells. Source: closed forms. A
// square box that grows from half width 1 fills a disc of radius R once it has grown R − 1,
// whatever its turn; a block turned by 45° by its corner; half the distance of two seeds where they
// meet; of a ring the rim between two seeds. Tolerance: a tenth of a cell's growth, as is promised.
// Canary: the hour of the last centre misses it somewhere at every cell size.
func TestHoursUntilSolid(t *testing.T) {
	const rate = 0.134
	half := math.Sqrt2 / 2
	for _, cell := range []float64{0.8, 0.4, 0.2} {
		missed := false
		check := func(name string, full, last, offset, grown float64) {
			t.Helper()
			want, tenth := grownBy(rate, offset, grown), grownBy(rate, offset, grown+0.1*cell)-grownBy(rate, offset, grown)
			if math.Abs(full-want) > tenth {
				t.Errorf("%s, cells of %g mm: solid after %.3f h, wanted %.3f ± %.3f", name, cell, full, want, tenth)
			}
			missed = missed || math.Abs(last-want) > tenth
		}
		for _, turn := range []float64{0, 10, 27, 45} {
			g, err := body.Disc(24, 0, cell, body.FromAbove)
			full, last := solidBy(t, g, err, turn, rate, furnace.Gradient{}, [2]float64{0, 0})
			check(fmt.Sprintf("disc in a plane turned by %g°", turn), full, last, 0, 11)
			if cell < 0.4 {
				continue // in space it is the same for longer
			}
			g, err = body.Disc(24, 4, cell, body.Solid)
			full, last = solidBy(t, g, err, turn, rate, furnace.Gradient{}, [2]float64{0, 0})
			check(fmt.Sprintf("disc turned by %g°", turn), full, last, 0, 11)
			g, err = body.Block([3]float64{24, 16, 4}, cell, body.Solid, false)
			sin, cos := math.Sincos(turn * math.Pi / 180)
			corner := 0.0
			for _, c := range [][2]float64{{-13, 10}, {11, 10}, {-13, -6}, {11, -6}} {
				corner = math.Max(corner, math.Max(math.Abs(cos*c[0]+sin*c[1]), math.Abs(cos*c[1]-sin*c[0])))
			}
			full, last = solidBy(t, g, err, turn, rate, furnace.Gradient{}, [2]float64{1, -2})
			check(fmt.Sprintf("block turned by %g°", turn), full, last, 0, corner-1)
		}
		g, err := body.Block([3]float64{24, 0, 4}, cell, body.VerticalSection, false)
		full, last := solidBy(t, g, err, 0, rate, furnace.Gradient{}, [2]float64{3, 0})
		check("section", full, last, 0, 14)
		for _, shift := range []float64{0, 0.13, 0.31} { // where the grains meet, a cell may end or be cut through
			g, err = body.Block([3]float64{16, 4, 4}, cell, body.Solid, false)
			full, last = solidBy(t, g, err, 0, rate, furnace.Gradient{}, [2]float64{-7.5, 0}, [2]float64{7.5 + shift, 0})
			check(fmt.Sprintf("two seeds, %g mm off", shift), full, last, 0, 6.5+shift/2)
		}
		g, err = body.Ring(24, 16, 0, cell, body.FromAbove)
		four := [][2]float64{{10, 0}, {-10, 0}, {0, 10}, {0, -10}}
		full, last = solidBy(t, g, err, 0, rate, furnace.Gradient{}, four...)
		if cell < 0.8 { // in four cells the way round the bore is rough
			check("ring of four seeds", full, last, 0, 12*half-1)
		}
		g, err = body.Disc(24, 0, cell, body.FromAbove)
		full, last = solidBy(t, g, err, 0, rate, furnace.Gradient{RadialKPerMM: 1e-5}, [2]float64{0, 0})
		check("disc under hardly any gradient", full, last, 0, 11)
		if !missed {
			t.Errorf("cells of %g mm: the last centre is no worse", cell)
		}
	}
}
