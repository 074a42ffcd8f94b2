package evidence

import (
	"math"
	"testing"
)

// compared is a finding that expects 10 and has a canary.
func compared(found, tolerance float64, wrong string) Finding {
	return Finding{Quantity: "length | width", Unit: "mm", Comparison: Comparison{10, found, tolerance},
		Canary: Canary{Wrong: wrong}}
}

func finding(found, canary float64) Finding { return compared(found, 1, "rate +30 %").Against(canary) }

func TestVerdicts(t *testing.T) {
	for _, c := range []struct {
		f    Finding
		want string
	}{
		{finding(10.5, 13), agrees},
		{finding(11.5, 13), differs},
		{finding(10.5, 11), blind},
		{compared(10.5, 1, "rate +30 %").Instead(13), agrees},
		{compared(10.5, 1, "rate +3 %").Instead(10.9), blind},
		{Finding{Comparison: Comparison{10, 10, 1}}, blind}, // no canary
		{compared(math.NaN(), 1, "x").Against(20), differs},
		{compared(10, math.Inf(1), "x").Against(20), differs}, // no tolerance at all
		{Finding{Comparison: Comparison{10, 99, 0}, Reported: true}, reported},
	} {
		if got := Judged(c.f); got.Verdict != c.want || got.Failed() != (c.want == differs || c.want == blind) {
			t.Errorf("%+v: %s, wanted %s", c.f, got.Verdict, c.want)
		}
	}
}
