package evidence

import (
	"math"
	"testing"
)

// finding expects 10 and has a tolerance of 1.
func finding(found, canary float64) Finding {
	return Finding{Quantity: "length | width", Unit: "mm", Comparison: Comparison{10, found, 1}}.Against("rate +30 %",
		canary)
}

func TestVerdicts(t *testing.T) {
	for _, c := range []struct {
		f    Finding
		want string
	}{
		{finding(10.5, 13), agrees},
		{finding(11.5, 13), differs},
		{finding(10.5, 11), blind},
		{Finding{Comparison: Comparison{10, 10.5, 1}}.Instead("rate +30 %", 13), agrees},
		{Finding{Comparison: Comparison{10, 10.5, 1}}.Instead("rate +3 %", 10.9), blind},
		{Finding{Comparison: Comparison{10, 10, 1}}, blind}, // no canary
		{Finding{Comparison: Comparison{10, math.NaN(), 1}}.Against("x", 20), differs},
		{Finding{Comparison: Comparison{10, 10, math.Inf(1)}}.Against("x", 20), differs}, // no tolerance at all
		{Finding{Comparison: Comparison{10, 99, 0}, Reported: true}, reported},
	} {
		if got := Judged(c.f); got.Verdict != c.want || got.Failed() != (c.want == differs || c.want == blind) {
			t.Errorf("%+v: %s, wanted %s", c.f, got.Verdict, c.want)
		}
	}
}
