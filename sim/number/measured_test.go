package number

import (
	"math"
	"testing"
)

// Areas of triangles on either side of a kink, and a mean of a polynomial that eight points take
// exactly.
func TestAreaAndMean(t *testing.T) {
	kinked := func(x float64) float64 { return math.Abs(x - 2) }
	for _, c := range []struct{ low, high, want float64 }{
		{1, 2.5, 0.5 + 0.125}, {1.5, 2, 0.125}, {2, 3, 0.5}, {2.25, 2.75, 0.25}, {0, 4, 4},
	} {
		if got := Area(kinked, []float64{2}, c.low, c.high); math.Abs(got-c.want) > 1e-15 {
			t.Errorf("area from %v to %v: %v, want %v", c.low, c.high, got, c.want)
		}
	}
	if got := Area(kinked, nil, 1, 2.5); math.Abs(got-0.625) < 0.1 {
		t.Error("the place of the kink does not matter")
	}
	fifteenth := func(x float64) float64 { return Pow(x, 15) }
	if got := Mean(fifteenth, 0, 2); math.Abs(got-math.Pow(2, 15)/16) > 1e-10 {
		t.Errorf("mean of x^15 from 0 to 2: %v", got)
	}
}
