package chart

import (
	"math"
	"reflect"
	"testing"
)

// timed is a plane of 40 × 30 cells of 0.5 mm in which the time at a point is given by law.
func timed(law func(u, v float64) float64) *view {
	c := grownField([3]int{40, 30, 1}, 0.5, 2, everywhere, []nucleus{{halfMM: 1}})
	for i := range c.TimeH {
		c.TimeH[i] = float32(law(float64(i%40)+0.5, float64(i/40)+0.5))
	}
	return level(c, 0, math.Inf(1))
}

// worstOff is how far, in hours, the law is from the level on the contour.
func worstOff(p *view, law func(u, v float64) float64, level float64) float64 {
	worst := 0.0
	for _, line := range chains(contour(p, level)) {
		for _, pt := range line {
			worst = math.Max(worst, math.Abs(law(pt[0], pt[1])-level))
		}
	}
	return worst
}

// Linear interpolation is exact on a plane, to the rounding of float32 times (1e-6 of 40 h). The canary is a plane that is
// steeper by one hundredth.
func TestContourOfAPlaneIsExact(t *testing.T) {
	law := func(u, v float64) float64 { return 2 + 0.7*u + 0.3*v }
	steeper := func(u, v float64) float64 { return 2 + 0.707*u + 0.3*v }
	p := timed(law)
	if n := len(chains(contour(p, 15.1))); n != 1 {
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
	lines := chains(contour(p, 8))
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

func TestSaddleIsCutByItsMean(t *testing.T) {
	for _, lift := range []float64{-0.1, 0.1} {
		p := timed(func(u, v float64) float64 { return 5 + lift + (u-20.0)*(v-15.0) })
		segments := appendSquare(nil, p, 19, 14, 5)
		if len(segments) != 2 {
			t.Errorf("lift %v: %d pieces, wanted 2", lift, len(segments))
		}
		for _, s := range segments { // with a positive mean the high corners (0,0), (1,1) join: no piece runs between them
			middle := [2]float64{(s[0][0]+s[1][0])/2 - 20, (s[0][1]+s[1][1])/2 - 15}
			if lift > 0 == (middle[0]*middle[1] > 0) {
				t.Errorf("lift %v: a piece cuts at %v", lift, middle)
			}
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
		values, decimals := roundSteps(c.low, c.high, c.wanted)
		if len(values) == len(c.values) {
			for i := range values {
				if math.Abs(values[i]-c.values[i]) < 1e-12*(1+math.Abs(c.high)) {
					values[i] = c.values[i]
				}
			}
		}
		if !reflect.DeepEqual(values, c.values) || decimals != c.decimals {
			t.Errorf("%v to %v in about %d: %v with %d decimals, wanted %v with %d", c.low, c.high, c.wanted, values, decimals, c.values, c.decimals)
		}
	}
}
