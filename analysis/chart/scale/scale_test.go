package scale

import (
	"math"
	"reflect"
	"testing"
)

func TestRoundSteps(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		wanted    int
		values    []float64
		decimals  int
	}{
		{0, 8, 5, []float64{0, 2, 4, 6, 8}, 0},
		{-12, 12, 4, []float64{-10, 0, 10}, 0},
		{-12, 12, 6, []float64{-10, -5, 0, 5, 10}, 0},
		{0.1, 0.31, 4, []float64{0.1, 0.2, 0.3}, 1},
		{3, 3, 4, []float64{3}, 1},
		{0, 0.004, 4, []float64{0, 0.001, 0.002, 0.003, 0.004}, 3},
		{0, 1000, 0, []float64{0, 1000}, 0},
	} {
		values, decimals := RoundSteps(c.low, c.high, c.wanted)
		if len(values) == len(c.values) {
			for i := range values {
				if math.Abs(values[i]-c.values[i]) < 1e-12*(1+math.Abs(c.high)) {
					values[i] = c.values[i]
				}
			}
		}
		if !reflect.DeepEqual(values, c.values) || decimals != c.decimals {
			t.Errorf("%v to %v in about %d: %v with %d decimals, wanted %v with %d",
				c.low, c.high, c.wanted, values, decimals, c.values, c.decimals)
		}
	}
}
