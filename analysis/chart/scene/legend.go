package scene

import (
	"image/color"
	"math"
	"slices"

	"onegrain/analysis/chart/scale"
	"onegrain/analysis/chart/tint"
)

const (
	rowHeight     = 15.0 // points from one entry to the next
	swatchWidth   = 26.0
	swatchHeight  = 10.0
	letterSize    = 8.5 // of the legend, points
	barHeight     = 46.0
	compassHeight = 56.0
)

// entry is one line of the legend: a sample of the shades on a ground, or of a line, and what it
// means.
type entry struct {
	text  string
	signs []sign
}

func areaEntry(text string, on ground, shades ...shade) entry {
	e := entry{text: text}
	for _, s := range shades {
		e.signs = append(e.signs, sign{ground: on, shade: s})
	}
	return e
}

func lineEntry(text string, kind lineKind) entry { return entry{text, []sign{{line: kind}}} }

// explain adds contours and marks to the legend and leaves in it what is seen.
func (k *picture) explain() {
	all := append(k.legend, lineEntry("equal arrival time", contourLine), lineEntry("seed", seedPatch),
		lineEntry("clear piece, "+scale.Number(k.sheet.Clear.DiameterMM, 1)+" mm", clearRim))
	k.legend = nil
	for _, e := range all {
		e.signs = slices.DeleteFunc(e.signs, func(s sign) bool { return !k.seen[s] })
		if len(e.signs) > 0 {
			k.legend = append(k.legend, e)
		}
	}
	coloured := !k.byAngle
	for s := range k.seen {
		coloured = coloured || s.line >= angled
	}
	if !coloured {
		k.bar = nil
	}
}

// legendSize is how many rows the entries take in a width, how wide one is, and the height of the
// whole legend, in points.
func (k *picture) legendSize(width float64) (rows int, each, high float64) {
	n := len(k.legend)
	for _, e := range k.legend {
		each = math.Max(each, swatchWidth+8+k.measure(letterSize, e.text)+14)
	}
	if n > 0 {
		columns := max(1, min(n, int(width/each)))
		rows = (n + columns - 1) / columns
	} else {
		each = width
	}
	high = float64(rows) * rowHeight
	if k.bar != nil {
		high += k.bar.height
	}
	if k.compass != nil {
		high += compassHeight
	}
	return rows, each, high
}

// leastLegend is the width below which the legend does not go: that of its longest entry, and of
// bar and compass.
func (k *picture) leastLegend() float64 {
	_, least, _ := k.legendSize(legendWidth)
	if k.bar != nil || k.compass != nil {
		least = math.Max(least, legendWidth)
	}
	if k.bar != nil {
		least = math.Max(least, k.measure(letterSize, k.bar.Title))
	}
	return least
}

// drawLegend sets the legend with its upper left corner at (x, y).
func (k *picture) drawLegend(s *Scene, x, y, width float64) {
	if k.bar != nil {
		k.bar.Draw(s, k.measure, x, y, math.Min(width, 260))
		y += k.bar.height
	}
	rows, each, _ := k.legendSize(width)
	for i, e := range k.legend {
		e.draw(s, x+float64(i/rows)*each, y+float64(i%rows)*rowHeight)
	}
	if k.compass != nil {
		k.drawCompass(s, x, y+float64(rows)*rowHeight+6)
	}
}

func (e entry) draw(s *Scene, x, y float64) {
	mid := y + swatchHeight/2
	if line := e.signs[0].line; line == noLine {
		x0, y0 := math.Round(x), math.Round(y)
		const w = swatchWidth * DotsPerPoint
		s.pixels(x0, y0, Painted(w, swatchHeight*DotsPerPoint, func(x, y int) color.RGBA {
			return e.signs[x*len(e.signs)/w].pixel(x, y)
		}))
		s.Stroke(tint.Grey(), 0.5, scale.Frame(x0, y0, swatchWidth, swatchHeight))
	} else {
		ground := tint.Tint{Lightness: 0.70, Chroma: 0.03, HueDeg: 250}
		s.Shape(ground, scale.Frame(x, y, swatchWidth, swatchHeight)[:4]...)
		sample := [][]point{{{x, mid}, {x + swatchWidth, mid}}}
		if line == clearRim {
			sample = [][]point{{{x + 2, mid}, {x + 9, mid}}, {{x + 14, mid}, {x + 23, mid}}}
		}
		s.strokeKind(line, sample...)
	}
	s.Text(x+swatchWidth+8, y+swatchHeight-1.5, letterSize, 0, tint.Ink(), e.text)
}

// Bar is the scale of a ramp from Low to High, with the values that are marked on it.
type Bar struct {
	Low, High float64
	Marks     []float64 // values written below the bar
	Decimals  int       // of these
	Title     string    // above it
	Ramp      func(share float64) tint.Tint
	Under     func(value float64) string // a second line of values; nil for none
	Wanted    float64                    // a value that stands out, by a wedge above it; 0 for none
	height    float64                    // with title and values, points
}

// share is where a value stands on the scale, 0 to 1.
func (b *Bar) share(value float64) float64 { return (value - b.Low) / (b.High - b.Low) }

// Draw sets the bar with its title above and its values below, the upper left corner at (x, y), in
// points.
func (b *Bar) Draw(s *Scene, measure Measure, x, y, width float64) {
	w := int(width * DotsPerPoint)
	x, y = math.Round(x), math.Round(y)
	top, width := y+14, float64(w)/DotsPerPoint
	s.Text(x, y+8, letterSize, 0, tint.Ink(), b.Title)
	s.pixels(x, top, Painted(w, swatchHeight*DotsPerPoint, func(x, _ int) color.RGBA {
		return b.Ramp((float64(x) + 0.5) / float64(w)).Color()
	}))
	s.Stroke(tint.Grey(), 0.5, scale.Frame(x, top, width, swatchHeight))
	for _, m := range b.Marks {
		at := x + b.share(m)*width
		s.Stroke(tint.Ink(), 0.6, []point{{at, top + swatchHeight}, {at, top + swatchHeight + 3}})
		text, under := scale.Number(m, b.Decimals), ""
		if b.Under != nil {
			under = b.Under(m)
		}
		wide := math.Max(measure(8, text), measure(8, under))
		at = math.Min(at, x+width+margin/2-wide/2) // a long number stays on the sheet
		s.Text(at, top+swatchHeight+11, 8, 0.5, tint.Ink(), text)
		s.Text(at, top+swatchHeight+21, 8, 0.5, tint.Grey(), under)
	}
	if at := x + b.share(b.Wanted)*width; b.Wanted != 0 {
		s.Stroke(tint.Paper(), 2.4, []point{{at, top}, {at, top + swatchHeight}})
		s.Stroke(tint.Ink(), 1.2, []point{{at, top - 2}, {at, top + swatchHeight}})
		s.Shape(tint.Ink(), point{at, top - 1}, point{at - 3.5, top - 6}, point{at + 3.5, top - 6})
	}
}

// drawCompass shows how the axes of one crystal lie in each view.
func (k *picture) drawCompass(s *Scene, x, y float64) {
	const apart = 92.0
	s.Text(x, y+9, letterSize, 0, tint.Ink(), "axes of the first seed")
	for i, v := range k.views {
		left := x + float64(i)*apart
		k.rose(s, left+20, y+36, v)
		s.Text(left+46, y+39, 7.5, 0, tint.Grey(), [3]string{"section", "section", "from above"}[v.along])
	}
}

// rose draws the axes that lie nearly enough in the plane of a view to be seen, both ways, the
// positive with its letter.
func (k *picture) rose(s *Scene, x, y float64, v *view) {
	const arm = 12.0
	for row, name := range []string{"a", "b", "c"} {
		du, dv := k.compass[3*row+v.u.of], k.compass[3*row+v.v.of]
		long := math.Hypot(du, dv)
		if long < 0.3 {
			continue
		}
		tip, along := point{x + arm*du, y - arm*dv}, point{du / long, -dv / long}
		s.arrow(point{x - 0.5*arm*du, y + 0.5*arm*dv}, tip, along, 0.8, 3, 1.8)
		s.Text(tip[0]+8*along[0], tip[1]+8*along[1]+2.5, 7.5, 0.5, tint.Ink(), name)
	}
}
