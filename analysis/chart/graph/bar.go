package graph

import (
	"image"
	"math"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/scale"
	"onegrain/analysis/chart/tint"
)

// bar is a colour bar with its title above and values below.
type bar struct {
	title     string
	low, high float64
	marks     []float64
	decimals  int
	ramp      func(share float64) tint.Tint
	wanted    float64 // a value marked with a wedge; NaN for none
}

func (b *bar) draw(p *paper.Page, x, y, width float64) {
	const high = 10.0
	w, h := int(width*paper.DotsPerPoint), int(high*paper.DotsPerPoint)
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for i := range w {
		c := b.ramp((float64(i) + 0.5) / float64(w)).Color()
		for j := range h {
			img.SetRGBA(i, j, c)
		}
	}
	ink := tint.Ink().Color()
	p.Text(x, y+9, textSize, 0, ink, b.title)
	top := y + 14
	p.Picture(x, top, img)
	p.Stroke(tint.Grey().Color(), 0.5, scale.Frame(x, top, width, high))
	for _, m := range b.marks {
		at := x + b.share(m)*width
		p.Stroke(ink, 0.6, [][2]float64{{at, top + high}, {at, top + high + 3}})
		p.Text(at, top+high+12, 8.5, 0.5, ink, scale.Number(m, b.decimals))
	}
	if !math.IsNaN(b.wanted) {
		at := x + b.share(b.wanted)*width
		p.Stroke(tint.Paper().Color(), 2.4, [][2]float64{{at, top}, {at, top + high}})
		p.Stroke(ink, 1.2, [][2]float64{{at, top - 2}, {at, top + high}})
		p.Shape(ink, [][2]float64{{at, top - 1}, {at - 3.5, top - 6}, {at + 3.5, top - 6}})
	}
}

// share is where a value stands on the bar, 0 to 1.
func (b *bar) share(value float64) float64 {
	if !(b.high > b.low) {
		return 0.5
	}
	return math.Max(0, math.Min(1, (value-b.low)/(b.high-b.low)))
}
