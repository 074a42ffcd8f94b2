package scene

import (
	"image/color"
	"math"
	"slices"
	"strings"
	"testing"

	"onegrain/analysis/chart/tint"
)

// Rays are followed to places whose faces are known: the top, the two cuts through the seed, the
// outside, and past the body.
func TestRaysMeetTheFacesTheyShould(t *testing.T) {
	k, _ := composed(t, "grains", puck(0.5, 0), Sheet{})
	e := newCamera(k) // 48 × 48 × 16 cells, seed in the middle
	back := vector{-e.toward[0], -e.toward[1], -e.toward[2]}
	from := func(p vector) vector { return p.along(e.toward, (16-p[2])/e.toward[2]) }
	for _, c := range []struct {
		at   vector
		want face
	}{
		{vector{12, 30, 16}, topFace}, {vector{24, 8, 5}, cutXFace}, {vector{40, 24, 5}, cutYFace},
		{vector{22, 0, 6}, sideFace}, {vector{60, -20, 8}, noFace},
	} {
		p, f := e.meet(from(c.at), back)
		way := p.along(c.at, -1)
		far := math.Sqrt(way.dot(way))
		if f != c.want || f != noFace && far > 1.2 {
			t.Errorf("the ray to %v meets face %d at %v, wanted face %d", c.at, f, p, c.want)
		}
	}
	if _, f := e.meet(from(vector{36, 12, 16}), back); f == topFace {
		t.Error("canary: the quarter that is cut out has a top")
	}
}

func TestCornerShowsSectorsAndStrays(t *testing.T) {
	_, s := composed(t, "corner-sectors", puck(0.5, 3), Sheet{Title: "Puck"})
	at := func(c color.RGBA) int { return pixels(s, c) }
	for face, want := range map[int]int{0: 3000, 1: 3000, 2: 3000, 3: 3000} { // seen on the top in their full colour
		if n := at(tint.Sectors()[face].Color()); n < want {
			t.Errorf("sector %d covers %d pixels, wanted %d at least", face, n, want)
		}
	}
	cut := tint.Sectors()[5].Color()
	for _, part := range []*uint8{&cut.R, &cut.G, &cut.B} {
		*part = uint8(0.86 * float64(*part))
	}
	if n := at(cut); n < 3000 {
		t.Errorf("the −c sector covers %d pixels of the cut", n)
	}
	if !strings.HasPrefix(s.Alt, "Puck: Growth sectors, seen from a corner") || !strings.Contains(s.Alt, "c sectors") {
		t.Errorf("text alternative %q", s.Alt)
	}
	_, grains := composed(t, "corner", puck(0.5, 3), Sheet{})
	stray := tint.Strays()[0].Color()
	legend := int(swatchWidth * swatchHeight * DotsPerPoint * DotsPerPoint)
	if n := pixels(grains, stray); n < legend+500 {
		t.Errorf("strays cover %d pixels", n)
	}
	if n := pixels(grains, tint.Sectors()[5].Color()); n > 0 {
		t.Errorf("canary: %d pixels of a sector in a picture of grains", n)
	}
}

// pixels counts those of a colour in the areas of a scene.
func pixels(s *Scene, want color.RGBA) (n int) {
	for _, i := range s.Items {
		for p := 0; i.Pixels != nil && p < len(i.Pixels.Pix); p += 4 {
			if [3]uint8(i.Pixels.Pix[p:]) == [3]uint8{want.R, want.G, want.B} {
				n++
			}
		}
	}
	return n
}

func TestOddBodiesFromACorner(t *testing.T) {
	fields := odd()
	for _, name := range []string{"no body at all", "a needle", "plane", "section"} {
		c := fields[name]
		_, err := Make([]string{"corner-sectors", "corner"}[len(name)%2], c, Sheet{Title: name}, measure)
		flat := c.Flat >= 0
		if flat != (err != nil) || flat && !strings.Contains(err.Error(), "cannot be seen from a corner") {
			t.Errorf("%s (flat axis %d): error %v", name, c.Flat, err)
		}
	}
}

func TestBoundariesTakeTheColourOfTheirAngle(t *testing.T) {
	from := []nucleus{{at: [3]float64{-6, 0, 0.25}, halfMM: 1}, {at: [3]float64{0, 0, 0.25}, halfMM: 1},
		{at: [3]float64{6, 0, 0.25}, halfMM: 1}}
	c := grownField([3]int{48, 24, 1}, 0.5, 2, everywhere, from)
	s := Sheet{JoinDeg: 5, AngleDeg: func(p, q int32) float64 { return map[int32]float64{0: 3, 1: 60}[p] }}
	k, made := composed(t, "boundaries", c, s)
	img, alt := raster(made), made.Alt
	for _, at := range []struct {
		x    float64
		kind lineKind
	}{{-3, joined}, {3, s.angleKind(60)}} {
		x, y := spot(k, 0, at.x, 2)
		if !within(3, img, x, y, at.kind.style().ink.Color()) {
			t.Errorf("no boundary of kind %d at x = %v", at.kind, at.x)
		}
		if within(3, img, x, y, s.angleKind(30).style().ink.Color()) {
			t.Errorf("canary: a boundary of 30° stands at x = %v", at.x)
		}
	}
	if !strings.Contains(alt, "2 contacts of 3° to 60°, of which 1 within the joining angle of 5°") {
		t.Errorf("text alternative %q", alt)
	}
	for _, bad := range []Sheet{
		{JoinDeg: 5}, {JoinDeg: -1, AngleDeg: s.AngleDeg}, {JoinDeg: math.NaN(), AngleDeg: s.AngleDeg},
	} {
		_, err := Make("boundaries", c, bad, measure)
		if err == nil || !strings.Contains(err.Error(), "boundaries need AngleDeg") {
			t.Errorf("error %v", err)
		}
	}
}

func TestCutsShowThePlanesAskedFor(t *testing.T) {
	c := puck(0.5, 3)
	s := Sheet{Cuts: []Cut{{2, 4.1}, {1, -3}, {0, 11.9}}}
	shown := s.views(c, count{})
	for i, want := range []string{"Seen from above, z = 4.25 mm", "Vertical section, y = −2.75 mm",
		"Vertical section, x = 11.75 mm"} {
		if got := shown[i].caption(); got != want {
			t.Errorf("view %d is %q, wanted %q", i, got, want)
		}
	}
	if g, want := shown[2].grain(3, 5), c.Grain[c.at(47, 3, 5)]; g != want {
		t.Errorf("cell (3, 5) of the plane x = 11.75 mm is of grain %d, wanted %d", g, want)
	}
	for _, kind := range kinds()[:3] {
		k, err := compose(kind, c, s, measure)
		if err != nil {
			t.Fatal(err)
		}
		p := k.planned()
		_, _, high := k.legendSize(p.legendW)
		for i, b := range p.boxes {
			if p.legendY < b.y+b.h+axisBottom || b.x+b.w > p.width || p.legendY+high > p.height || p.width > widest+1 {
				t.Errorf("%s: view %d and legend are misplaced: %+v", k.heading, i, p)
			}
		}
	}
	for want, bad := range map[string]Sheet{
		"Cuts[0].AtMM along y = 13": {Cuts: []Cut{{1, 13}}}, "Cuts[0].Axis = 3": {Cuts: []Cut{{3, 0}}},
		"4 Cuts": {Cuts: make([]Cut, 4)},
	} {
		if _, err := Make("grains", c, bad, measure); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, wanted one with %q", err, want)
		}
	}
	if _, err := Make("grains", odd()["plane"], Sheet{Cuts: []Cut{{2, 0}}}, measure); err == nil ||
		!strings.Contains(err.Error(), "two-dimensional") {
		t.Errorf("error %v", err)
	}
}

// furnaceTold is a programme for the hand-made fields.
func furnaceTold() *Programme {
	return &Programme{TimeH: []float64{0, 10, 11, 12, 52}, UndercoolingK: []float64{985, -35, -35, 8, 28},
		PeritecticC: 1010}
}

func TestUndercoolingIsThatOfTheProgramme(t *testing.T) {
	g := furnaceTold()
	for at, want := range map[float64]float64{-1: 985, 0: 985, 12: 8, 32: 18, 52: 28, 99: 28, 10.5: -35} {
		if got := g.Undercooling(at); math.Abs(got-want) > 1e-12 {
			t.Errorf("%v K at %v h, wanted %v", got, at, want)
		}
	}
	if _, s := composed(t, "arrival", puck(1, 0), Sheet{Programme: g}); !slices.Contains(s.texts(), "20 h, 12.0 K") {
		t.Errorf("no contour of 20 h with its undercooling in %q", s.texts())
	}
	for want, bad := range map[string]*Programme{
		"0 times and 0": {}, "2 times and 1": {TimeH: []float64{1, 2}, UndercoolingK: []float64{1}},
		"TimeH = [1 0]":     {TimeH: []float64{1, 0}, UndercoolingK: []float64{1, 1}},
		"PeritecticC = NaN": {TimeH: []float64{1}, UndercoolingK: []float64{1}, PeritecticC: math.NaN()},
	} {
		if _, err := Make("arrival", puck(2, 0), Sheet{Programme: bad}, measure); err == nil ||
			!strings.Contains(err.Error(), want) {
			t.Errorf("error %v, wanted one with %q", err, want)
		}
	}
}

func TestTextAlternativesSayWhatIsSeen(t *testing.T) {
	c := puck(1, 0)
	for name, want := range map[string]string{
		"grains": "Puck: Grains, seen from above, z = 7.50 mm; vertical section, y = 0.50 mm. " +
			"1 seeded grain and no stray: the seeded ones are 100 % of the body, strays 0 %, liquid 0 %.",
		"arrival": "Puck: Arrival time, seen from above, z = 7.50 mm; vertical section, y = 0.50 mm. " +
			"The earliest cell was captured at 0.0 h, the last one at ",
	} {
		if _, s := composed(t, name, c, Sheet{Title: "Puck"}); !strings.HasPrefix(s.Alt, want) {
			t.Errorf("%s says %q; wanted %q", name, s.Alt, want)
		}
	}
	if got := (count{cells: 10000}).share(1); got != "less than 0.1 %" {
		t.Errorf("a little is %q", got)
	}
	if got := (count{cells: 10000}).share(9999); got != "more than 99.9 %" {
		t.Errorf("nearly all is %q", got)
	}
}
