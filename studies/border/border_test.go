package border

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"onegrain/sim/nucleation/rate"
	"onegrain/studies/strict"
)

const base = `
[material]
peritectic_C = 1010
[material.growth_a]
law = "power"
rate_at_10K_mm_per_h = 0.134
exponent = 1.9
[material.growth_c]
law = "table"
undercooling_K = [0, 10, 30]
rate_mm_per_h = [0, 0.2, 0.8]
[body]
shape = "block"
size_mm = [20, 20, 8]
cell_mm = 0.5
[schedule]
[[schedule.stage]]
to_C = 1045
rate_K_per_h = 100
[[schedule.stage]]
to_undercooling_K = 20
rate_K_per_h = 1
[nucleation.melt]
law = "barrier"
prefactor_per_mm3_h = 1.1e4
barrier_K3 = 1.12e7
[nucleation.top]
law = "sites"
density_per_mm2 = 0.5
mean_undercooling_K = 20
spread_K = 2
`

func document(t testing.TB, text string) *strict.Document {
	t.Helper()
	d, found := strict.Read("test.toml", text, Fields())
	if d != nil {
		found = append(found, d.Complete()...)
	}
	if len(found) > 0 {
		t.Fatal(found.Err())
	}
	return d
}

func draft(t *testing.T, text string) *Draft {
	t.Helper()
	out, found := new(Converter).Draft(document(t, text))
	if len(found) > 0 {
		t.Fatal(found.Err())
	}
	return out
}

// What a person writes reaches the engine in its units.
func TestConversion(t *testing.T) {
	c := draft(t, base+"[[seed]]\nat_mm = [1, -2]\nsize_mm = [2, 3]\nturn_deg = 10\ntilt_deg = 5\ntilt_toward_deg = "+
		"90\nturn_sd_deg = 1\ntilt_sd_deg = 2\nperitectic_C = 1060\n[gradient]\nvertical_K_per_mm = 0.5\nradial_K_per_mm = "+
		"0.1").Case
	b, ok := c.Nuclei.Melt.(rate.Barrier)
	if !ok || b.PeritecticK != 1283.15 || b.PrefactorPerUnitH != 1.1e4 || b.BarrierK3 != 1.12e7 {
		t.Errorf("melt %+v, wanted a barrier law with 1010 °C as 1283.15 K", c.Nuclei.Melt)
	}
	if s, ok := c.Nuclei.Top.(rate.Sites); !ok || s.DensityPerUnit != 0.5 || s.MeanUndercoolingK != 20 || s.SpreadK != 2 ||
		c.Nuclei.Side != nil || c.Nuclei.Bottom != nil {
		t.Errorf("nuclei %+v", c.Nuclei)
	}
	if r := c.GrowthA.Rate(10); math.Abs(r-0.134) > 1e-12 {
		t.Errorf("a grows %g mm/h at 10 K, wanted 0.134", r)
	}
	if r := c.GrowthC.Rate(20); math.Abs(r-0.5) > 1e-12 {
		t.Errorf("c grows %g mm/h at 20 K, wanted 0.5, half way in its table", r)
	}
	s := c.Seeds[0]
	if s.AtMM != [2]float64{1, -2} || s.SizeMM != [2]float64{2, 3} || s.TurnDeg != 10 || s.TiltDeg != 5 ||
		s.TiltTowardDeg != 90 || s.TurnSDDeg != 1 || s.TiltSDDeg != 2 {
		t.Errorf("seed %+v", s)
	}
	// start at 25 °C is 985 K of undercooling; 1045 °C is −35 K; 10.2 h up, 55 h down
	k := c.Programme.Knots
	if len(k) != 3 || k[0].UndercoolingK != 985 || k[1].UndercoolingK != -35 || math.Abs(k[1].TimeH-10.2) > 1e-12 ||
		math.Abs(k[2].TimeH-65.2) > 1e-12 {
		t.Errorf("programme %+v", k)
	}
}

func TestOffsets(t *testing.T) {
	d := draft(t, base+"[[seed]]\nsize_mm = [2, 2]\n[gradient]\nvertical_K_per_mm = 0.5\nradial_K_per_mm = 0.1")
	// coldest at the middle of the bottom, −0.5·8 K; hottest at the corners of the top, 0.1·√200 K
	if math.Abs(d.LowestK+4) > 1e-12 || math.Abs(d.HighestK-0.1*math.Sqrt(200)) > 1e-12 {
		t.Errorf("offsets %g to %g, wanted −4 to %g", d.LowestK, d.HighestK, 0.1*math.Sqrt(200))
	}
}

func TestArrays(t *testing.T) {
	at := func(array string) [][3]float64 {
		var out [][3]float64
		for _, s := range draft(t, base+"[[seed_array]]\nsize_mm = [1, 1]\n"+array).Case.Seeds {
			out = append(out, [3]float64{s.AtMM[0], s.AtMM[1], s.TurnDeg})
		}
		return out
	}
	for array, want := range map[string][][3]float64{
		"kind = \"ring\"\ncount = 4\nradius_mm = 6": {{6, 0, 0}, {0, 6, 0},
			{-6, 0, 0}, {0, -6, 0}},
		"kind = \"ring\"\ncount = 4\nradius_mm = 6\nturn = \"radial\"\nturn_deg = 5\nat_mm = [1, 2]": {{7, 2, 5}, {1, 8, 95},
			{-5, 2, 185}, {1, -4, 275}},
		"kind = \"row\"\ncount = 3\npitch_mm = [3, 1]": {{-3, -1, 0}, {0, 0, 0},
			{3, 1, 0}},
		"kind = \"grid\"\nrows = 2\ncolumns = 3\npitch_mm = [4, 5]\nturn_deg = 45": {{-4, -2.5, 45},
			{0, -2.5, 45}, {4, -2.5, 45}, {-4, 2.5, 45}, {0, 2.5, 45}, {4, 2.5, 45}},
	} {
		got := at(array)
		if len(got) != len(want) {
			t.Errorf("%s: %d seeds, wanted %d", array, len(got), len(want))
			continue
		}
		for i := range want {
			if got[i] != want[i] {
				t.Errorf("%s: seed %d is %v, wanted %v", array, i+1, got[i], want[i])
			}
		}
	}
}

// The cell that is suggested for a body too large for the memory must fit, and be no coarser than
// needed by more than a tenth or so.
func TestSuggestedCellFits(t *testing.T) {
	number := regexp.MustCompile(`cells of ([0-9.e-]+) mm would fit`)
	for _, memory := range []int64{1e6, 3e7, 1e9, 64e9} {
		for _, cell := range []string{"0.4", "0.1", "0.01", "1e-5"} {
			text := strings.Replace(base, "cell_mm = 0.5", "cell_mm = "+cell, 1) + "[[seed]]\nsize_mm = [4, 4]"
			c := &Converter{Memory: memory}
			_, found := c.Draft(document(t, text))
			if len(found) == 0 {
				continue
			}
			m := number.FindStringSubmatch(found[0].Hint)
			if m == nil {
				t.Fatalf("no suggestion in %v", found)
			}
			if _, again := c.Draft(document(t, strings.Replace(text, "cell_mm = "+cell, "cell_mm = "+m[1], 1))); len(again) > 0 {
				t.Errorf("%d bytes: %s mm was suggested: %v", memory, m[1], again)
			}
			fits, _ := strconv.ParseFloat(m[1], 64)
			finer := strings.Replace(text, "cell_mm = "+cell, fmt.Sprintf("cell_mm = %g", 0.85*fits), 1)
			if _, refused := c.Draft(document(t, finer)); len(refused) == 0 {
				t.Errorf("%d bytes: %s mm was suggested, and a cell of 0.85 times that fits as well", memory, m[1])
			}
		}
	}
}

func picture(t *testing.T, w, h int, body func(x, y int) bool) []byte {
	t.Helper()
	img := image.NewNRGBA(image.Rect(3, 5, 3+w, 5+h)) // bounds need not start at 0
	for y := range h {
		for x := range w {
			c := color.NRGBA{255, 255, 255, 255}
			if body(x, y) {
				c = color.NRGBA{20, 30, 40, 255}
			} else if (x+y)%2 == 0 {
				c = color.NRGBA{0, 0, 0, 0} // transparent is not body
			}
			img.SetNRGBA(3+x, 5+y, c)
		}
	}
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestMask(t *testing.T) {
	text := strings.Replace(base, "shape = \"block\"\nsize_mm = [20, 20, 8]",
		"shape = \"mask\"\nfile = \"x.png\"\nmm_per_pixel = 0.5\nheight_mm = 8", 1)
	c := new(Converter)
	data := picture(t, 40, 20, func(x, y int) bool { return x >= 20 || y < 10 })
	if text, err := c.SetOutline(data); err != nil || !strings.HasPrefix(text, "outline ") {
		t.Fatal(text, err)
	}
	// 20 × 10 mm; the left half of the near side is missing
	for at, ok := range map[string]bool{"[5, 0]": true, "[-5, 2.5]": true, "[-5, -2.5]": false, "[0, 0]": false,
		"[9.5, 0]": false} {
		got, found := c.Case(document(t, text+"[[seed]]\nsize_mm = [2, 2]\nat_mm = "+at))
		if (len(found) == 0) != ok {
			t.Errorf("a seed at %s: %v, wanted it to be right: %v", at, found, ok)
		}
		if ok && (got.Grid.Cells() != 600*16 || got.Grid.N != [3]int{40, 20, 16}) {
			t.Errorf("%d cells in %v, wanted 9600", got.Grid.Cells(), got.Grid.N)
		}
	}
}

// Variants of one body share its grid.
func TestGridsAreShared(t *testing.T) {
	c := new(Converter)
	d := document(t, base+"[[seed]]\nsize_mm = [2, 2]")
	one, found := c.Case(d)
	if len(found) > 0 {
		t.Fatal(found.Err())
	}
	e, _ := d.With([]string{"schedule.stage.2.rate_K_per_h"}, []any{0.5})
	two, _ := c.Case(e)
	f, _ := d.With([]string{"body.cell_mm"}, []any{0.4})
	three, _ := c.Case(f)
	if one.Grid != two.Grid || one.Grid == three.Grid || three.Grid.CellMM != 0.4 {
		t.Error("wanted one grid for one body, another for another")
	}
}

// Every base study of the invalid ones converts; what they check in detail stands there.
func TestPlanes(t *testing.T) {
	for name, want := range map[string][3]int{"section": {100, 1, 30}, "above": {100, 100, 1}, "own": {48, 1, 16}} {
		data, err := os.ReadFile(filepath.Join("../../testdata/invalid/base", name+".toml"))
		if err != nil {
			t.Fatal(err)
		}
		text := strings.Replace(string(data), `base = "Y123, air"`, "peritectic_C = 1010\n[material.growth_a]\nlaw = "+
			"\"power\"\nrate_at_10K_mm_per_h = 0.1\nexponent = 2\n[material.growth_c]\nlaw = \"power\"\nrate_at_10K_mm_per_h "+
			"= 0.1\nexponent = 2", 1)
		c, found := new(Converter).Case(document(t, text))
		if len(found) > 0 {
			t.Fatal(found.Err())
		}
		if c.Grid.N != want {
			t.Errorf("%s: %v cells, wanted %v", name, c.Grid.N, want)
		}
	}
}

// TestRoundedBodies compares what the warning says with the grid itself.
func TestRoundedBodies(t *testing.T) {
	for _, c := range []struct {
		size, cell string
		want       string  // part of the warning, empty for none
		fits       float64 // suggested cell, 0 for none
	}{
		{"20, 20, 8", "0.5", "", 0},
		{"20, 20, 8", "0.1", "", 0}, // 8 / 0.1 is not whole in binary
		{"20, 20, 8", "0.3", "20 mm along x become 20.1 mm, 67 cells; 20 mm along y become 20.1 mm, 67 cells; 8 mm along z " +
			"become 8.1 mm, 27 cells", 0.25},
		{"20, 20, 8.1", "0.5", "8.1 mm along z become 8 mm, 16 cells", 0},
		{"20, 20, 8.0123", "0.5", "8.0123 mm along z become 8 mm, 16 cells", 0},
	} {
		text := strings.NewReplacer("20, 20, 8", c.size, "cell_mm = 0.5", "cell_mm = "+c.cell).Replace(base)
		d := document(t, text)
		k := new(Converter)
		dr, _ := k.Draft(d)
		warning := strings.Join(dr.Warnings, "\n")
		if (c.want == "") != (warning == "") || !strings.Contains(warning, c.want) {
			t.Errorf("%s in cells of %s: warned %q, wanted %q", c.size, c.cell, warning, c.want)
		}
		fits := fmt.Sprintf("cell_mm = %g fits", c.fits)
		if strings.Contains(warning, "fits") != (c.fits > 0) || c.fits > 0 && !strings.HasSuffix(warning, fits) {
			t.Errorf("%s in cells of %s: wanted %s; %s", c.size, c.cell, fits, warning)
		}
		real, found := k.Case(d)
		if len(found) > 0 || real.Grid.N != [3]int{dr.Body.Count(0), dr.Body.Count(1), dr.Body.Count(2)} {
			t.Errorf("%s in cells of %s: the grid has %v cells (%v)", c.size, c.cell, real.Grid.N, found)
		}
	}
}
