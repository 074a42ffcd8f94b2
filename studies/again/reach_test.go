package again

import (
	"math"
	"testing"
)

// held is solid long before its programme ends; the seed is turned and stands off the middle.
const held = `title = "Held"
[material]
base = "Y123, air"
[body]
shape = "disc"
diameter_mm = 12
height_mm = 4
cell_mm = 0.5
[[seed]]
at_mm = [1, -2]
size_mm = [2, 1]
turn_deg = 25
[schedule]
[[schedule.stage]]
to_C = 1045
rate_K_per_h = 100
[[schedule.stage]]
to_undercooling_K = 12
rate_K_per_h = 60
[[schedule.stage]]
hold_h = 1000
[nucleation.melt]
law = "none"
`

// TestReachIsThatOfTheCells: at every hour the farthest captured cell, counted one by one, is
// within a cell of what is drawn (a cell has an edge half a cell beyond its middle, and the grain
// is on its way to the next one). Canary: the free half width, which knows no rim, is not.
func TestReachIsThatOfTheCells(t *testing.T) {
	g := grownOf(t, held)
	sin, cos := math.Sincos(25 * math.Pi / 180)
	hours := g.Moments(1.05 * g.Run.TimeToFullH)
	along, down := g.Reach(hours, 0), g.Reach(hours, 2)
	free := g.Survey.History()
	for n, h := range hours {
		a, z := 1.0, 0.0 // half the seed
		for i, grain := range g.Cells.Grain {
			if grain == 0 && float64(g.Cells.TimeH[i]) <= h {
				x, y := -6+0.5*float64(i%24)+0.25, -6+0.5*float64(i/24%24)+0.25
				a, z = math.Max(a, math.Abs((x-1)*cos+(y+2)*sin)), math.Max(z, 4-0.5*float64(i/576)-0.25)
			}
		}
		if math.Abs(along[n]-a) > 0.5 || math.Abs(down[n]-z) > 0.5 {
			t.Fatalf("after %v h: drawn %v and %v mm, the cells reach %v and %v mm", h, along[n], down[n], a, z)
		}
	}
	if last := free[len(free)-1].HalfWidthAMM; last < 2*along[len(along)-1] {
		t.Errorf("canary: the free half width ends at %v mm", last)
	}
}
