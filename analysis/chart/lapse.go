package chart

import (
	"fmt"
	"image"
	"image/color"
	"image/gif"
	"io"
	"maps"
	"math"
	"sort"
	"strings"

	"gonum.org/v1/plot/vg/vgimg"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/scale"
)

const (
	fewestFrames, mostFrames = 2, 200
	mostColours              = 256     // of a GIF
	frameDelay, lastDelay    = 12, 200 // hundredths of a second
)

// TimeLapse writes an animated GIF of the picture that Grains draws, in `frames` (2 to 200) even steps from the first
// capture to the last, or to AtH of the sheet where that is given; where the sheet tells the programme, with its course below and the
// hour marked in it. The format of the sheet is not used. Text and errors as of Grains; a body in which nothing is solid by then
// has no history and is an error as well.
func TimeLapse(w io.Writer, c *Cells, s Sheet, frames int) (alt string, err error) {
	if frames < fewestFrames || frames > mostFrames {
		return "", fmt.Errorf("chart: frames = %d: wanted %d to %d", frames, fewestFrames, mostFrames)
	}
	s.Format = PNG
	if err := s.fits(c); err != nil {
		return "", err
	}
	hours, err := frameHours(c, s.until(), frames)
	if err != nil {
		return "", err
	}
	movie, err := filmed(c, s, hours)
	if err != nil {
		return "", err
	}
	if err := gif.EncodeAll(w, movie); err != nil {
		return "", fmt.Errorf("chart: writing the time-lapse: %w", err)
	}
	last := hours[frames-1]
	alt = fmt.Sprintf("Time-lapse of the growing grains from %s h to %s h in %d frames. At its end: %s", scale.Number(hours[0], 1), scale.Number(last, 1), frames, tally(c, last).grains())
	s.AtH = last
	alt += s.finished(c).Clear.told(c)
	if s.Title != "" {
		alt = strings.TrimRight(s.Title, ".") + ": " + alt
	}
	return alt, nil
}

// frameHours are the hours of the frames.
func frameHours(c *Cells, untilH float64, frames int) ([]float64, error) {
	first, last := math.Inf(1), math.Inf(-1)
	for i, g := range c.Grain {
		if t := float64(c.TimeH[i]); g >= 0 && t <= untilH {
			first, last = math.Min(first, t), math.Max(last, t)
		}
	}
	if first > last {
		return nil, fmt.Errorf("chart: no cell is solid by %v h: there is no history to show; give a later AtH or a longer programme", untilH)
	}
	hours := make([]float64, frames)
	for i := range hours {
		share := float64(i) / float64(frames-1)
		hours[i] = math.Max(first+share*(last-first), math.SmallestNonzeroFloat64) // 0 would mean the end
	}
	hours[frames-1] = math.Max(last, math.SmallestNonzeroFloat64)
	return hours, nil
}

// filmed draws all frames in the planes, the layout and the colours of the last one. The legend of
// all frames is that of the first and the last together: what was captured stays, and what is
// liquid in between was so at first.
func filmed(c *Cells, s Sheet, hours []float64) (*gif.GIF, error) {
	letters, err := paper.NewLetters()
	if err != nil {
		return nil, err
	}
	movie := &gif.GIF{Image: make([]*image.Paletted, len(hours)), Delay: make([]int, len(hours))}
	var layout plan
	var inks *inkwell
	s.AtH = hours[len(hours)-1]
	shown, endH := s.views(c), s.Programme.shownEnd(c, s.AtH)
	frame := func(hour float64) (*picture, []*view, sight) {
		at := s
		at.AtH = hour
		seen := until(shown, hour)
		k := grainPicture(c, at.finished(c), seen)
		return k, seen, k.look(seen)
	}
	_, _, all := frame(s.AtH)
	_, _, first := frame(hours[0])
	maps.Copy(all, first)
	for i := len(hours) - 1; i >= 0; i-- {
		k, seen, _ := frame(hours[i])
		k.explain(all, s.Clear)
		if s.Programme != nil {
			n := tally(c, hours[i])
			k.moment = &moment{hours[i], n.share(n.inSeeded + n.inStray), endH}
		}
		movie.Delay[i] = frameDelay
		if inks == nil {
			layout, movie.Delay[i] = k.planned(seen, letters), lastDelay
		}
		canvas, ok := k.drawn(seen, layout, letters).Canvas.(*vgimg.Canvas)
		if !ok {
			return nil, fmt.Errorf("chart: a frame of the time-lapse is no pixel picture")
		}
		img := canvas.Image()
		if inks == nil {
			inks = newInkwell(img)
		}
		movie.Image[i] = inks.reduced(img)
	}
	return movie, nil
}

// inkwell holds the at most 256 colours of an animation and remembers which of them stands for which other.
type inkwell struct {
	colors color.Palette
	index  map[color.RGBA]uint8
}

// newInkwell takes the most frequent colours of a picture; equals in the order of their values.
func newInkwell(img image.Image) *inkwell {
	count := make(map[color.RGBA]int)
	eachPixel(img, func(_, _ int, c color.RGBA) { count[c]++ })
	all := make([]color.RGBA, 0, len(count))
	for c := range count {
		all = append(all, c)
	}
	sort.Slice(all, func(i, j int) bool {
		if count[all[i]] != count[all[j]] {
			return count[all[i]] > count[all[j]]
		}
		return value(all[i]) < value(all[j])
	})
	inks := &inkwell{index: make(map[color.RGBA]uint8)}
	for _, c := range all[:min(len(all), mostColours)] {
		inks.index[c] = uint8(len(inks.colors))
		inks.colors = append(inks.colors, c)
	}
	return inks
}

func value(c color.RGBA) int { return int(c.R)<<16 | int(c.G)<<8 | int(c.B) }

func (k *inkwell) reduced(img image.Image) *image.Paletted {
	out := image.NewPaletted(img.Bounds(), k.colors)
	eachPixel(img, func(x, y int, c color.RGBA) {
		i, known := k.index[c]
		if !known {
			i = uint8(k.colors.Index(c))
			k.index[c] = i
		}
		out.SetColorIndex(x, y, i)
	})
	return out
}

func eachPixel(img image.Image, do func(x, y int, c color.RGBA)) {
	b := img.Bounds()
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			r, g, bl, _ := img.At(x, y).RGBA()
			do(x, y, color.RGBA{uint8(r >> 8), uint8(g >> 8), uint8(bl >> 8), 255})
		}
	}
}
