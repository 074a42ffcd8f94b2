package furnace

import "testing"

// A place below and beside the reference point, 3 K colder than it, that sees the jump of a
// programme.
func TestCooling(t *testing.T) {
	c := Cooling{
		Programme: Programme{[]Knot{{0, -8}, {2, -8}, {2, 1}, {10, 9}, {12, 5}}},
		Gradient:  Gradient{VerticalKPerMM: 0.25, RadialKPerMM: -0.4},
	}
	const x, y, below, lowest = 3, -4, 4, -3
	if got := c.At(x, y, below, 6); !close(got, 5+3) {
		t.Errorf("ΔT %v, want 8", got)
	}
	if seen := c.Seen(x, y, below, lowest).Knots; !sameKnots(seen, []Knot{{0, -5}, {2, -5}, {2, 4}, {10, 12}, {12, 8}}) {
		t.Errorf("seen %v", seen)
	}
	if got := c.GrowthKnots(x, y, below, 4); !sameKnots(got, []Knot{{4, 6}, {10, 12}, {12, 8}}) {
		t.Errorf("a grain born at 4 h grows by %v", got)
	}
	if c.Uniform() || !(Cooling{Programme: c.Programme}).Uniform() {
		t.Error("only a gradient makes places differ")
	}
	c.Gradient.VerticalKPerMM = -0.25 // canary: the sign of the depth
	if close(c.At(x, y, below, 6), 8) {
		t.Error("a gradient upside down gives the same")
	}
}
