package layout

import (
	"math"
	"testing"

	"onegrain/sim/furnace"
)

// Melt and surfaces of each shape, and the offsets in a gradient, by elementary geometry.
func TestClosedForms(t *testing.T) {
	ring := Body{kind: "ring", size: [3]float64{20, 20, 4}, inner: 5}
	above := ring
	above.plane, above.flatMM = "ab", 3
	g := furnace.Gradient{VerticalKPerMM: 0.5, RadialKPerMM: 0.2}
	for name, c := range map[string]struct {
		body            Body
		extents         [4]float64 // melt, top, side, bottom
		lowest, highest float64    // K
	}{
		"ring":  {ring, [4]float64{300 * math.Pi, 75 * math.Pi, 120 * math.Pi, 75 * math.Pi}, 0.2*5 - 0.5*4, 2},
		"above": {above, [4]float64{225 * math.Pi, 0, 30 * math.Pi, 0}, 0.2*5 - 0.5*4, 2},
		"disc": {Body{kind: "disc", size: [3]float64{20, 20, 4}},
			[4]float64{400 * math.Pi, 100 * math.Pi, 80 * math.Pi, 100 * math.Pi}, -2, 2},
		"section": {Body{kind: "disc", plane: "ac", size: [3]float64{20, 20, 4}}, [4]float64{80, 20, 8, 20}, -2, 2},
		"block":   {Body{kind: "block", size: [3]float64{6, 8, 4}}, [4]float64{192, 48, 112, 48}, -2, 1},
		"joined":  {Body{kind: "block", periodic: true, size: [3]float64{6, 8, 4}}, [4]float64{192}, -2, 1},
	} {
		got := c.body.Extents()
		for i, want := range c.extents {
			if math.Abs(got[i]-want) > 1e-9 {
				t.Errorf("%s: extents %v, wanted %v", name, got, c.extents)
				break
			}
		}
		if low, high := c.body.Offsets(g); math.Abs(low-c.lowest) > 1e-12 || math.Abs(high-c.highest) > 1e-12 {
			t.Errorf("%s: offsets %g to %g, wanted %g to %g", name, low, high, c.lowest, c.highest)
		}
	}
}
