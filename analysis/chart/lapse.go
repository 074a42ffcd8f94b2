package chart

import (
	"cmp"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/gif"
	"io"
	"maps"
	"slices"

	"gonum.org/v1/plot/vg/vgimg"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/scene"
)

const (
	mostColours           = 256     // of a GIF
	frameDelay, lastDelay = 12, 200 // hundredths of a second
)

// TimeLapse writes an animated GIF of the growing grains, in `frames` (2 to 200) even steps from
// the first capture to the last, or to AtH of the sheet where that is given; where the sheet has
// the programme, with its course below and the hour marked in it. Text and errors as of Draw; a
// body in which nothing is solid by then has no history and is an error as well.
func TimeLapse(w io.Writer, c *scene.Cells, s Sheet, frames int) (alt string, err error) {
	letters, err := paper.NewLetters()
	if err != nil {
		return "", err
	}
	lapse, err := scene.NewLapse(c, s.Sheet, frames, letters.Width)
	if err != nil {
		return "", err
	}
	movie := &gif.GIF{Image: make([]*image.Paletted, frames), Delay: slices.Repeat([]int{frameDelay}, frames)}
	movie.Delay[frames-1] = lastDelay
	var colours color.Palette // of the last frame
	for i := frames - 1; i >= 0; i-- {
		made, solid := lapse.Frame(i)
		high := made.Height
		if s.Programme != nil {
			high += courseHeight
		}
		p := paper.New(paper.PNG, made.Width, high, letters)
		p.Draw(made.Items)
		if s.Programme != nil {
			drawCourse(p, course{s.Programme, lapse.Hours[i], lapse.EndH}, solid, made.Height-4, made.Width)
		}
		img := p.Canvas.(*vgimg.Canvas).Image() // of a PNG
		if colours == nil {
			colours = frequent(img)
		}
		movie.Image[i] = image.NewPaletted(img.Bounds(), colours)
		draw.Draw(movie.Image[i], img.Bounds(), img, img.Bounds().Min, draw.Src)
	}
	if err := gif.EncodeAll(w, movie); err != nil {
		return "", fmt.Errorf("chart: writing the time-lapse: %w", err)
	}
	return lapse.Alt, nil
}

// frequent are the at most 256 most frequent colours of a picture; equals in the order of their
// values.
func frequent(img image.Image) (colours color.Palette) {
	count := map[color.RGBA]int{}
	b := img.Bounds()
	for i := range b.Dx() * b.Dy() {
		count[color.RGBAModel.Convert(img.At(b.Min.X+i%b.Dx(), b.Min.Y+i/b.Dx())).(color.RGBA)]++
	}
	value := func(c color.RGBA) int { return int(c.R)<<16 | int(c.G)<<8 | int(c.B) }
	all := slices.SortedFunc(maps.Keys(count), func(a, b color.RGBA) int {
		return cmp.Or(cmp.Compare(count[b], count[a]), cmp.Compare(value(a), value(b)))
	})
	for _, c := range all[:min(len(all), mostColours)] {
		colours = append(colours, c)
	}
	return colours
}
