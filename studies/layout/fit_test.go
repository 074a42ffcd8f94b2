package layout

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"
)

// TestFittingCells: a suggested cell divides every straight length, and none nearer of a tenth of a
// millimetre does.
func TestFittingCells(t *testing.T) {
	for _, s := range []Body{
		{kind: "block", size: [3]float64{20, 20, 8}, CellMM: 0.3},
		{kind: "block", size: [3]float64{10, 12.5, 7.5}, CellMM: 0.4},
		{kind: "disc", size: [3]float64{24, 24, 8}, CellMM: 0.3},
		{kind: "disc", plane: "ac", size: [3]float64{24, 0, 8}, CellMM: 0.3},
		{kind: "block", plane: "ab", size: [3]float64{10, 10, 0}, CellMM: 0.5},
	} {
		for _, of := range []int{1, 4, 8} {
			cell, ok := s.fitting(of)
			if !ok || !s.divides(cell*float64(of)) || cell < s.CellMM/2.001 || cell > s.CellMM*2.001 {
				t.Errorf("%+v: %g (%v) does not fit %d times", s, cell, ok, of)
			}
			for n := 1; n < 20; n++ {
				tenth := float64(n) / 10
				if s.divides(tenth*float64(of)) && math.Abs(math.Log(tenth/s.CellMM)) < math.Abs(math.Log(cell/s.CellMM))-1e-9 {
					t.Errorf("%+v: %g was suggested though %g is nearer", s, cell, tenth)
				}
			}
		}
	}
}

// Where only the height of a body is straight, only the height is looked at.
func TestCurvedOutlinesAreNotRounded(t *testing.T) {
	s := Body{kind: "disc", size: [3]float64{24.1, 24.1, 8}, CellMM: 0.5}
	if w := s.Rounded(); w != nil {
		t.Errorf("%v", w)
	}
	s.size[2] = 8.2
	if w := s.Rounded(); !reflect.DeepEqual(w, []string{"the body is no whole number of 0.5 mm cells: 8.2 mm along z " +
		"become 8 mm, 16 cells; cell_mm = 0.5125 fits"}) {
		t.Errorf("%v", w)
	}
}

// The test of turned rectangles against points laid densely over one of them: a point well inside
// both means overlap, no point near the other means none.
func TestOverlap(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	turned := func() patch {
		sin, cos := math.Sincos(2 * math.Pi * random.Float64())
		return patch{at: [2]float64{4 * random.Float64(), 4 * random.Float64()}, half: [2]float64{0.3 + random.Float64(),
			0.3 + random.Float64()}, u: [2]float64{cos, sin}, v: [2]float64{-sin, cos}}
	}
	overlapping := 0
	for range 2000 {
		p, q := turned(), turned()
		inside, near := false, false
		const n = 40
		for i := 0; i <= n; i++ {
			for j := 0; j <= n; j++ {
				x, y := p.point(p.half[0]*(2*float64(i)/n-1), p.half[1]*(2*float64(j)/n-1))
				d := [2]float64{x - q.at[0], y - q.at[1]}
				a, b := math.Abs(dot(d, q.u))-q.half[0], math.Abs(dot(d, q.v))-q.half[1]
				inside = inside || math.Max(a, b) < 0
				near = near || math.Max(a, b) < 0.06 // half a step's diagonal is 0.046 mm at most
			}
		}
		if got := p.overlaps(q); inside && !got || got && !near {
			t.Fatalf("%+v and %+v: overlap %v; a common point %v, a near one %v", p, q, got, inside, near)
		} else if got != q.overlaps(p) {
			t.Fatalf("%+v and %+v overlap one way only", p, q)
		}
		if inside {
			overlapping++
		}
	}
	if overlapping < 200 || overlapping > 1800 {
		t.Errorf("%d of 2000 pairs overlap: the test says little", overlapping)
	}
}
