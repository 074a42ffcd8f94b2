package scene

import (
	"math"
	"testing"

	"onegrain/analysis/trace"
)

// timed is a plane of 40 × 30 cells of 0.5 mm in which the time at a point is given by law.
func timed(law func(u, v float64) float64) *view {
	c := grownField([3]int{40, 30, 1}, 0.5, 2, everywhere, []nucleus{{halfMM: 1}})
	for i := range c.TimeH {
		c.TimeH[i] = float32(law(float64(i%40)+0.5, float64(i/40)+0.5))
	}
	return planeAt(c, 2, 0, math.Inf(1))
}

// worstOff is how far, in hours, the law is from the level on the contour.
func worstOff(p *view, law func(u, v float64) float64, level float64) float64 {
	worst := 0.0
	for _, line := range trace.Chains(contour(p, level)) {
		for _, pt := range line {
			worst = math.Max(worst, math.Abs(law(pt[0], pt[1])-level))
		}
	}
	return worst
}

// Linear interpolation is exact on a plane, to the rounding of float32 times (1e-6 of 40 h). The
// canary is a plane that is steeper by one hundredth.
func TestContourOfAPlaneIsExact(t *testing.T) {
	law := func(u, v float64) float64 { return 2 + 0.7*u + 0.3*v }
	steeper := func(u, v float64) float64 { return 2 + 0.707*u + 0.3*v }
	p := timed(law)
	if n := len(trace.Chains(contour(p, 15.1))); n != 1 {
		t.Fatalf("%d lines, wanted one", n)
	}
	if off := worstOff(p, law, 15.1); off > 5e-6 {
		t.Errorf("off by %g h", off)
	}
	if off := worstOff(p, steeper, 15.1); off <= 5e-6 {
		t.Errorf("canary: a steeper plane passed, off by %g h", off)
	}
}

func TestContoursCloseAroundASeedAndStopAtTheLiquid(t *testing.T) {
	hill := func(u, v float64) float64 { return math.Hypot(u-20, v-15) }
	p := timed(hill)
	lines := trace.Chains(contour(p, 8))
	if len(lines) != 1 || lines[0][0] != lines[0][len(lines[0])-1] {
		t.Fatalf("contour is %d lines, wanted a closed one", len(lines))
	}
	p.untilH = 8.5 // a ring of cells around the contour is still liquid
	if n := len(contour(p, 9)); n != 0 {
		t.Errorf("%d pieces of contour in the liquid", n)
	}
	for _, place := range tags(p, []float64{4, 8}, 2, 1) {
		if g := p.grain(int(place.at[0]), int(place.at[1])); g < 0 {
			t.Errorf("label of %v h stands at %v, outside the solid", place.level, place.at)
		}
	}
}

func TestTagsKeepClearOfEachOther(t *testing.T) {
	p := timed(func(u, v float64) float64 { return 3 * math.Hypot(u-20, v-15) })
	places := tags(p, []float64{6, 12, 18, 24, 30}, 3, 1.5)
	if len(places) < 4 {
		t.Errorf("only %d labels found room", len(places))
	}
	for i, a := range places {
		for _, b := range places[:i] {
			if math.Abs(a.at[0]-b.at[0]) < 3 && math.Abs(a.at[1]-b.at[1]) < 1.5 {
				t.Errorf("labels of %v h and %v h overlap", a.level, b.level)
			}
		}
	}
}
