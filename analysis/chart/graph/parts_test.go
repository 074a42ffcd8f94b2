package graph

import (
	"bytes"
	"image/color"
	"image/png"
	"math"
	"slices"
	"strings"
	"testing"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/tint"
)

// A window draws the contour that it is given and finds none of its own.
func TestContourIsThatOfTheCaller(t *testing.T) {
	n := window()
	for _, given := range []bool{true, false} {
		if !given {
			n.Contour = nil
		}
		lines, _, _, _ := texts(t, n)
		if strings.Contains(joined(lines), "chance of 95 %") != given {
			t.Errorf("contour given: %v; the picture says %q", given, joined(lines))
		}
	}
	xs, ys := n.values()
	m := n.matrix(xs, ys, [2]float64{1, 1})
	if got := m.placed([][][2]float64{{{0.25, 5}, {0.8, 18}}}); got[0][0] != [2]float64{0.5, 0.5} ||
		got[0][1] != [2]float64{4, 7} {
		t.Errorf("placed at %v", got)
	}
}

func TestPositionsBetweenValues(t *testing.T) {
	values := []float64{1, 10, 1000}
	for _, c := range []struct {
		x    float64
		log  bool
		want float64
	}{{1, false, 0}, {10, false, 1}, {1000, false, 2}, {5.5, false, 0.5}, {math.Sqrt(10), true, 0.5}, {100, true, 1.5},
		{1990, false, 3}} {
		if got := position(values, c.x, c.log); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%v (log %v) stands at %v, wanted %v", c.x, c.log, got, c.want)
		}
	}
}

func TestCellsHaveTheColourOfTheirChance(t *testing.T) {
	n := window()
	n.Contour = [][][2]float64{}
	var buf bytes.Buffer
	if _, err := n.Draw(&buf, paper.PNG); err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(&buf)
	if err != nil {
		t.Fatal(err)
	}
	found := func(want color.RGBA) bool {
		b := img.Bounds()
		for y := 0; y < b.Dy(); y += 3 {
			for x := 0; x < b.Dx(); x += 3 {
				r, g, bl, _ := img.At(x, y).RGBA()
				if (color.RGBA{uint8(r >> 8), uint8(g >> 8), uint8(bl >> 8), 255}) == want {
					return true
				}
			}
		}
		return false
	}
	for i, c := range n.Cells {
		if !c.Failed && !found(tint.Chance(c.Exact).Color()) {
			t.Errorf("case %d: the colour of chance %v is nowhere", i, c.Exact)
		}
	}
	if found(tint.Strength(0.7).Color()) {
		t.Error("canary: a colour of another scale was found")
	}
}

func TestHistogramCountsEveryValueOnce(t *testing.T) {
	for _, values := range [][]float64{
		{0, 0, 0, 1, 2, 3}, {5, 5, 5}, {-3, 10, 10.5, 11, 30}, {24}, distribution(1).Samples[0].Values,
	} {
		n := 0
		bins := binned(values)
		for i, b := range bins {
			inside := 0
			for _, v := range values {
				if v >= b.Min-1e-9 && (v < b.Max-1e-9 || i == len(bins)-1) {
					inside++
				}
			}
			if inside != int(b.Weight) {
				t.Errorf("%v to %v: %v values counted, wanted %d", b.Min, b.Max, b.Weight, inside)
			}
			n += int(b.Weight)
		}
		if n != len(values) {
			t.Errorf("%d of %d values counted", n, len(values))
		}
	}
}

func TestCumulativeShareIsThatAtOrBelow(t *testing.T) {
	points := cumulative([]float64{3, 1, 1, 2}, extent{0, 4})
	want := []Point{{X: 0, Y: 0}, {X: 1, Y: 0.5}, {X: 2, Y: 0.75}, {X: 3, Y: 1}, {X: 4, Y: 1}}
	if !slices.EqualFunc(points, want, func(a, b Point) bool { return a.X == b.X && a.Y == b.Y }) {
		t.Errorf("shares %v, wanted %v", points, want)
	}
}

// Before the body is molten it is cold, but that is no undercooling of a melt; the curve begins
// where the melt passes its peritectic temperature.
func TestUndercoolingBeginsWithTheMelt(t *testing.T) {
	g := programme().knots(70)
	if n := g.molten(); g.UndercoolingK[n] != 0 || math.Abs(g.TimeH[n]-10.2*985/1020) > 1e-9 {
		t.Errorf("molten at %v h with %v K", g.TimeH[n], g.UndercoolingK[n])
	}
	if len(g.TimeH) != 7 {
		t.Errorf("%d knots, wanted those given and two crossings: %v", len(g.TimeH), g.TimeH)
	}
}

func TestNumbersInWords(t *testing.T) {
	for got, want := range map[string]string{
		short(0.123456): "0.1235", short(-2): "−2", short(1.5e-7): "1.5 · 10⁻⁷", short(0): "0", short(math.NaN()): "unknown",
		chanceText(0.99951): "above 99.9", chanceText(1): "100", chanceText(1e-9): "below 0.1", chanceText(0): "0",
		chanceText(0.954): "95.4", chanceInCell(0.9999): ">0.99", chanceInCell(1): "1", chanceInCell(1e-5): "<0.01",
		chanceInCell(0.5): "0.50", percent(0.95): "95", percent(0.999999): "99.9999",
		Axis{Name: "Cooling rate"}.lower(): "cooling rate", Axis{Name: "R_a"}.lower(): "R_a",
		Axis{Name: "ΔT start"}.lower(): "ΔT start",
	} {
		if got != want {
			t.Errorf("%q, wanted %q", got, want)
		}
	}
}

// What readers who do not see the charts are told.
func TestWhatIsSeenIsSaid(t *testing.T) {
	all := scenes()
	for name, want := range map[string]string{
		"window": "over cooling rate (0.2 to 0.8 K/h) and starting undercooling (4 to 18 K) in 39 cases: highest 99.5 % at " +
			"0.2 K/h and 4 K, lowest below 0.1 % at 0.8 K/h and 18 K. It is at least 95 % in 13 of them. 1 case failed. The " +
			"exact chance lies outside the 95 % interval of the counted one in 1 case of 39; about 2 is expected by chance.",
		"curves": "over cooling rate, 0.2 to 1 K/h. Exact odds is lowest at 1 K/h (4.54 · 10⁻⁵) and highest at 0.2 K/h " +
			"(0.9975); counted, 64 runs is lowest at 1 K/h (0.02005) and",
		"bars": "First order is largest for cooling_rate_K_per_h, 0.52 (0.45 to 0.6); Total is largest for " +
			"cooling_rate_K_per_h, 0.61 (0.55 to 0.66). The intervals include 0, so no effect is shown, for: turn_deg.",
		"history": "from 11.8 to 66.8 h. 100 % of the body is solid at the end, with 4 strays. The first seed's grain " +
			"reaches 23.43 mm along a. Marked: first stray at 46 h.",
		"programme": "over 66.9 h; the undercooling is largest, 30 K, at 66.9 h. Marked: growth begins at 11.8 h, starting",
		"field":     "Map of the trapped field, from −0.05 to 0.8477 T, with 2 separate peaks. Upper bound",
		"strip": "of 200 × 10 mm with 3 seeded grains and 2 strays. It carries 37 % of the current of a strip without " +
			"boundaries; the weakest cut crosses it near x = −20 mm. The width (y) is drawn 3 times larger",
		"distribution": "0.2 K/h: median 21.68 mm, from 4.972 to 23.98 mm in 64 runs.",
	} {
		if _, _, _, alt := texts(t, all[name]); !strings.Contains(alt, want) {
			t.Errorf("%s says %q, wanted %q", name, alt, want)
		}
	}
}
