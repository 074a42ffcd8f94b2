package chart

import (
	"bytes"
	"errors"
	"image"
	"image/color"
	"image/png"
	"io"
	"math"
	"strings"
	"testing"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/tint"
)

// cornerPNG is the picture from a corner.
func cornerPNG(t *testing.T, c *Cells, s Sheet, sectors bool) (image.Image, string) {
	t.Helper()
	var buf bytes.Buffer
	alt, err := Corner(&buf, c, s, sectors)
	if err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(&buf)
	if err != nil {
		t.Fatal(err)
	}
	return img, alt
}

// Rays are followed to places whose faces are known: the top, the two cuts through the seed, the outside, and past the body.
func TestRaysMeetTheFacesTheyShould(t *testing.T) {
	e := newEye(puck(0.5, 0), math.Inf(1)) // 48 × 48 × 16 cells, seed in the middle
	back := vector{-e.toward[0], -e.toward[1], -e.toward[2]}
	from := func(p vector) vector { return p.along(e.toward, (16-p[2])/e.toward[2]) }
	for _, c := range []struct {
		at   vector
		want face
	}{
		{vector{12, 30, 16}, topFace}, {vector{24, 8, 5}, cutXFace}, {vector{40, 24, 5}, cutYFace}, {vector{22, 0, 6}, sideFace}, {vector{60, -20, 8}, noFace},
	} {
		p, f := e.meet(from(c.at), back)
		far := math.Sqrt(vector{p[0] - c.at[0], p[1] - c.at[1], p[2] - c.at[2]}.dot(vector{p[0] - c.at[0], p[1] - c.at[1], p[2] - c.at[2]}))
		if f != c.want || f != noFace && far > 1.2 {
			t.Errorf("the ray to %v meets face %d at %v, wanted face %d", c.at, f, p, c.want)
		}
	}
	if _, f := e.meet(from(vector{36, 12, 16}), back); f == topFace {
		t.Error("canary: the quarter that is cut out has a top")
	}
}

func TestCornerShowsSectorsAndStrays(t *testing.T) {
	img, alt := cornerPNG(t, puck(0.5, 3), Sheet{Title: "Puck"}, true)
	at := func(c color.RGBA) int { return count(img.At, img.Bounds().Dx(), img.Bounds().Dy(), c) }
	for face, want := range map[int]int{0: 3000, 1: 3000, 2: 3000, 3: 3000} { // seen on the top in their full colour
		if n := at(tint.Sectors()[face].Color()); n < want {
			t.Errorf("sector %d covers %d pixels, wanted %d at least", face, n, want)
		}
	}
	if n := at(shadedBy(tint.Sectors()[5].Color(), 0.86)); n < 3000 {
		t.Errorf("the −c sector covers %d pixels of the cut", n)
	}
	if !strings.HasPrefix(alt, "Puck: Growth sectors, seen from a corner") || !strings.Contains(alt, "c sectors") {
		t.Errorf("text alternative %q", alt)
	}
	grains, _ := cornerPNG(t, puck(0.5, 3), Sheet{}, false)
	stray := tint.Strays()[0].Color()
	legend := int(swatchWidth * swatchHeight * paper.DotsPerPoint * paper.DotsPerPoint)
	if n := count(grains.At, grains.Bounds().Dx(), grains.Bounds().Dy(), stray); n < legend+500 {
		t.Errorf("strays cover %d pixels", n)
	}
	if n := count(grains.At, grains.Bounds().Dx(), grains.Bounds().Dy(), tint.Sectors()[5].Color()); n > 0 {
		t.Errorf("canary: %d pixels of a sector in a picture of grains", n)
	}
}

func TestOddBodiesFromACorner(t *testing.T) {
	fields := odd()
	for _, name := range []string{"no body at all", "a needle", "plane", "section"} {
		c := fields[name]
		var buf bytes.Buffer
		_, err := Corner(&buf, c, Sheet{Title: name, Format: SVG}, len(name)%2 == 0)
		if flat := c.Flat >= 0; flat != (err != nil) || flat && !strings.Contains(err.Error(), "cannot be seen from a corner") {
			t.Errorf("%s (flat axis %d): error %v", name, c.Flat, err)
		}
	}
	if _, err := Corner(&broken{10}, puck(2, 0), Sheet{}, false); !errors.Is(err, errFull) {
		t.Errorf("error %v", err)
	}
}

func TestBordersTakeTheColourOfTheirAngle(t *testing.T) {
	from := []nucleus{{at: [3]float64{-6, 0, 0.25}, halfMM: 1}, {at: [3]float64{0, 0, 0.25}, halfMM: 1}, {at: [3]float64{6, 0, 0.25}, halfMM: 1}}
	c := grownField([3]int{48, 24, 1}, 0.5, 2, everywhere, from)
	s := Sheet{JoinDeg: 5, AngleDeg: func(p, q int32) float64 { return map[int32]float64{0: 3, 1: 60}[p] }}
	var buf bytes.Buffer
	alt, err := Boundaries(&buf, c, s)
	if err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(&buf)
	if err != nil {
		t.Fatal(err)
	}
	shown := s.views(c)
	k := borderPicture(c, s, shown)
	for _, at := range []struct {
		x    float64
		kind lineKind
	}{{-3, joined}, {3, s.angleKind(60)}} {
		x, y := spot(t, k, shown, 0, at.x, 2)
		if !within(3, img, x, y, at.kind.color()) {
			t.Errorf("no border of kind %d at x = %v", at.kind, at.x)
		}
		if within(3, img, x, y, s.angleKind(30).color()) {
			t.Errorf("canary: a border of 30° stands at x = %v", at.x)
		}
	}
	if !strings.Contains(alt, "2 contacts of 3° to 60°, of which 1 within the joining angle of 5°") {
		t.Errorf("text alternative %q", alt)
	}
	for _, bad := range []Sheet{{JoinDeg: 5}, {JoinDeg: -1, AngleDeg: s.AngleDeg}, {JoinDeg: math.NaN(), AngleDeg: s.AngleDeg}} {
		if _, err := Boundaries(io.Discard, c, bad); err == nil || !strings.Contains(err.Error(), "Boundaries needs AngleDeg") {
			t.Errorf("error %v", err)
		}
	}
}

func TestCutsShowThePlanesAskedFor(t *testing.T) {
	c := puck(0.5, 3)
	s := Sheet{Cuts: []Cut{{2, 4.1}, {1, -3}, {0, 11.9}}}
	shown := s.views(c)
	for i, want := range []string{"Seen from above, z = 4.25 mm", "Vertical section, y = −2.75 mm", "Vertical section, x = 11.75 mm"} {
		if got := shown[i].caption(); got != want {
			t.Errorf("view %d is %q, wanted %q", i, got, want)
		}
	}
	if g, want := shown[2].grain(3, 5), c.Grain[c.at(47, 3, 5)]; g != want {
		t.Errorf("cell (3, 5) of the plane x = 11.75 mm is of grain %d, wanted %d", g, want)
	}
	letters, err := paper.NewLetters()
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range []*picture{grainPicture(c, s, shown), sectorPicture(c, s, shown), arrivalPicture(c, s, shown)} {
		p := k.planned(shown, letters)
		for i, b := range p.boxes {
			if p.legendY < b.y+b.h+axisBottom || b.x+b.w > p.width || p.legendY+k.legendHeight(letters, p.legendW) > p.height || p.width > widest+1 {
				t.Errorf("%s: view %d and legend are misplaced: %+v", k.heading, i, p)
			}
		}
	}
	for want, bad := range map[string]Sheet{
		"Cuts[0] at y = 13 mm": {Cuts: []Cut{{1, 13}}}, "Cuts[0].Axis = 3": {Cuts: []Cut{{3, 0}}}, "4 Cuts": {Cuts: make([]Cut, 4)},
	} {
		if _, err := Grains(io.Discard, c, bad); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, wanted one with %q", err, want)
		}
	}
	if _, err := Grains(io.Discard, odd()["plane"], Sheet{Cuts: []Cut{{2, 0}}}); err == nil || !strings.Contains(err.Error(), "two-dimensional") {
		t.Errorf("error %v", err)
	}
}

// furnaceTold is a programme for the hand-made fields.
func furnaceTold() *Programme {
	return &Programme{TimeH: []float64{0, 10, 11, 12, 52}, UndercoolingK: []float64{985, -35, -35, 8, 28}, PeritecticC: 1010}
}

func TestUndercoolingIsThatOfTheProgramme(t *testing.T) {
	g := furnaceTold()
	for at, want := range map[float64]float64{-1: 985, 0: 985, 12: 8, 32: 18, 52: 28, 99: 28, 10.5: -35} {
		if got := g.at(at); math.Abs(got-want) > 1e-12 {
			t.Errorf("%v K at %v h, wanted %v", got, at, want)
		}
	}
	if from, most := g.window(); from != 11 || most != 28 {
		t.Errorf("the melt is undercooled from %v h, by %v K at most; wanted 11 and 28", from, most)
	}
	k := arrivalPicture(puck(1, 0), Sheet{Programme: g}, views(puck(1, 0), math.Inf(1)))
	if got := k.hours(20); got != "20 h, 12.0 K" {
		t.Errorf("the contour of 20 h is labelled %q", got)
	}
	for want, bad := range map[string]*Programme{
		"0 times and 0": {}, "2 times and 1": {TimeH: []float64{1, 2}, UndercoolingK: []float64{1}}, "knot 1 is 0 h": {TimeH: []float64{1, 0}, UndercoolingK: []float64{1, 1}},
		"PeritecticC = NaN": {TimeH: []float64{1}, UndercoolingK: []float64{1}, PeritecticC: math.NaN()},
	} {
		if _, err := Arrival(io.Discard, puck(2, 0), Sheet{Programme: bad}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, wanted one with %q", err, want)
		}
	}
}

func TestTextAlternativesSayWhatIsSeen(t *testing.T) {
	c := puck(1, 0)
	for name, want := range map[string]string{
		"grains":  "Puck: Grains, seen from above, z = 7.50 mm; vertical section, y = 0.50 mm. 1 seeded grain and No stray: the seeded ones are 100 % of the body, strays 0 %, liquid 0 %.",
		"arrival": "Puck: Arrival time, seen from above, z = 7.50 mm; vertical section, y = 0.50 mm. The earliest cell was captured at 0.0 h, the last one at ",
	} {
		alt, err := drawers()[name](io.Discard, c, Sheet{Title: "Puck"})
		if err != nil || !strings.HasPrefix(alt, strings.Replace(want, "No stray", "no stray", 1)) {
			t.Errorf("%s says %q, %v; wanted %q", name, alt, err, want)
		}
	}
	if got := (census{cells: 10000, inStray: 1}).share(1); got != "less than 0.1 %" {
		t.Errorf("a little is %q", got)
	}
	if got := (census{cells: 10000}).share(9999); got != "more than 99.9 %" {
		t.Errorf("nearly all is %q", got)
	}
}
