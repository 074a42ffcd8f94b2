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

func TestNumbersHaveATrueMinus(t *testing.T) {
	for x, want := range map[float64]string{-1.25: "−1.2", 0: "0.0", -0.01: "0.0", 3: "3.0"} {
		if got := Number(x, 1); got != want {
			t.Errorf("%v is written %q, wanted %q", x, got, want)
		}
	}
}

// TestPlotsOverTimeEndSoonAfterTheBodyIsSolid: no programme is followed for more than a tenth
// longer; one that leaves liquid is shown whole.
func TestPlotsOverTimeEndSoonAfterTheBodyIsSolid(t *testing.T) {
	for _, c := range []struct{ solidH, endH, want float64 }{
		{100, 1000, 105}, {100, 102, 102}, {math.NaN(), 1000, 1000}, {0, 70, 70},
	} {
		if got := SoonAfter(c.solidH, c.endH); math.Abs(got-c.want) > 1e-9 {
			t.Errorf("solid after %v h of %v: the plot ends at %v h, wanted %v", c.solidH, c.endH, got, c.want)
		}
	}
}

func TestWords(t *testing.T) {
	for got, want := range map[string]string{
		Capital("äußere Wand"): "Äußere Wand", Capital(""): "", Raised(-120): "⁻¹²⁰", Plural(1, "run"): "1 run",
		Plural(0, "run"): "0 runs",
	} {
		if got != want {
			t.Errorf("%q, wanted %q", got, want)
		}
	}
}
