package chart

import (
	"image"
	"image/color"
	"math"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/scale"
	"onegrain/analysis/chart/tint"
)

const (
	rowHeight    = 15.0 // points from one entry to the next
	swatchWidth  = 26.0
	swatchHeight = 10.0
	legendSize   = 8.5 // type, points
	barHeight    = 46.0
)

// entry is one line of the legend: a sample and what it means. The sample is a row of shades, or a line.
type entry struct {
	shades []shade
	area   area     // what the shades are painted on
	line   lineKind // noLine for a sample of shades
	text   string
}

func (e entry) hatched() bool { return e.area == strayArea }

// colourBar is the scale of a ramp from low to high, with the values marked on it.
type colourBar struct {
	low, high float64
	marks     []float64 // values written below the bar
	decimals  int
	title     string
	ramp      func(share float64) tint.Tint
	under     func(value float64) string // a second line of values; nil for none
}

// legendColumns is how many columns of entries fit in a width, and how wide one is.
func (k *picture) legendColumns(letters paper.Letters, width float64) (columns int, each float64) {
	for _, e := range k.legend {
		each = math.Max(each, swatchWidth+8+letters.Width(legendSize, e.text)+14)
	}
	if each == 0 {
		return 1, width
	}
	return max(1, min(len(k.legend), int(width/each))), each
}

// legendHeight is the height of the whole legend set in a width, in points.
func (k *picture) legendHeight(letters paper.Letters, width float64) float64 {
	columns, _ := k.legendColumns(letters, width)
	rows := (len(k.legend) + columns - 1) / columns
	height := float64(rows)*rowHeight + k.scale.height()
	if k.compass != nil {
		height += compassHeight
	}
	return height
}

// drawLegend sets the legend with its upper left corner at (x, y).
func (k *picture) drawLegend(p *paper.Page, x, y, width float64) {
	if k.scale != nil {
		k.scale.draw(p, x, y, math.Min(width, 260))
		y += k.scale.height()
	}
	columns, each := k.legendColumns(p.Letters, width)
	rows := (len(k.legend) + columns - 1) / columns
	for i, e := range k.legend {
		e.draw(p, x+float64(i/rows)*each, y+float64(i%rows)*rowHeight)
	}
	if k.compass != nil {
		k.compass.draw(p, x, y+float64(rows)*rowHeight+6)
	}
}

func (e entry) draw(p *paper.Page, x, y float64) {
	mid := y + swatchHeight/2
	if e.line != noLine {
		ground := shadeOf(tint.Tint{Lightness: 0.70, Chroma: 0.03, HueDeg: 250}).ground
		p.Area(x, y, swatchWidth, swatchHeight, ground)
		if e.line == clearRim {
			e.line.stroke(p, [][2]float64{{x + 2, mid}, {x + 9, mid}}, [][2]float64{{x + 14, mid}, {x + 23, mid}})
		} else {
			e.line.stroke(p, [][2]float64{{x, mid}, {x + swatchWidth, mid}})
		}
	} else {
		p.Picture(math.Round(x), math.Round(y), e.sample())
		x0, y0 := math.Round(x), math.Round(y)
		p.Stroke(tint.Grey().Color(), 0.5, scale.Frame(x0, y0, swatchWidth, swatchHeight))
	}
	p.Text(x+swatchWidth+8, y+swatchHeight-1.5, legendSize, 0, tint.Ink().Color(), e.text)
}

// sample paints the shades side by side, with the same strokes and dots as in the picture.
func (e entry) sample() *image.RGBA {
	w, h := int(swatchWidth*paper.DotsPerPoint), int(swatchHeight*paper.DotsPerPoint)
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			img.SetRGBA(x, y, e.pixel(x, y, w))
		}
	}
	return img
}

func (e entry) pixel(x, y, w int) color.RGBA {
	if e.area == liquidArea {
		return dotted(x, y)
	}
	s := e.shades[x*len(e.shades)/w]
	if e.hatched() {
		return s.hatch(x, y)
	}
	return s.ground
}

// draw sets the bar with its title above and its values below.
func (b *colourBar) draw(p *paper.Page, x, y, width float64) {
	w := int(width * paper.DotsPerPoint)
	img := image.NewRGBA(image.Rect(0, 0, w, int(swatchHeight*paper.DotsPerPoint)))
	for i := range w {
		c := b.ramp((float64(i) + 0.5) / float64(w)).Color()
		for j := range img.Bounds().Dy() {
			img.SetRGBA(i, j, c)
		}
	}
	x, y = math.Round(x), math.Round(y)
	p.Text(x, y+8, legendSize, 0, tint.Ink().Color(), b.title)
	top := y + 14
	p.Picture(x, top, img)
	width = float64(w) / paper.DotsPerPoint
	p.Stroke(tint.Grey().Color(), 0.5, scale.Frame(x, top, width, swatchHeight))
	for _, m := range b.marks {
		at := x + b.share(m)*width
		p.Stroke(tint.Ink().Color(), 0.6, [][2]float64{{at, top + swatchHeight}, {at, top + swatchHeight + 3}})
		text, under := scale.Number(m, b.decimals), ""
		if b.under != nil {
			under = b.under(m)
		}
		wide := math.Max(p.Letters.Width(8, text), p.Letters.Width(8, under))
		at = math.Min(at, x+width+margin/2-wide/2) // a long number stays on the sheet
		p.Text(at, top+swatchHeight+11, 8, 0.5, tint.Ink().Color(), text)
		p.Text(at, top+swatchHeight+21, 8, 0.5, tint.Grey().Color(), under)
	}
}

// height is what the bar takes up, in points.
func (b *colourBar) height() float64 {
	switch {
	case b == nil:
		return 0
	case b.under != nil:
		return barHeight + 10
	}
	return barHeight
}

// share is where a value stands on the scale, 0 to 1.
func (b *colourBar) share(value float64) float64 { return (value - b.low) / (b.high - b.low) }

// width of a line in points.
func (k lineKind) width() float64 {
	if k >= joined {
		return 2.4
	}
	return [joined]float64{facetAA: 0.8, facetAC: 1.1, seedLine: 1, lowAngle: 0.6, highAngle: 1.5, front: 0.9, outline: 1,
		seedPatch: 2.6, clearRim: 3.2, contourLine: 0.7}[k]
}

func (k lineKind) color() color.RGBA {
	switch {
	case k >= angled:
		return tint.Angle(float64(k-angled) / (angleClasses - 1)).Color()
	case k == joined:
		return tint.LowAngle().Color()
	case k == facetAC, k == clearRim:
		return tint.Paper().Color()
	case k == outline:
		return tint.Grey().Color()
	}
	return tint.Ink().Color()
}

// core is the inner part of a line, which makes it stand out on every ground; width 0 for none.
// Joined grains and seeds have hollow lines, so that they are apart without colour too.
func (k lineKind) core() (c color.RGBA, width float64) {
	switch k {
	case joined, seedPatch:
		return tint.Paper().Color(), 0.9
	case clearRim:
		return tint.Ink().Color(), 1.6
	}
	return color.RGBA{}, 0
}

// stroke draws lines of a kind.
func (k lineKind) stroke(p *paper.Page, lines ...[][2]float64) {
	p.Stroke(k.color(), k.width(), lines...)
	if c, width := k.core(); width > 0 {
		p.Stroke(c, width, lines...)
	}
}
