package chart

import (
	"bytes"
	"image/color"
	"image/gif"
	"math"
	"strings"
	"testing"

	"onegrain/analysis/chart/tint"
)

func TestTimeLapseShowsTheGrainsGrow(t *testing.T) {
	from := []nucleus{{at: [3]float64{0, 0, 0.5}, halfMM: 1}, {at: [3]float64{9, 0, 0.5}, bornH: 12}}
	c := grownField([3]int{24, 24, 1}, 1, 2, everywhere, from)
	var buf bytes.Buffer
	if _, err := TimeLapse(&buf, c, Sheet{Title: "growing", Format: SVG, Programme: furnaceTold()}, 4); err != nil {
		t.Fatal(err)
	}
	movie, err := gif.DecodeAll(&buf)
	if err != nil {
		t.Fatal(err)
	}
	if len(movie.Image) != 4 || movie.Delay[3] <= movie.Delay[0] {
		t.Fatalf("%d frames with delays %v", len(movie.Image), movie.Delay)
	}
	seeded, stray := tint.Seeded()[0].Color(), tint.Strays()[0].Color()
	before := -1
	for i, frame := range movie.Image {
		area := count(frame.At, frame.Bounds().Dx(), frame.Bounds().Dy(), seeded)
		if area <= before {
			t.Errorf("frame %d shows %d pixels of seeded grain, the one before %d", i, area, before)
		}
		before = area
	}
	legend := count(movie.Image[0].At, movie.Config.Width, movie.Config.Height, stray)
	if last := count(movie.Image[3].At, movie.Config.Width, movie.Config.Height, stray); last < legend+1000 {
		t.Errorf("the stray covers %d pixels at the end and %d at the start", last, legend)
	}
}

func count(at func(x, y int) color.Color, w, h int, want color.RGBA) (n int) {
	for y := range h {
		for x := range w {
			if at(x, y) == color.Color(want) {
				n++
			}
		}
	}
	return n
}

func TestFramesRunFromFirstToLastCapture(t *testing.T) {
	c := grownField([3]int{24, 24, 1}, 1, 2, everywhere, []nucleus{{at: [3]float64{0, 0, 0.5}, halfMM: 1, bornH: 3}})
	hours, err := frameHours(c, math.Inf(1), 3)
	last := float64(3 + float32(10.5/rateA))
	if err != nil || hours[0] != 3 || math.Abs(hours[2]-last) > 1e-5 || math.Abs(hours[1]-(3+hours[2])/2) > 1e-12 {
		t.Errorf("hours %v, %v; wanted 3 to %v", hours, err, last)
	}
	var buf bytes.Buffer
	failing := func(c *Cells, s Sheet, frames int) error {
		_, err := TimeLapse(&buf, c, s, frames)
		return err
	}
	for want, err := range map[string]error{
		"frames = 1":   failing(c, Sheet{}, 1),
		"frames = 201": failing(c, Sheet{}, 201),
		"by 2 h":       failing(c, Sheet{AtH: 2}, 5),
		"AtH = -1":     failing(c, Sheet{AtH: -1}, 5),
		"no cells":     failing(nil, Sheet{}, 5),
	} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, wanted one with %q", err, want)
		}
	}
	if buf.Len() > 0 {
		t.Errorf("%d bytes were written in spite of errors", buf.Len())
	}
}
