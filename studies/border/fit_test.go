package border

import (
	"math"
	"reflect"
	"strings"
	"testing"
)

// TestRoundedBodies compares what the warning says with the grid itself.
func TestRoundedBodies(t *testing.T) {
	for _, c := range []struct {
		size, cell string
		want       string  // part of the warning, empty for none
		fits       float64 // suggested cell, 0 for none
	}{
		{"20, 20, 8", "0.5", "", 0},
		{"20, 20, 8", "0.1", "", 0}, // 8 / 0.1 is not whole in binary
		{"20, 20, 8", "0.3", "20 mm along x become 20.1 mm, 67 cells; 20 mm along y become 20.1 mm, 67 cells; 8 mm along z become 8.1 mm, 27 cells", 0.25},
		{"20, 20, 8.1", "0.5", "8.1 mm along z become 8 mm, 16 cells", 0},
		{"20, 20, 8.0123", "0.5", "8.0123 mm along z become 8 mm, 16 cells", 0},
	} {
		text := strings.NewReplacer("20, 20, 8", c.size, "cell_mm = 0.5", "cell_mm = "+c.cell).Replace(base)
		d := document(t, text)
		k := new(Converter)
		dr, _ := k.Draft(d)
		warning := strings.Join(dr.Warnings, "\n")
		if (c.want == "") != (warning == "") || !strings.Contains(warning, c.want) {
			t.Errorf("%s in cells of %s: warned %q, wanted %q", c.size, c.cell, warning, c.want)
		}
		s, _ := k.shape(d)
		if fits, _ := s.fitting(1); fits != c.fits && c.want != "" || strings.Contains(warning, "fits") != (c.fits > 0) {
			t.Errorf("%s in cells of %s: %g fits, wanted %g; %s", c.size, c.cell, fits, c.fits, warning)
		}
		real, found := k.Case(d)
		if len(found) > 0 || real.Grid.N != [3]int{s.count(0), s.count(1), s.count(2)} {
			t.Errorf("%s in cells of %s: the grid has %v cells (%v)", c.size, c.cell, real.Grid.N, found)
		}
	}
}

// TestFittingCells: a suggested cell divides every straight length, and none nearer of a tenth of a millimetre does.
func TestFittingCells(t *testing.T) {
	for _, s := range []shape{
		{kind: "block", size: [3]float64{20, 20, 8}, cell: 0.3},
		{kind: "block", size: [3]float64{10, 12.5, 7.5}, cell: 0.4},
		{kind: "disc", size: [3]float64{24, 24, 8}, cell: 0.3},
		{kind: "disc", plane: "ac", size: [3]float64{24, 0, 8}, cell: 0.3},
		{kind: "block", plane: "ab", size: [3]float64{10, 10, 0}, cell: 0.5},
	} {
		for _, of := range []int{1, 4, 8} {
			cell, ok := s.fitting(of)
			if !ok || !s.divides(cell*float64(of)) || cell < s.cell/2.001 || cell > s.cell*2.001 {
				t.Errorf("%+v: %g (%v) does not fit %d times", s, cell, ok, of)
			}
			for n := 1; n < 20; n++ {
				tenth := float64(n) / 10
				if s.divides(tenth*float64(of)) && math.Abs(math.Log(tenth/s.cell)) < math.Abs(math.Log(cell/s.cell))-1e-9 {
					t.Errorf("%+v: %g was suggested though %g is nearer", s, cell, tenth)
				}
			}
		}
	}
}

// Where only the height of a body is straight, only the height is looked at.
func TestCurvedOutlinesAreNotRounded(t *testing.T) {
	s := shape{kind: "disc", size: [3]float64{24.1, 24.1, 8}, cell: 0.5}
	if w := s.rounded(); w != nil {
		t.Errorf("%v", w)
	}
	s.size[2] = 8.2
	if w := s.rounded(); !reflect.DeepEqual(w, []string{"the body is no whole number of 0.5 mm cells: 8.2 mm along z become 8 mm, 16 cells; cell_mm = 0.5125 fits"}) {
		t.Errorf("%v", w)
	}
}
