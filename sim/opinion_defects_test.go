package sim_test

import (
	"fmt"
	"math"
	"testing"

	"onegrain/sim/body"
	"onegrain/sim/crystal"
	"onegrain/sim/furnace"
	"onegrain/sim/kinetics"
)

// onTop is a body of Y-123 with one seed in the middle of its top face.
func onTop(t *testing.T, g *body.Grid, err error, gradient furnace.Gradient, half, turn, tilt float64) *scene {
	if err != nil {
		t.Fatal(err)
	}
	s := &scene{grid: g, gradient: gradient, programme: cooling(8, 30, 0.4),
		a: kinetics.Power{RateAt10K: 0.134, Exponent: 1.9}, c: kinetics.Power{RateAt10K: 0.201, Exponent: 1.3}}
	s.grains = []sprout{{at: [3]float64{0, 0, s.top()}, half: [3]float64{half, half, 0},
		axes: crystal.Turned(turn, tilt, 0).Axes(),
		born: s.programme.GrowthStartH()}}
	if g.Flat == body.VerticalSection {
		s.grains[0].half[1] = 0
	}
	return s
}

// TestNothingGrowsUpwards: under a seed that lies on the top face no cell is grown by +c. The
// second opinion has none, by its last legs and by the slope of its hours; the engine has none in a
// uniform field, and under gradients up to the share of cells that is known, and hours off by as
// many cells.
func TestNothingGrowsUpwards(t *testing.T) {
	for _, c := range []struct {
		name       string
		gradient   furnace.Gradient
		turn, tilt float64
		share, off float64 // known
	}{
		{"uniform", furnace.Gradient{}, 0, 0, 0, 1e-3},
		{"vertical", furnace.Gradient{VerticalKPerMM: 0.2}, 0, 0, 0.0536, 0.08},
		{"vertical, colder above", furnace.Gradient{VerticalKPerMM: -0.2}, 0, 0, 0.0068, 0.072},
		{"radial", furnace.Gradient{RadialKPerMM: -0.2}, 0, 0, 0.0428, 0.05},
		{"vertical, tilted", furnace.Gradient{VerticalKPerMM: 0.2}, 20, 3, 0.0353, 0.065},
	} {
		g, err := body.Disc(5, 2, 0.5, body.Solid)
		small := onTop(t, g, err, c.gradient, 0.5, c.turn, c.tilt)
		o := small.opine(1, 1)
		cells, alive := small.engine(1)
		d := small.compare(o, cells, alive)
		for at, p := range o.cells {
			if o.marks[p].face == 4 && o.normal(at) == 4 {
				t.Errorf("%s: the second opinion has grown upwards at %v", c.name, o.points[p])
			}
		}
		g, err = body.Disc(24, 8, 0.4, body.Solid)
		cells, _ = onTop(t, g, err, c.gradient, 1, c.turn, c.tilt).engine(1)
		up, solid := 0.0, 0.0
		for _, e := range cells {
			if e.Grain >= 0 {
				if solid++; e.Sector == 4 {
					up++
				}
			}
		}
		t.Logf("%s: +c %.5f of the cells, must be 0; small body %v", c.name, up/solid, d)
		if up/solid > c.share || d.most > c.off {
			t.Errorf("%s: +c %.5f of the cells, known %v; hours off by %.3f cells, known %v: %s",
				c.name, up/solid, c.share, d.most, c.off, d.worst)
		}
	}
}

// TestHairOfAGradient: a millionth of a kelvin a mm changes nothing, so both hours and sectors must
// be those of the free box in the crystal's own axes, which is the closed form of a uniform field.
// Uniform holds; the other is known to differ.
func TestHairOfAGradient(t *testing.T) {
	for _, c := range []struct {
		gradient          float64
		mean, most, share float64 // known: hours in cells, cells of another sector
	}{{0, 1e-3, 1e-3, 0}, {1e-6, 2.38, 16.6, 0.064}} {
		g, err := body.Block([3]float64{20, 1, 10}, 0.1, body.VerticalSection, false)
		s := onTop(t, g, err, furnace.Gradient{VerticalKPerMM: c.gradient}, 2, 0, 10)
		cells, _ := s.engine(1)
		pace, grain := newPace(s.a, s.c, s.programme, nil), &s.grains[0]
		mean, most, other := 0.0, 0.0, 0.0
		for k := range g.N[2] {
			for i := range g.N[0] {
				x, y, z := g.Centre(i, 0, k)
				p := [3]float64{x, y, z}
				leg := leg{axes: &grain.axes, d: along(&grain.axes, minus(p, grain.nearest(p)))}
				want := pace.time(&leg, grain.born, g.CellMM)
				u, _, _ := pace.undercooling(want)
				e := cells[k*g.N[0]+i]
				off := math.Abs(float64(e.TimeH)-want) * pace.rate(leg.axis/2, u) / g.CellMM
				mean, most = mean+off/float64(len(cells)), math.Max(most, off)
				if int(e.Sector) != leg.face() && leg.slack > 0.3*g.CellMM {
					other += 1 / float64(len(cells))
				}
			}
		}
		told := fmt.Sprintf("tilted section, %v K/mm: hours off by %.4f cells in the mean, %.3f at worst, "+
			"%.5f of another sector", c.gradient, mean, most, other)
		if t.Log(told); mean > c.mean || most > c.most || other > c.share {
			t.Errorf("%s; known %+v", told, c)
		}
	}
}

// TestNucleusInASmallSection: a nucleus that is born in liquid grows, in a body of however few
// cells.
func TestNucleusInASmallSection(t *testing.T) {
	for _, wide := range []float64{3, 8, 8.5} { // 36, 96 and 102 cells
		g, err := body.Block([3]float64{wide, 1, 3}, 0.5, body.VerticalSection, false)
		s := onTop(t, g, err, furnace.Gradient{}, 0.7, 0, 0)
		s.grains = append(s.grains, sprout{at: [3]float64{-3, 0, 1.1}, born: 2, nucleus: true,
			axes: crystal.Turned(0, 30, 0).Axes()})
		cells, alive := s.engine(1)
		d := s.compare(s.opine(1, 1), cells, alive)
		t.Logf("section of %v cells: %v", g.N, d)
		if d.owner > 0 {
			t.Errorf("section of %v cells: %.4f of the cells are another's", g.N, d.owner)
		}
	}
}
