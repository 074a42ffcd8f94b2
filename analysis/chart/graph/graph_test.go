package graph

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"image/png"
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"onegrain/analysis/chart/paper"
)

// set is one line of text of an SVG that does not stand upright.
type set struct {
	text                string
	left, right, y, top float64
}

// texts reads all lines of an SVG and finds every one that stands straight with its place.
func texts(t *testing.T, c chart) (lines []set, width, height float64, alt string) {
	t.Helper()
	var buf bytes.Buffer
	alt, err := c.Draw(&buf, paper.SVG)
	if err != nil {
		t.Fatal(err)
	}
	var doc struct {
		ViewBox string `xml:"viewBox,attr"`
		Texts   []struct {
			X     float64 `xml:"x,attr"`
			Y     float64 `xml:"y,attr"`
			Style string  `xml:"style,attr"`
			Text  string  `xml:",chardata"`
		} `xml:"g>text"`
	}
	if err := xml.Unmarshal(buf.Bytes(), &doc); err != nil {
		t.Fatal(err)
	}
	letters, err := paper.NewLetters()
	if err != nil {
		t.Fatal(err)
	}
	box := strings.Fields(doc.ViewBox)
	width, height = float(t, box[2]), float(t, box[3])
	for _, line := range doc.Texts {
		size := float(t, regexp.MustCompile(`font-size:([0-9.]+)px`).FindStringSubmatch(line.Style)[1])
		y := height + line.Y // the canvas counts upwards
		lines = append(lines, set{line.Text, line.X, line.X + letters.Width(size, line.Text), y, y - 0.72*size})
	}
	return lines, width, height, alt
}

func float(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// faults tells what a reader would complain of: texts that leave the sheet, that run into one
// another, or that have a sign missing.
func faults(lines []set, width, height float64) (bad []string) {
	for i, a := range lines {
		if a.left < 0 || a.right > width || a.top < 0 || a.y > height {
			bad = append(bad, fmt.Sprintf("%q leaves the sheet: %.0f to %.0f of %.0f, line %.0f of %.0f", a.text, a.left,
				a.right, width, a.y, height))
		}
		if strings.ContainsRune(a.text, '\uFFFD') {
			bad = append(bad, fmt.Sprintf("%q has a sign that the typeface lacks", a.text))
		}
		for _, b := range lines[:i] {
			if a.left < b.right && b.left < a.right && a.top < b.y-0.5 && b.top < a.y-0.5 {
				bad = append(bad, fmt.Sprintf("%q runs into %q", a.text, b.text))
			}
		}
	}
	return bad
}

func TestNoTextLeavesTheSheetOrMeetsAnother(t *testing.T) {
	all := scenes()
	maps.Copy(all, poor())
	for _, name := range slices.Sorted(maps.Keys(all)) {
		lines, width, height, alt := texts(t, all[name])
		for _, f := range faults(lines, width, height) {
			t.Errorf("%s: %s", name, f)
		}
		if len(alt) < 30 || strings.Contains(alt, "NaN") || strings.Contains(alt, "Inf") || !strings.HasSuffix(alt, ".") {
			t.Errorf("%s: text alternative is %q", name, alt)
		}
		if width != sheetWidth {
			t.Errorf("%s is %v points wide, wanted %v", name, width, sheetWidth)
		}
	}
	named, _, _, said := texts(t, words())
	if !strings.Contains(joined(named), "radial") || !strings.Contains(said, "turn (parallel to radial)") {
		t.Errorf("words are missing: %q, %q", joined(named), said)
	}
	lines, width, height, _ := texts(t, window())
	moved := slices.Clone(lines)
	moved[3].left, moved[3].right, moved[3].y, moved[3].top = moved[2].left, moved[2].right, moved[2].y, moved[2].top
	if len(faults(moved, width, height)) == 0 || len(faults(lines, width-200, height)) == 0 {
		t.Error("canary: texts that meet, or leave the sheet, went unnoticed")
	}
}

func TestPNGsHaveTheWholeSheet(t *testing.T) {
	for name, c := range scenes() {
		var buf bytes.Buffer
		alt, err := c.Draw(&buf, paper.PNG)
		if err != nil {
			t.Fatal(err)
		}
		_, width, height, want := texts(t, c)
		size, err := png.DecodeConfig(&buf)
		if err != nil || size.Width != int(width)*paper.DotsPerPoint || size.Height != int(height)*paper.DotsPerPoint {
			t.Errorf("%s is %d × %d pixels for %v × %v points, %v", name, size.Width, size.Height, width, height, err)
		}
		if alt != want {
			t.Errorf("%s says %q as PNG and %q as SVG", name, alt, want)
		}
	}
}

// poor are charts with nothing to show, little to show, or nothing but failures.
func poor() map[string]chart {
	x, y := Axis{Name: "Cooling rate", Unit: "K/h"}, Axis{Name: "Undercooling", Unit: "K"}
	one := Line{Name: "exact", Points: []Point{{0.4, 0.9, nan, nan}}}
	failed := Window{X: x, Y: y, Wanted: 0.9, Cells: []Cell{{X: 1, Y: 2, Exact: nan, Failed: true},
		{X: 2, Y: 2, Exact: nan, Failed: true}, {X: 3, Y: 2, Exact: nan, Failed: true}}}
	return map[string]chart{
		"window, empty": Window{Title: "Window", X: x, Y: y},
		"window, one case": Window{X: x, Y: y, Wanted: 0.9, Cells: []Cell{{X: 1, Y: 2, Exact: 0.5, Hits: 3, Runs: 8,
			Low: 0.1, High: 0.8}}},
		"window, failures": failed,
		"window, all reach": Window{X: x, Y: y, Wanted: 0.9, Cells: []Cell{{X: 1, Y: 2, Exact: 1},
			{X: 2, Y: 2, Exact: 1}, {X: 1, Y: 3, Exact: 0.99}}},
		"window, none reaches": Window{X: x, Y: y, Wanted: 0.9, Cells: []Cell{{X: 1, Y: 2, Exact: 0},
			{X: 2, Y: 2, Exact: 0}}},
		"window, counted only": Window{X: x, Y: y, Wanted: 0.9, Cells: []Cell{{X: 1, Y: 2, Exact: nan, Hits: 8, Runs: 8,
			Low: 0.6, High: 1}, {X: 2, Y: 2, Exact: nan}}},
		"curves, empty":     Curves{X: x, Y: y},
		"curves, one value": Curves{X: x, Y: y, Lines: []Line{one}, To: 1},
		"curves, failures": Curves{X: x, Y: y, Lines: []Line{{Name: "exact", Points: []Point{{1, nan, nan, nan}}}},
			Failed: 2},
		"curves, some failed": Curves{X: x, Y: y, Lines: []Line{one}, Failed: 2},
		"curves, constant": Curves{X: x, Y: y, Lines: []Line{{Name: "flat",
			Points: []Point{{1, 0, nan, nan}, {2, 0, nan, nan}}}}},
		"multiples, empty":    Multiples{Title: "Multiples"},
		"multiples, failures": Multiples{Windows: []Window{failed, failed}},
		"multiples, part": Multiples{Curves: []Curves{{Title: "A", X: x, Y: y, Lines: []Line{one}},
			{Title: "B", X: x, Y: y, Failed: 3}}},
		"programme, empty":    Programme{},
		"programme, one knot": Programme{TimeH: []float64{0}, UndercoolingK: []float64{10}, PeritecticC: nan},
		"history, empty":      History{},
		"history, one moment": History{TimeH: []float64{3}, UndercoolingK: []float64{4}},
		"distribution, empty": Distribution{X: y},
		"distribution, one":   Distribution{X: y, Samples: []Sample{{"case 1", []float64{12.3}}}},
		"distribution, equal": Distribution{X: y, Samples: []Sample{{"case 1", []float64{24, 24, 24, 24, 24, 24}}}},
		"bars, empty":         Bars{X: y},
		"bars, unknown": Bars{X: y, Names: []string{"a"}, Sets: []Line{{Name: "total",
			Points: []Point{{0, nan, nan, nan}}}}},
		"bars, one": Bars{X: y, Names: []string{"a"}, Sets: []Line{{Name: "total",
			Points: []Point{{0, -0.5, -0.8, -0.1}}}}},
		"field, empty":     Field{Quantity: y},
		"field, unknown":   Field{Quantity: y, NX: 2, NY: 1, StepMM: 1, Values: []float64{nan, nan}},
		"field, one point": Field{Quantity: y, NX: 1, NY: 1, StepMM: 1, Values: []float64{3}},
		"field, zero":      Field{Quantity: y, NX: 3, NY: 2, StepMM: 1, Values: make([]float64, 6)},
		"strip, empty":     Strip{Share: nan},
		"strip, liquid":    Strip{NX: 2, NY: 2, CellMM: 1, Grain: []int32{-1, -1, -2, -1}, Share: 0},
	}
}

// What each poor chart must say, in the picture and in its text alternative; the canary is that a
// rich one says none of it.
func TestPoorChartsSaySo(t *testing.T) {
	want := map[string]string{
		"window, empty": "No case has a result", "window, one case": "One case only",
		"window, failures":  "All 3 cases failed",
		"window, all reach": "Every case reaches 90 %", "window, none reaches": "No case reaches 90 %",
		"curves, empty": "No case has a result", "curves, one value": "One value only",
		"curves, failures":    "Both cases failed",
		"curves, some failed": "2 cases without a value, because of failures: left out.",
		"multiples, empty":    "nothing to show", "multiples, failures": "Every case of every part failed",
		"multiples, part":  "B: All 3 cases failed",
		"programme, empty": "has no stages", "history, empty": "Nothing grows in this run",
		"distribution, empty": "No run has a result", "distribution, one": "Fewer than 5 values",
		"distribution, equal": "of all 6 runs is the same: 24 K.", "bars, empty": "nothing to compare",
		"bars, unknown": "nothing to compare",
		"field, empty":  "no map to show", "field, unknown": "no map to show", "field, zero": "the same everywhere",
		"strip, empty": "no strip to show",
	}
	rich := ""
	for _, c := range []chart{curves(), programme(), distribution(4), strip()} {
		lines, _, _, alt := texts(t, c)
		rich += alt + joined(lines)
	}
	for name, words := range want {
		lines, _, _, alt := texts(t, poor()[name])
		if !strings.Contains(alt, words) || !strings.Contains(joined(lines), words) {
			t.Errorf("%s says %q, its picture %q; wanted %q in both", name, alt, joined(lines), words)
		}
		if strings.Contains(rich, words) {
			t.Errorf("canary: a rich chart says %q too", words)
		}
	}
}

// TestAStripExplainsWhatIsSeen: no more and no less.
func TestAStripExplainsWhatIsSeen(t *testing.T) {
	all := []string{"seeded grains", "stray grains", "liquid", "boundary between grains", "weakest cut", "seed",
		"clear piece"}
	square := [][2]float64{{0, 0}, {1, 0}, {1, 1}, {0, 0}}
	grains := Strip{NX: 2, NY: 1, CellMM: 1, Grain: []int32{0, 1}, Stray: []bool{false, true}, Share: nan,
		Seeds: [][][2]float64{square}, Clear: [][][2]float64{square}}
	for _, c := range []struct {
		strip Strip
		want  []string
	}{{Strip{NX: 2, NY: 1, CellMM: 1, Grain: []int32{-1, -1}, Share: nan}, []string{"liquid"}},
		{Strip{NX: 2, NY: 1, CellMM: 1, Grain: []int32{0, 0}, Stray: []bool{true}, Share: nan, Cut: [][][2]float64{square}},
			[]string{"stray grains", "weakest cut"}},
		{grains, []string{"seeded grains", "stray grains", "boundary between grains", "seed", "clear piece"}}} {
		lines, _, _, _ := texts(t, c.strip)
		var got []string
		for _, l := range lines {
			if slices.Contains(all, l.text) {
				got = append(got, l.text)
			}
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("the legend tells of %v, wanted %v", got, c.want)
		}
	}
}

func joined(lines []set) string {
	var parts []string
	for _, l := range lines {
		parts = append(parts, l.text)
	}
	return strings.Join(parts, " ")
}

func TestFaultyValuesAreNamed(t *testing.T) {
	x, inf := Axis{Name: "x"}, math.Inf(1)
	for want, c := range map[string]chart{
		"Windows[0].X.Name is empty":             Window{},
		"Windows[0].Wanted = 1":                  Window{X: x, Y: x, Wanted: 1},
		"Windows[0].Cells[0].Exact = 2":          Window{X: x, Y: x, Cells: []Cell{{Exact: 2}}},
		"Windows[0].Cells[0] counts 3 of 2 runs": Window{X: x, Y: x, Cells: []Cell{{Hits: 3, Runs: 2}}},
		"Windows[0].Cells[0] has the interval 0.5 to 0.2": Window{X: x, Y: x,
			Cells: []Cell{{Hits: 1, Runs: 2, Low: 0.5, High: 0.2}}},
		"Windows[0].Cells[0].X = NaN":                 Window{X: x, Y: x, Cells: []Cell{{X: nan}}},
		"Curves[0].Lines[0].Points[0].X = NaN":        Curves{X: x, Y: x, Lines: []Line{{Points: []Point{{X: nan}}}}},
		"Curves[0].Lines[0].Points[0].Y = +Inf":       Curves{X: x, Y: x, Lines: []Line{{Points: []Point{{Y: inf}}}}},
		"Distribution.Marks[0].At = +Inf":             Distribution{X: x, Marks: []Mark{{At: inf}}},
		"Curves[0].From = 1, To = 0":                  Curves{X: x, Y: x, From: 1},
		"Multiples.Windows[0].Y.Name is empty":        Multiples{Windows: []Window{{X: x}}},
		"1 Windows and 1 Curves":                      Multiples{Windows: []Window{{}}, Curves: []Curves{{}}},
		"Programme.UndercoolingK has 0 values":        Programme{TimeH: []float64{1}},
		"Programme.TimeH[1] = 0":                      Programme{TimeH: []float64{1, 0}, UndercoolingK: []float64{1, 1}},
		"History.Nuclei has 2 values":                 History{TimeH: []float64{1}, Nuclei: []float64{1, 2}},
		"Distribution.Samples[0].Values[1] = NaN":     Distribution{X: x, Samples: []Sample{{Values: []float64{1, nan}}}},
		"Bars.Sets[0] has 0 points for 1 names":       Bars{X: x, Names: []string{"a"}, Sets: []Line{{}}},
		"Field.Values has 3 entries for 2 × 2 places": Field{Quantity: x, NX: 2, NY: 2, Values: make([]float64, 3)},
		"Field has steps of 0 mm":                     Field{Quantity: x, NX: 1, NY: 1, Values: []float64{1}},
		"Strip.Grain[0] = 4, but Stray tells of 1 grai": Strip{NX: 1, NY: 1, CellMM: 1, Grain: []int32{4},
			Stray: []bool{false}},
		"Strip.Share = 1.5": Strip{Share: 1.5},
	} {
		var buf bytes.Buffer
		if _, err := c.Draw(&buf, paper.PNG); err == nil || !strings.Contains(err.Error(), want) || buf.Len() > 0 {
			t.Errorf("error %v after %d bytes, wanted one with %q", err, buf.Len(), want)
		}
	}
	if _, err := bars().Draw(&bytes.Buffer{}, 7); err == nil || !strings.Contains(err.Error(), "format = 7") {
		t.Errorf("error %v, wanted one of the format", err)
	}
	if _, err := bars().Draw(full{}, paper.PNG); !errors.Is(err, errFull) {
		t.Errorf("error %v, wanted that of the writer", err)
	}
}

var errFull = errors.New("no space left")

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errFull }
