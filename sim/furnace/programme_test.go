package furnace

import (
	"math"
	"testing"
)

// puck is an ordinary schedule: heat, hold, jump down, slow ramp. Peritectic 1010 °C.
func puck() Schedule {
	return Schedule{StartC: 25, Stages: []Stage{
		{Kind: ToTemperature, ToC: 1045, RateKPerH: 100},
		{Kind: Hold, HoldH: 1},
		{Kind: ToUndercooling, ToUndercoolingK: 8, RateKPerH: 60},
		{Kind: ToUndercooling, ToUndercoolingK: 30, RateKPerH: 0.4},
	}}
}

func close(a, b float64) bool { return math.Abs(a-b) <= 1e-12*(1+math.Abs(b)) }

func sameKnots(a, b []Knot) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if !close(a[i].TimeH, b[i].TimeH) || !close(a[i].UndercoolingK, b[i].UndercoolingK) {
			return false
		}
	}
	return true
}

func TestScheduleBecomesProgramme(t *testing.T) {
	p := puck().Programme(1010)
	down := 11.2 + 43.0/60
	want := []Knot{{0, 985}, {10.2, -35}, {11.2, -35}, {down, 8}, {down + 55, 30}}
	if !sameKnots(p.Knots, want) {
		t.Errorf("knots %v, want %v", p.Knots, want)
	}
	if !close(p.EndH(), down+55) || !close(p.Undercooling(10.7), -35) || !close(p.Undercooling(down+10), 12) ||
		p.Undercooling(-1) != 985 || p.Undercooling(1e4) != 30 {
		t.Errorf("undercooling is not read off the pieces")
	}
	if start := p.GrowthStartH(); !close(start, 11.2+35.0/60) {
		t.Errorf("growth starts at %v h", start)
	}
	if got, want := p.GrowthKnots(), []Knot{{11.2 + 35.0/60, 0}, {down, 8}, {down + 55, 30}}; !sameKnots(got, want) {
		t.Errorf("growth knots %v, want %v", got, want)
	}
	if wrong := puck().Programme(1011); sameKnots(wrong.Knots, want) {
		t.Error("a peritectic 1 K higher gives the same knots")
	}
}

func TestStagesWithoutTime(t *testing.T) {
	s := Schedule{StartC: 1020, Stages: []Stage{{Kind: ToTemperature, ToC: 1020, RateKPerH: 5}, {Kind: Hold},
		{Kind: ToUndercooling, ToUndercoolingK: -10, RateKPerH: 3}}}
	if p := s.Programme(1010); !sameKnots(p.Knots, []Knot{{0, -10}, {0, -10}}) || p.EndH() != 0 || p.GrowthKnots() != nil {
		t.Errorf("knots %v", p.Knots)
	}
	if p := (Programme{}); p.EndH() != 0 || p.Undercooling(1) != 0 || p.GrowthStartH() != math.Inf(1) {
		t.Error("a programme without knots")
	}
}

func TestGrowthStart(t *testing.T) {
	inf := math.Inf(1)
	for name, c := range map[string]struct {
		knots []Knot
		want  float64
	}{
		"molten at the start":    {[]Knot{{0, -2}, {10, 8}}, 2},
		"starts at zero":         {[]Knot{{0, 0}, {10, 8}}, 0},
		"holds at zero first":    {[]Knot{{0, 0}, {3, 0}, {10, 8}}, 3},
		"a jump":                 {[]Knot{{0, 0}, {0, 9}, {20, 9}}, 0},
		"a later jump":           {[]Knot{{0, -5}, {4, -5}, {4, 9}, {20, 9}}, 4},
		"never molten":           {[]Knot{{0, 5}, {10, 8}}, inf},
		"never undercooled":      {[]Knot{{0, -5}, {10, 0}}, inf},
		"melts, then solidifies": {[]Knot{{0, 10}, {10, -10}, {20, 10}}, 15},
		"touches zero":           {[]Knot{{0, 10}, {10, 0}, {20, 10}}, 10},
	} {
		if got := (Programme{c.knots}).GrowthStartH(); !(got == c.want || close(got, c.want)) {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
	}
}

func TestGrowthKnotsAreNeverBelowZero(t *testing.T) {
	p := Programme{[]Knot{{0, 50}, {5, -10}, {10, 10}, {12, -10}, {13, -10}, {15, 30}, {15, 40}}}
	want := []Knot{{7.5, 0}, {10, 10}, {11, 0}, {12, 0}, {13, 0}, {13.5, 0}, {15, 30}, {15, 40}}
	if got := p.GrowthKnots(); !sameKnots(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
	jump := Programme{[]Knot{{0, 0}, {0, 9}, {20, 9}}}
	if got := jump.GrowthKnots(); !sameKnots(got, []Knot{{0, 9}, {20, 9}}) {
		t.Errorf("a jump at the start: %v", got)
	}
}

func TestMoltenEverywhere(t *testing.T) {
	p := Programme{[]Knot{{0, 50}, {10, -10}, {20, 10}}}
	for level, want := range map[float64]float64{60: 0, 0: 50.0 / 6, -4: 9, -10: 10, -11: math.Inf(1)} {
		if got := p.FirstAtOrBelow(level); !(got == want || close(got, want)) {
			t.Errorf("level %v: %v, want %v", level, got, want)
		}
	}
}

func TestGradientOffset(t *testing.T) {
	g := Gradient{VerticalKPerMM: 0.5, RadialKPerMM: -0.2}
	if got := g.Offset(3, -4, 8); !close(got, -0.2*5-0.5*8) {
		t.Errorf("offset %v", got)
	}
	if g.Offset(0, 0, 0) != 0 {
		t.Error("the reference point has an offset")
	}
}
