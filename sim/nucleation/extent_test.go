package nucleation

import (
	"math"
	"testing"

	"onegrain/sim/body"
)

func TestExtentOfABlock(t *testing.T) {
	const h = 0.5
	corner := 4 * (1 - math.Sqrt2/2) * h // the four corners are cut
	g, section, seen := block(30, 20, 8, h, -1), block(30, 1, 8, h, 1), block(30, 20, 1, h, 2)
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"melt", weigh(g, Melt), 15 * 10 * 4}, {"top", weigh(g, Top), 150}, {"bottom", weigh(g, Bottom), 150},
		{"side", weigh(g, Side), (50 - corner) * 4},
		{"section, melt", weigh(section, Melt), 60}, {"section, top", weigh(section, Top), 15},
		{"section, bottom", weigh(section, Bottom), 15}, {"section, side", weigh(section, Side), 8},
		{"from above, melt", weigh(seen, Melt), 150}, {"from above, top", weigh(seen, Top), 0},
		{"from above, bottom", weigh(seen, Bottom), 0}, {"from above, side", weigh(seen, Side), 50 - corner},
		{"seeds", weigh(g, Seed), 0},
	} {
		if math.Abs(c.got-c.want) > 1e-10 {
			t.Errorf("%s: %v, want %v", c.name, c.got, c.want)
		}
	}
	g.Periodic = true
	if weigh(g, Side) != 0 || weigh(g, Top) != 0 || weigh(g, Melt) != 600 {
		t.Error("a periodic body has a volume and no surface")
	}
}

// The chords of marching squares run at multiples of 45°. Of a circle they measure (4/π)·2(√2 − 1)
// = 1.0548 of the circumference: the average of cos θ + (√2 − 1) sin θ over an octant (elementary).
// Counting faces gives 4/π = 1.273. Tolerance: one cell of diameter.
func TestSideOfADiscAndItsHole(t *testing.T) {
	const h = 0.1
	ratio := 4 / math.Pi * 2 * (math.Sqrt2 - 1)
	for _, hole := range []float64{0, 50} {
		g := disc(120, 10, h, hole, -1)
		want := math.Pi * (120 + hole) * h * 10 * h * ratio
		if got := weigh(g, Side); math.Abs(got-want) > 2*math.Pi*h*10*h {
			t.Errorf("hole of %v cells: side %v mm², want %v", hole, got, want)
		}
		faces := 0
		for i, w := range extentOf(g, Side).weight {
			n := len(walls(g, i))
			faces += n
			if (w > 0) != (n > 0) {
				t.Fatalf("cell %d: %v mm² on %d walls", i, w, n)
			}
		}
		if math.Abs(float64(faces)*h*h*10-want) < 2*math.Pi*h*10*h {
			t.Error("counted faces pass for chords")
		}
	}
}

func TestSingleCellAndDiagonal(t *testing.T) {
	if got := weigh(block(1, 1, 1, 1, -1), Side); math.Abs(got-4*math.Sqrt2/2) > 1e-15 {
		t.Errorf("one cell: %v", got)
	}
	crossed := body.NewOutline([3]int{2, 2, 1}, 1, [3]float64{}, -1,
		[]body.State{body.Inside, body.Outside, body.Outside, body.Inside})
	// three outer corners each, and the square crossed twice
	if got := weigh(crossed, Side); math.Abs(got-(6*math.Sqrt2/2+math.Sqrt2)) > 1e-15 {
		t.Errorf("two cells corner to corner: %v", got)
	}
	g := disc(2, 1, 1, 0, -1) // all four inside
	if got := weigh(g, Side); math.Abs(got-(4+4*math.Sqrt2/2)) > 1e-15 {
		t.Errorf("2×2 cells: %v", got)
	}
}
