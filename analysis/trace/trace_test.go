package trace

import (
	"math"
	"reflect"
	"testing"
)

// Linear interpolation is exact on a plane. The canary is a plane that is steeper by one hundredth.
func TestContourOfAPlaneIsExact(t *testing.T) {
	law := func(x, y float64) float64 { return 2 + 0.7*x + 0.3*y }
	steeper := func(x, y float64) float64 { return 2 + 0.707*x + 0.3*y }
	lines := Chains(Contour(20, 15, func(i, j int) float64 { return law(float64(i), float64(j)) }, 9.13))
	if len(lines) != 1 || len(lines[0]) < 2 {
		t.Fatalf("%v, wanted one line", lines)
	}
	off := func(law func(x, y float64) float64) (worst float64) {
		for _, p := range lines[0] {
			worst = math.Max(worst, math.Abs(law(p[0], p[1])-9.13))
		}
		return worst
	}
	if off(law) > 1e-12 || off(steeper) <= 1e-12 {
		t.Errorf("off by %g, and by %g from a steeper plane", off(law), off(steeper))
	}
}

func TestContoursCloseAroundAHillAndStopAtTheUnknown(t *testing.T) {
	hill := func(i, j int) float64 { return math.Hypot(float64(i)-9.5, float64(j)-7.5) }
	lines := Chains(Contour(20, 16, hill, 5))
	if len(lines) != 1 || lines[0][0] != lines[0][len(lines[0])-1] {
		t.Fatalf("%d lines, wanted a closed one", len(lines))
	}
	half := func(i, j int) float64 {
		if i > 9 {
			return math.NaN()
		}
		return hill(i, j)
	}
	lines = Chains(Contour(20, 16, half, 5))
	if len(lines) != 1 || lines[0][0] == lines[0][len(lines[0])-1] {
		t.Fatalf("%v, wanted one open line", lines)
	}
	for _, p := range lines[0] {
		if p[0] > 9 {
			t.Errorf("guessed at %v, beside what is not known", p)
		}
	}
}

func TestSaddleIsCutByItsMean(t *testing.T) {
	for _, lift := range []float64{-0.1, 0.1} {
		segments := Contour(2, 2, func(x, y int) float64 { return 5 + lift + (float64(x)-0.5)*(float64(y)-0.5) }, 5)
		if len(segments) != 2 {
			t.Errorf("lift %v: %d pieces, wanted 2", lift, len(segments))
		}
		for _, s := range segments { // with a positive mean the high corners (0,0), (1,1) join: no piece runs between them
			middle := [2]float64{(s[0][0]+s[1][0])/2 - 0.5, (s[0][1]+s[1][1])/2 - 0.5}
			if lift > 0 == (middle[0]*middle[1] > 0) {
				t.Errorf("lift %v: a piece cuts at %v", lift, middle)
			}
		}
	}
}

// Through a point of the grid a contour is one line by its sides; by its places it falls apart.
// there.
func TestCrossingsNameSides(t *testing.T) {
	value := func(i, j int) float64 { return float64(i - j) }
	cuts := Crossings(4, 4, value, 0)
	lines := Join(cuts)
	if len(lines) != 1 || len(lines[0]) != 6 {
		t.Errorf("%d lines: %v, wanted one through six sides", len(lines), lines)
	}
	for _, c := range lines[0] {
		if p := c.Point(); p[0] != p[1] {
			t.Errorf("%+v lies at %v, off the diagonal", c, p)
		}
	}
	above := Crossings(4, 4, func(i, j int) float64 { return -value(i, j) }, 0)
	if reflect.DeepEqual(cuts, above) {
		t.Error("a value at the level counts as above and as below")
	}
}

func TestChainsJoinEveryEndOnce(t *testing.T) {
	type point = [2]float64
	s := [][2]point{{{0, 0}, {1, 0}}, {{2, 1}, {1, 0}}, {{2, 1}, {3, 1}}, {{5, 5}, {6, 6}}}
	want := [][]point{{{0, 0}, {1, 0}, {2, 1}, {3, 1}}, {{5, 5}, {6, 6}}}
	if got := Chains(s); !reflect.DeepEqual(got, want) {
		t.Errorf("chains are %v, wanted %v", got, want)
	}
	fork := [][2]point{{{0, 0}, {1, 0}}, {{1, 0}, {2, 1}}, {{1, 0}, {2, -1}}}
	if got := Chains(fork); len(got) != 3 {
		t.Errorf("a fork gives %v, wanted three lines", got)
	}
	square := [][2]point{{{0, 0}, {1, 0}}, {{2, 0}, {1, 0}}, {{2, 0}, {2, 2}}, {{0, 0}, {2, 2}}}
	if got := Chains(square); !reflect.DeepEqual(got, [][]point{{{1, 0}, {2, 0}, {2, 2}, {0, 0}, {1, 0}}}) {
		t.Errorf("a closed line gives %v", got)
	}
}
