package chart

import (
	"bytes"
	"encoding/base64"
	"encoding/xml"
	"errors"
	"image/gif"
	"image/png"
	"io"
	"math"
	"slices"
	"strings"
	"testing"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/scene"
	"onegrain/analysis/chart/tint"
)

// field is a body made by hand: a seeded grain from the middle of the top, and a stray from one
// corner; the first layer along x is not of the body.
func field(n [3]int, cellMM float64, flat int) *scene.Cells {
	axes := [9]float64{1, 0, 0, 0, 1, 0, 0, 0, 1}
	c := &scene.Cells{N: n, CellMM: cellMM, Flat: flat, Grains: []scene.Grain{
		{Seeded: true, Origin: "seed", Axes: axes, SizeMM: [2]float64{2, 2}, AtMM: [3]float64{
			cellMM * float64(n[0]) / 2, cellMM * float64(n[1]) / 2, cellMM * float64(n[2]-1)}},
		{Origin: "side", Axes: axes}}}
	for i := range n[0] * n[1] * n[2] {
		at := [3]float64{float64(i % n[0]), float64(i / n[0] % n[1]), float64(i / n[0] / n[1])}
		grain, timeH := int32(0), [2]float64{}
		for g, from := range c.Grains {
			for axis, x := range at {
				timeH[g] = math.Max(timeH[g], 3*math.Abs(x*cellMM-from.AtMM[axis]))
			}
		}
		if timeH[1]+12 < timeH[0] {
			grain, timeH[0] = 1, timeH[1]+12
		}
		if at[0] == 0 {
			grain = -2
		}
		c.Grain, c.Sector, c.TimeH = append(c.Grain, grain), append(c.Sector, uint8(i%7)), append(c.TimeH, float32(timeH[0]))
	}
	return c
}

func sheet(format paper.Format) (s Sheet) {
	s.Title, s.JoinDeg, s.AngleDeg = "A body", 5, func(_, _ int32) float64 { return 40 }
	s.Format = format
	return s
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

// TestPicturesAreWritten: a scene comes out whole in both formats, the same each time; the text
// alternative is that of the scene.
func TestPicturesAreWritten(t *testing.T) {
	c := field([3]int{24, 20, 8}, 1, -1)
	letters, err := paper.NewLetters()
	if err != nil {
		t.Fatal(err)
	}
	for _, kind := range []string{"grains", "arrival", "boundaries", "corner-sectors"} {
		made, err := scene.Make(kind, c, sheet(paper.PNG).Sheet, letters.Width)
		if err != nil {
			t.Fatal(err)
		}
		for _, format := range []paper.Format{paper.PNG, paper.SVG} {
			if format == paper.PNG && kind == "corner-sectors" {
				continue // a second each
			}
			var first, again bytes.Buffer
			alt, err := Draw(&first, kind, c, sheet(format))
			_, other := Draw(&again, kind, c, sheet(format))
			if err := errors.Join(err, other); err != nil || alt != made.Alt || !bytes.Equal(first.Bytes(), again.Bytes()) {
				t.Errorf("%s: %q, error %v, the same bytes: %v", kind, alt, err, bytes.Equal(first.Bytes(), again.Bytes()))
			}
			if format == paper.SVG {
				checkSVG(t, first.Bytes(), made, letters)
			} else if size, err := png.DecodeConfig(&first); err != nil || size.Width != int(2*made.Width) ||
				size.Height != int(2*made.Height) {
				t.Errorf("%s: a PNG of %d × %d for a sheet of %v × %v; %v", kind, size.Width, size.Height, made.Width, made.Height,
					err)
			}
		}
	}
}

// checkSVG reads an SVG as XML and finds every text and every area of a scene.
func checkSVG(t *testing.T, svg []byte, made *scene.Scene, letters paper.Letters) {
	t.Helper()
	var doc written
	if err := xml.Unmarshal(svg, &doc); err != nil {
		t.Fatal(err)
	}
	texts, areas := 0, 0
	for _, i := range made.Items {
		switch {
		case i.Pixels != nil:
			area := doc.Images[areas]
			raw, err := base64.StdEncoding.DecodeString(strings.TrimPrefix(area.Href, "data:image/png;base64,"))
			if _, bad := png.Decode(bytes.NewReader(raw)); err != nil || bad != nil ||
				2*area.Width != float64(i.Pixels.Rect.Dx()) {
				t.Errorf("area %d is %v wide: %v, %v", areas, area.Width, err, bad)
			}
			areas++
		case i.Lines == nil && i.Shape == nil && !i.Upward: // what runs upwards stands deeper
			x := i.At[0] - i.Align*letters.Width(i.Size, i.Text)
			if got := doc.Texts[texts]; got.Text != i.Text || math.Abs(got.X-x) > 0.1 {
				t.Errorf("text %d is %q at %v, wanted %q at %v", texts, got.Text, got.X, i.Text, x)
			}
			texts++
		}
	}
	if texts != len(doc.Texts) || areas != len(doc.Images) || texts < 8 || areas < 1 {
		t.Errorf("%d texts and %d areas, of which %d and %d are of the scene", len(doc.Texts), len(doc.Images), texts, areas)
	}
}

func TestFaultsAreRefused(t *testing.T) {
	var buf bytes.Buffer
	for want, s := range map[string]Sheet{"Format = 7": sheet(7), "AtH = -1": {Sheet: scene.Sheet{AtH: -1}}} {
		if _, err := Draw(&buf, "grains", field([3]int{4, 4, 4}, 1, -1), s); err == nil || !strings.Contains(err.Error(),
			want) {
			t.Errorf("error %v, wanted one with %q", err, want)
		}
	}
	_, lapse := TimeLapse(&buf, nil, sheet(paper.PNG), 2)
	for what, err := range map[string]error{"a time-lapse": lapse, "a volume": WriteVTI(&buf, nil)} {
		if err == nil || !strings.Contains(err.Error(), "no cells given") {
			t.Errorf("%s of nothing: error %v", what, err)
		}
	}
	if buf.Len() > 0 {
		t.Errorf("%d bytes were written in spite of errors", buf.Len())
	}
}

// TestTimeLapseShowsTheGrainsGrow reads the frames back, the programme below them.
func TestTimeLapseShowsTheGrainsGrow(t *testing.T) {
	c := field([3]int{24, 24, 1}, 1, 2)
	s := sheet(paper.SVG) // not used
	frames := func(n int) *gif.GIF {
		var buf bytes.Buffer
		if _, err := TimeLapse(&buf, c, s, n); err != nil {
			t.Fatal(err)
		}
		movie, err := gif.DecodeAll(&buf)
		if err != nil {
			t.Fatal(err)
		}
		return movie
	}
	plain := frames(2)
	s.Programme = &scene.Programme{TimeH: []float64{0, 10, 11, 12, 52}, UndercoolingK: []float64{985, -35, -35, 8, 28},
		PeritecticC: 1010}
	movie := frames(4)
	if want := []int{frameDelay, frameDelay, frameDelay, lastDelay}; !slices.Equal(movie.Delay, want) ||
		movie.Config.Height != plain.Config.Height+2*courseHeight {
		t.Fatalf("delays %v, %d pixels high, %d without the programme", movie.Delay, movie.Config.Height, plain.Config.Height)
	}
	before := map[string]int{"seeded": -1, "past": -1}
	for i, frame := range movie.Image {
		now := map[string]int{}
		for i, at := range frame.Palette {
			below := frame.Pix[(plain.Config.Height+41)*frame.Stride:]
			switch at {
			case tint.Seeded()[0].Color():
				now["seeded"] += bytes.Count(frame.Pix, []byte{byte(i)})
			case tint.Ink().Color():
				now["past"] += bytes.Count(below, []byte{byte(i)}) // and the texts of the axes
			}
		}
		if now["seeded"] <= before["seeded"] || now["past"] < before["past"] {
			t.Errorf("frame %d shows %v, the one before %v", i, now, before)
		}
		before = now
	}
	if from, most := (course{Programme: s.Programme}).growth(); from != 11 || most != 28 {
		t.Errorf("the melt is undercooled from %v h, by %v K at most; wanted 11 and 28", from, most)
	}
}

// broken is a writer that fails after some bytes.
type broken struct{ left int }

var errFull = errors.New("no space left")

func (b *broken) Write(p []byte) (int, error) {
	if len(p) > b.left {
		n := b.left
		b.left = 0
		return n, errFull
	}
	b.left -= len(p)
	return len(p), nil
}

func TestWriteErrorsAreHandedOn(t *testing.T) {
	c := field([3]int{12, 12, 4}, 1, -1)
	var whole bytes.Buffer
	if err := WriteVTI(&whole, c); err != nil {
		t.Fatal(err)
	}
	for _, room := range []int{0, 100, whole.Len() / 2, whole.Len() - 5} {
		if err := WriteVTI(&broken{room}, c); !errors.Is(err, errFull) {
			t.Errorf("volume after %d bytes: error %v", room, err)
		}
	}
	failing := func(draw func(w io.Writer) (string, error)) error {
		_, err := draw(&broken{10})
		return err
	}
	for name, err := range map[string]error{
		"PNG":        failing(func(w io.Writer) (string, error) { return Draw(w, "grains", c, sheet(paper.PNG)) }),
		"SVG":        failing(func(w io.Writer) (string, error) { return Draw(w, "corner", c, sheet(paper.SVG)) }),
		"time-lapse": failing(func(w io.Writer) (string, error) { return TimeLapse(w, c, sheet(paper.PNG), 2) }),
	} {
		if !errors.Is(err, errFull) {
			t.Errorf("%s: error %v", name, err)
		}
	}
}
