package chart

import (
	"bytes"
	"encoding/base64"
	"encoding/xml"
	"errors"
	"image"
	"image/color"
	"image/png"
	"io"
	"maps"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/tint"
)

type drawer func(io.Writer, *Cells, Sheet) (string, error)

func drawers() map[string]drawer {
	borders := func(w io.Writer, c *Cells, s Sheet) (string, error) {
		s.JoinDeg, s.AngleDeg = 5, func(p, q int32) float64 { return float64((7*p + 11*q) % 98) }
		return Boundaries(w, c, s)
	}
	return map[string]drawer{"grains": Grains, "sectors": Sectors, "arrival": Arrival, "borders": borders}
}

func drawnPNG(t *testing.T, draw drawer, c *Cells, s Sheet) image.Image {
	t.Helper()
	var buf bytes.Buffer
	if _, err := draw(&buf, c, s); err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(&buf)
	if err != nil {
		t.Fatal(err)
	}
	return img
}

// spot is the pixel of a sheet at a place in mm of one of its views.
func spot(t *testing.T, k *picture, shown []*view, which int, atU, atV float64) (x, y int) {
	t.Helper()
	letters, err := paper.NewLetters()
	if err != nil {
		t.Fatal(err)
	}
	b, v := k.planned(shown, letters).boxes[which], shown[which]
	px := b.x + ((atU-v.u0)/v.cells.CellMM+0.5)*b.cell
	py := b.y + b.h - ((atV-v.v0)/v.cells.CellMM+0.5)*b.cell
	return int(px * paper.DotsPerPoint), int(py * paper.DotsPerPoint)
}

func rgba(img image.Image, x, y int) color.RGBA {
	r, g, b, _ := img.At(x, y).RGBA()
	return color.RGBA{uint8(r >> 8), uint8(g >> 8), uint8(b >> 8), 255}
}

// near tells whether one of the shades' colours stands within two pixels (dots and strokes are two pixels wide).
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
	img := drawnPNG(t, Sectors, c, Sheet{Title: "one grain"})
	shown := views(c, math.Inf(1))
	k := sectorPicture(c, Sheet{Title: "one grain"}, shown)
	for _, at := range []struct {
		view   int
		u, v   float64
		sector int
	}{{0, 8, 1, 0}, {0, -8, 1, 1}, {0, 1, 8, 2}, {0, 1, -8, 3}, {0, 0.3, 0.3, 6}, {1, 0.3, 2, 5}, {1, 10, 7, 0}, {1, -10, 7, 1}} {
		x, y := spot(t, k, shown, at.view, at.u, at.v)
		if got, want := rgba(img, x, y), tint.Sectors()[at.sector].Color(); got != want {
			t.Errorf("view %d at (%v, %v) mm is %v, wanted %v of sector %d", at.view, at.u, at.v, got, want, at.sector)
		}
	}
	x, y := spot(t, k, shown, 0, 11.5, 11.5)
	if got := rgba(img, x, y); got != (color.RGBA{255, 255, 255, 255}) {
		t.Errorf("outside the disc the sheet is %v, wanted white", got)
	}
}

func TestSectorBordersAreDrawn(t *testing.T) {
	c := puck(0.5, 0)
	img := drawnPNG(t, Sectors, c, Sheet{})
	shown := views(c, math.Inf(1))
	k := sectorPicture(c, Sheet{}, shown)
	x, y := spot(t, k, shown, 0, 5, 5.25) // a facet line runs along ⟨110⟩; cells on the diagonal itself belong to +a
	if !darker(img, x, y) {
		t.Errorf("no facet line at (5, 5.25) mm")
	}
	if x, y = spot(t, k, shown, 0, 5, 6.5); darker(img, x, y) {
		t.Errorf("canary: a facet line is also at (5, 6.5) mm")
	}
	const halfCell = 4                              // pixels, rounded up: the grid puts a slanting border no better than that
	x, y = spot(t, k, shown, 1, 5, 8-4*rateC/rateA) // tan α = R_c/R_a from the edge of the seed, 1 mm out
	if !within(halfCell, img, x, y, tint.Paper().Color()) {
		t.Errorf("no border of the c sector where R_c/R_a puts it")
	}
	x, y = spot(t, k, shown, 1, 5, 8-4*1.3*rateC/rateA)
	if within(halfCell, img, x, y, tint.Paper().Color()) {
		t.Errorf("canary: the border of the c sector is also where a wrong R_c would put it")
	}
}

// darker tells whether a pixel within two is darker than any sector: a thin line may cover no pixel whole.
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
	s := Sheet{AtH: 12}
	img := drawnPNG(t, Grains, c, s)
	shown := views(c, 12)
	k := grainPicture(c, s, shown)
	seeded, stray := shadeOf(tint.Seeded()[0]), shadeOf(tint.Strays()[0])
	x, y := spot(t, k, shown, 0, -5, 3)
	if got := rgba(img, x, y); got != seeded.ground {
		t.Errorf("seeded grain is %v, wanted %v", got, seeded.ground)
	}
	x, y = spot(t, k, shown, 0, 6, 1.5)
	grounds, strokes := near(img, x, y, stray.ground), near(img, x+2, y, stray.stroke) || near(img, x-2, y, stray.stroke)
	if !grounds || !strokes {
		t.Errorf("stray: ground %v, hatching %v, wanted both", grounds, strokes)
	}
	x, y = spot(t, k, shown, 0, 0, 11)
	if !near(img, x, y, tint.Liquid().Color()) {
		t.Errorf("what freezes after 12 h is %v, wanted liquid", rgba(img, x, y))
	}
	if k.heading != "Grains at 12.0 h" || k.legend[1].text != "stray grains (1 in the body)" {
		t.Errorf("heading %q, legend %q", k.heading, k.legend[1].text)
	}
}

func TestArrivalColoursFollowTheTime(t *testing.T) {
	c := puck(0.5, 0)
	img := drawnPNG(t, Arrival, c, Sheet{})
	shown := views(c, math.Inf(1))
	k := arrivalPicture(c, Sheet{}, shown)
	for _, at := range [][2]float64{{0.3, 0.3}, {4.2, 0.3}, {7.2, 3.3}, {-10.3, 0.7}} {
		u, v := int((at[0]+12)/0.5), int((at[1]+12)/0.5)
		x, y := spot(t, k, shown, 0, at[0], at[1])
		want := tint.Arrival((math.Floor(256*k.scale.share(shown[0].timeH(u, v))) + 0.5) / 256).Color()
		if k.scale.share(shown[0].timeH(u, v)) == 1 {
			want = tint.Arrival(255.5 / 256).Color()
		}
		if got := rgba(img, x, y); got != want && !near(img, x, y, want) {
			t.Errorf("at %v mm is %v, wanted %v", at, got, want)
		}
	}
	if len(k.contours) < 4 || k.scale.title == "" {
		t.Errorf("contours at %v, bar %q", k.contours, k.scale.title)
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
		"a bar":          grownField([3]int{200, 30, 24}, 0.5, -1, everywhere, []nucleus{{at: [3]float64{-20, 0, 11.75}, halfMM: 1}, {at: [3]float64{20, 0, 11.75}, halfMM: 1}}),
		"plane":          grownField([3]int{40, 40, 1}, 0.5, 2, disc(10), []nucleus{seed}),
		"section":        grownField([3]int{40, 1, 16}, 0.5, 1, everywhere, []nucleus{seed}),
	}
}

const longTitle = "A title that is much longer than any sheet is wide, with a unit s⁻¹, ΔT, ⟨110⟩ and " +
	"averyveryveryveryveryveryveryveryveryveryveryveryveryveryveryveryveryveryveryveryverylongword that no line can hold"

// Every field is drawn in all kinds as SVG, whose text is checked, and in one kind in turn as PNG.
func TestOddFieldsAreDrawn(t *testing.T) {
	fields, kinds := odd(), drawers()
	for i, name := range slices.Sorted(maps.Keys(fields)) {
		for j, kind := range slices.Sorted(maps.Keys(kinds)) {
			t.Run(name+", "+kind, func(t *testing.T) {
				t.Parallel()
				checkSVG(t, kinds[kind], fields[name])
				if i%len(kinds) != j {
					return
				}
				b := drawnPNG(t, kinds[kind], fields[name], Sheet{Title: longTitle, Note: "note"}).Bounds()
				if b.Dx() > paper.DotsPerPoint*widest+2 || b.Dx() < paper.DotsPerPoint*narrowest-2 || b.Dy() > 1400 {
					t.Errorf("sheet of %v", b)
				}
			})
		}
	}
}

func TestTheSameFieldGivesTheSameBytes(t *testing.T) {
	c := puck(1, 5)
	for kind, draw := range drawers() {
		for _, format := range []Format{PNG, SVG} {
			var first, second bytes.Buffer
			one, err := draw(&first, c, Sheet{Format: format})
			other, again := draw(&second, c, Sheet{Format: format})
			if err := errors.Join(err, again); err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(first.Bytes(), second.Bytes()) || one != other {
				t.Errorf("%s: two pictures of one field differ", kind)
			}
		}
	}
}

// written is an SVG as it is read back.
type written struct {
	ViewBox string `xml:"viewBox,attr"`
	Texts   []struct {
		X     float64 `xml:"x,attr"`
		Y     float64 `xml:"y,attr"`
		Style string  `xml:"style,attr"`
		Text  string  `xml:",chardata"`
	} `xml:"g>text"`
	Images []struct {
		X      float64 `xml:"x,attr"`
		Y      float64 `xml:"y,attr"`
		Width  float64 `xml:"width,attr"`
		Height float64 `xml:"height,attr"`
		Href   string  `xml:"href,attr"`
	} `xml:"g>image"`
}

func drawnSVG(t *testing.T, draw drawer, c *Cells, s Sheet) (doc written) {
	t.Helper()
	var buf bytes.Buffer
	s.Format = SVG
	if _, err := draw(&buf, c, s); err != nil {
		t.Fatal(err)
	}
	if err := xml.Unmarshal(buf.Bytes(), &doc); err != nil {
		t.Fatal(err)
	}
	return doc
}

// checkSVG reads an SVG as XML and finds every line of text and every area whole: inside the sheet,
// with no sign the typeface lacks.
func checkSVG(t *testing.T, draw drawer, c *Cells) {
	t.Helper()
	doc := drawnSVG(t, draw, c, Sheet{Title: longTitle, Note: longTitle, Programme: furnaceTold(), LowAngle: func(p, q int32) bool { return (p+q)%3 == 0 },
		Clear: Disc{[2]float64{1, 0.5}, 2}})
	letters, err := paper.NewLetters()
	if err != nil {
		t.Fatal(err)
	}
	box := strings.Fields(doc.ViewBox)
	width, height := number64(t, box[2]), number64(t, box[3])
	for _, line := range doc.Texts {
		size := number64(t, regexp.MustCompile(`font-size:([0-9.]+)px`).FindStringSubmatch(line.Style)[1])
		if end := line.X + letters.Width(size, line.Text); line.X < 0 || end > width {
			t.Errorf("%q runs from %.1f to %.1f on a sheet %v wide", line.Text, line.X, end, width)
		}
		if y := height + line.Y; y < size || y > height-0.2*size { // the canvas counts upwards
			t.Errorf("%q stands at %.1f on a sheet %v high", line.Text, y, height)
		}
		for _, r := range line.Text {
			if !letters.Has(r) {
				t.Errorf("the typeface lacks %q", r)
			}
		}
	}
	for _, area := range doc.Images {
		if area.X < 0 || area.X+area.Width > width+0.5 || math.Abs(area.Y) > height+0.5 || area.Height > height {
			t.Errorf("an area of %v × %v at (%v, %v) on a sheet of %v × %v", area.Width, area.Height, area.X, area.Y, width, height)
		}
		raw, err := base64.StdEncoding.DecodeString(strings.TrimPrefix(area.Href, "data:image/png;base64,"))
		if err != nil {
			t.Errorf("area: %v", err)
		}
		if _, err := png.DecodeConfig(bytes.NewReader(raw)); err != nil {
			t.Errorf("area: %v", err)
		}
	}
	if len(doc.Texts) < 8 || len(doc.Images) < 1 {
		t.Errorf("only %d texts and %d areas", len(doc.Texts), len(doc.Images))
	}
}
