package magnet

import (
	"math"
	"testing"
)

// TestLaw compares with the values tabulated for threshold 0 and decay 5.3° (two digits, so half a
// unit of the second) and with their factor exp(3/5.3) = 1.76 for a threshold of 3°; Hilgenkamp and
// Mannhart, Rev. Mod. Phys. 74 (2002) 485.
func TestLaw(t *testing.T) {
	passes := func(l Law) bool {
		ok := true
		for _, row := range []struct{ deg, share, half float64 }{{5, 0.39, 0.005}, {10, 0.15, 0.005}, {15, 0.059, 0.0005},
			{20, 0.023, 0.0005}, {30, 0.0035, 0.00005}, {45, 2e-4, 0.5e-4}} {
			ok = ok && math.Abs(l.Share(row.deg)-row.share) <= row.half
		}
		return ok
	}
	if !passes(Law{0, 5.3}) {
		t.Error("the law differs from the table")
	}
	if passes(Law{0, 5.0}) || passes(Law{0.2, 5.3}) {
		t.Error("canary: another decay or threshold passes")
	}
	p := Published()
	if got := p.Share(20) / (Law{0, p.DecayDeg}).Share(20); math.Abs(got-1.76) > 0.005 {
		t.Errorf("a threshold of 3° is worth a factor %v, wanted 1.76", got)
	}
	if p.Share(0) != 1 || p.Share(3) != 1 || p.Share(math.NaN()) != 0 {
		t.Error("wanted all of the current up to the threshold and none where the angle is not known")
	}
}

func TestLawRefuses(t *testing.T) {
	for _, l := range []Law{{-1, 5}, {3, 0}, {math.NaN(), 5}, {3, math.Inf(1)}, {3, -2}, {math.Inf(1), 5}} {
		if l.Check() == nil {
			t.Errorf("%v is accepted", l)
		}
	}
	if err := Published().Check(); err != nil {
		t.Error(err)
	}
}
