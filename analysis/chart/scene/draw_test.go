package scene

import (
	"image"
	"image/color"
	"maps"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"golang.org/x/image/font/sfnt"

	"onegrain/analysis/chart/tint"
)

// spot is the pixel of a sheet at a place in mm of one of its views.
func spot(k *picture, which int, atU, atV float64) (x, y int) {
	b, v := k.plan.boxes[which], k.views[which]
	px := b.x + ((atU-v.u.firstMM)/v.cells.CellMM+0.5)*b.cell
	py := b.y + b.h - ((atV-v.v.firstMM)/v.cells.CellMM+0.5)*b.cell
	return int(px * DotsPerPoint), int(py * DotsPerPoint)
}

func rgba(img image.Image, x, y int) color.RGBA {
	r, g, b, _ := img.At(x, y).RGBA()
	return color.RGBA{uint8(r >> 8), uint8(g >> 8), uint8(b >> 8), 255}
}

// near tells whether one of the shades' colours stands within two pixels (dots and strokes are two
// pixels wide).
func near(img image.Image, x, y int, want color.RGBA) bool { return within(2, img, x, y, want) }

// within tells whether a colour stands within some pixels.
func within(pixels int, img image.Image, x, y int, want color.RGBA) bool {
	for dy := -pixels; dy <= pixels; dy++ {
		for dx := -pixels; dx <= pixels; dx++ {
			if rgba(img, x+dx, y+dy) == want {
				return true
			}
		}
	}
	return false
}

func TestSectorsHaveTheirColoursWhereTheyBelong(t *testing.T) {
	c := puck(0.5, 0)
	k, s := composed(t, "sectors", c, Sheet{Title: "one grain"})
	img := raster(s)
	for _, at := range []struct {
		view   int
		u, v   float64
		sector int
	}{{0, 8, 1, 0}, {0, -8, 1, 1}, {0, 1, 8, 2}, {0, 1, -8, 3}, {0, 0.3, 0.3, 6}, {1, 0.3, 2, 5}, {1, 10, 7, 0}, {1, -10,
		7, 1}} {
		x, y := spot(k, at.view, at.u, at.v)
		if got, want := rgba(img, x, y), tint.Sectors()[at.sector].Color(); got != want {
			t.Errorf("view %d at (%v, %v) mm is %v, wanted %v of sector %d", at.view, at.u, at.v, got, want, at.sector)
		}
	}
	x, y := spot(k, 0, 11.5, 11.5)
	if got := rgba(img, x, y); got != (color.RGBA{255, 255, 255, 255}) {
		t.Errorf("outside the disc the sheet is %v, wanted white", got)
	}
}

func TestSectorBoundariesAreDrawn(t *testing.T) {
	c := puck(0.5, 0)
	k, s := composed(t, "sectors", c, Sheet{})
	img := raster(s)
	x, y := spot(k, 0, 5, 5.25) // a facet line runs along ⟨110⟩; cells on the diagonal itself belong to +a
	if !darker(img, x, y) {
		t.Errorf("no facet line at (5, 5.25) mm")
	}
	if x, y = spot(k, 0, 5, 6.5); darker(img, x, y) {
		t.Errorf("canary: a facet line is also at (5, 6.5) mm")
	}
	const halfCell = 4                    // pixels, rounded up: the grid puts a slanting boundary no better than that
	x, y = spot(k, 1, 5, 8-4*rateC/rateA) // tan α = R_c/R_a from the edge of the seed, 1 mm out
	if !within(halfCell, img, x, y, tint.Paper().Color()) {
		t.Errorf("no boundary of the c sector where R_c/R_a puts it")
	}
	x, y = spot(k, 1, 5, 8-4*1.3*rateC/rateA)
	if within(halfCell, img, x, y, tint.Paper().Color()) {
		t.Errorf("canary: the boundary of the c sector is also where a wrong R_c would put it")
	}
}

// darker tells whether a pixel within two is darker than any sector: a thin line may cover no pixel
// whole.
func darker(img image.Image, x, y int) bool {
	for dy := -2; dy <= 2; dy++ {
		for dx := -2; dx <= 2; dx++ {
			if c := rgba(img, x+dx, y+dy); int(c.R)+int(c.G)+int(c.B) < 150 {
				return true
			}
		}
	}
	return false
}

func TestGrainsSetStraysAndLiquidApart(t *testing.T) {
	from := []nucleus{{at: [3]float64{-5, 0, 0.25}, halfMM: 1}, {at: [3]float64{6, 0, 0.25}, bornH: 5}}
	c := grownField([3]int{48, 48, 1}, 0.5, 2, everywhere, from)
	k, s := composed(t, "grains", c, Sheet{AtH: 12})
	img := raster(s)
	seeded, stray := shadeOf(tint.Seeded()[0]), shadeOf(tint.Strays()[0])
	x, y := spot(k, 0, -5, 3)
	if got := rgba(img, x, y); got != seeded.fill {
		t.Errorf("seeded grain is %v, wanted %v", got, seeded.fill)
	}
	x, y = spot(k, 0, 6, 1.5)
	grounds, strokes := near(img, x, y, stray.fill), near(img, x+2, y, stray.stroke) || near(img, x-2, y, stray.stroke)
	if !grounds || !strokes {
		t.Errorf("stray: ground %v, hatching %v, wanted both", grounds, strokes)
	}
	x, y = spot(k, 0, 0, 11)
	if !near(img, x, y, tint.Liquid().Color()) {
		t.Errorf("what freezes after 12 h is %v, wanted liquid", rgba(img, x, y))
	}
	if k.heading != "Grains at 12.0 h" || k.legend[1].text != "stray grains (1 in the body)" {
		t.Errorf("heading %q, legend %q", k.heading, k.legend[1].text)
	}
}

func TestArrivalColoursFollowTheTime(t *testing.T) {
	c := puck(0.5, 0)
	k, s := composed(t, "arrival", c, Sheet{})
	img := raster(s)
	for _, at := range [][2]float64{{0.3, 0.3}, {4.2, 0.3}, {7.2, 3.3}, {-10.3, 0.7}} {
		u, v := int((at[0]+12)/0.5), int((at[1]+12)/0.5)
		x, y := spot(k, 0, at[0], at[1])
		want := tint.Arrival((math.Floor(256*k.bar.share(k.views[0].timeH(u, v))) + 0.5) / 256).Color()
		if k.bar.share(k.views[0].timeH(u, v)) == 1 {
			want = tint.Arrival(255.5 / 256).Color()
		}
		if got := rgba(img, x, y); got != want && !near(img, x, y, want) {
			t.Errorf("at %v mm is %v, wanted %v", at, got, want)
		}
	}
	if len(k.contours) < 4 || k.bar.Title == "" {
		t.Errorf("contours at %v, bar %q", k.contours, k.bar.Title)
	}
}

// odd are the fields that break careless drawing.
func odd() map[string]*Cells {
	seed := nucleus{at: [3]float64{0, 0, 1}, halfMM: 1}
	r := rand.New(rand.NewPCG(1, 2))
	var crowd []nucleus
	for i := range 300 {
		crowd = append(crowd, nucleus{at: [3]float64{30*r.Float64() - 15, 30*r.Float64() - 15, 4 * r.Float64()},
			bornH: 5 * r.Float64(), turnDeg: 90 * r.Float64(), halfMM: 0.5 * float64(i%2)})
	}
	return map[string]*Cells{
		"all liquid":     grownField([3]int{20, 20, 5}, 0.5, -1, disc(5), nil),
		"no body at all": grownField([3]int{4, 4, 4}, 0.5, -1, disc(0), nil),
		"one cell":       grownField([3]int{1, 1, 1}, 2, -1, everywhere, []nucleus{seed}),
		"one cell plane": grownField([3]int{1, 1, 1}, 2, 2, everywhere, []nucleus{seed}),
		"two cells":      grownField([3]int{2, 1, 1}, 2, 1, everywhere, []nucleus{seed}),
		"one stray":      grownField([3]int{20, 20, 8}, 0.5, -1, everywhere, []nucleus{{bornH: 3}}),
		"300 grains":     grownField([3]int{60, 60, 3}, 0.5, -1, everywhere, crowd),
		"a needle":       grownField([3]int{2, 2, 200}, 0.5, -1, everywhere, []nucleus{seed}),
		"a sheet":        grownField([3]int{400, 3, 1}, 0.5, -1, everywhere, []nucleus{seed}),
		"a bar": grownField([3]int{200, 30, 24}, 0.5, -1, everywhere, []nucleus{{at: [3]float64{-20, 0, 11.75},
			halfMM: 1}, {at: [3]float64{20, 0, 11.75}, halfMM: 1}}),
		"plane":   grownField([3]int{40, 40, 1}, 0.5, 2, disc(10), []nucleus{seed}),
		"section": grownField([3]int{40, 1, 16}, 0.5, 1, everywhere, []nucleus{seed}),
	}
}

const longTitle = "A title that is much longer than any sheet is wide, with a unit s⁻¹, ΔT, ⟨110⟩ and " +
	"averyveryveryveryveryveryveryveryveryveryveryveryveryveryveryveryveryveryveryveryverylongword that no line can hold"

func TestOddFieldsAreDrawn(t *testing.T) {
	fields := odd()
	for _, name := range slices.Sorted(maps.Keys(fields)) {
		for _, kind := range kinds() {
			t.Run(name+", "+kind, func(t *testing.T) {
				checkItems(t, kind, fields[name])
			})
		}
	}
}

// checkItems finds every line of text and every area whole: inside the sheet, with no sign the
// typeface lacks, and all that is left of a line.
func checkItems(t *testing.T, kind string, c *Cells) {
	t.Helper()
	_, s := composed(t, kind, c, withAngles(Sheet{Title: longTitle, Note: longTitle, Programme: furnaceTold(),
		LowAngle: func(p, q int32) bool { return (p+q)%3 == 0 }, Clear: Disc{[2]float64{1, 0.5}, 2}}))
	if s.Width > widest+1 || s.Width < narrowest || s.Height > 720 {
		t.Errorf("sheet of %v × %v", s.Width, s.Height)
	}
	inside := func(what any, x, y, w, h float64) {
		if x < 0 || y < 0 || x+w > s.Width+0.5 || y+h > s.Height+0.5 {
			t.Errorf("%v of %.1f × %.1f at (%.1f, %.1f) leaves a sheet of %v × %v", what, w, h, x, y, s.Width, s.Height)
		}
	}
	texts, areas := 0, 0
	for _, i := range s.Items {
		switch wide := measure(i.Size, i.Text); {
		case i.Pixels != nil:
			areas++
			inside("an area", i.At[0], i.At[1], float64(i.Pixels.Rect.Dx())/2, float64(i.Pixels.Rect.Dy())/2)
		case i.Lines != nil || i.Shape != nil:
			for _, line := range append(i.Lines, i.Shape) {
				for _, at := range line {
					inside("a place", at[0], at[1], 0, 0)
				}
			}
		case i.Upward:
			inside(i.Text, i.At[0]-i.Size, i.At[1]-wide/2, 1.2*i.Size, wide)
		default:
			texts++
			inside(i.Text, i.At[0]-i.Align*wide, i.At[1]-i.Size, wide, 1.2*i.Size)
		}
		for _, r := range i.Text {
			var buf sfnt.Buffer
			if glyph, err := typeface().GlyphIndex(&buf, r); err != nil || glyph == 0 {
				t.Errorf("the typeface lacks %q", r)
			}
		}
	}
	if texts < 8 || areas < 1 {
		t.Errorf("only %d texts and %d areas", texts, areas)
	}
}

// TestTheSameFieldGivesTheSameScene: maps are looked up, never walked through.
func TestTheSameFieldGivesTheSameScene(t *testing.T) {
	for _, kind := range kinds() {
		_, one := composed(t, kind, puck(1, 5), withAngles(Sheet{}))
		_, other := composed(t, kind, puck(1, 5), withAngles(Sheet{}))
		if !reflect.DeepEqual(one, other) {
			t.Errorf("%s: two pictures of one field differ", kind)
		}
	}
}
