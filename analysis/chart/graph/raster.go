package graph

import (
	"image"
	"image/color"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg/draw"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/scale"
	"onegrain/analysis/chart/tint"
)

// raster paints equal squares, as an image: as vectors there would be hairlines between them.
type raster struct {
	nx, ny int
	step   float64
	origin [2]float64
	tall   float64 // height drawn times this; 0 = 1

	// at is the colour at a place, in squares from the lower left corner.
	at func(u, v float64) (c tint.Tint, hatched bool)
}

// extents are the edges of the squares, mm.
func (g raster) extents() (ex, ey extent) {
	x, y := g.origin[0]-g.step/2, g.origin[1]-g.step/2
	return extent{x, x + float64(g.nx)*g.step}, extent{y, y + float64(g.ny)*g.step}
}

// size is the largest size, in points, of the squares within a frame, x and y at one scale.
func (g raster) size(wide, high float64) (w, h float64) {
	tall := math.Max(1, g.tall)
	k := math.Min(wide/float64(g.nx), high/(float64(g.ny)*tall))
	return k * float64(g.nx), k * float64(g.ny) * tall
}

// Plot paints the squares.
func (g raster) Plot(c draw.Canvas, _ *plot.Plot) { g.paint(c) }

// paint fills a canvas.
func (g raster) paint(c draw.Canvas) {
	size := c.Size()
	w, h := int(math.Ceil(size.X.Points()*paper.DotsPerPoint)), int(math.Ceil(size.Y.Points()*paper.DotsPerPoint))
	img := image.NewRGBA(image.Rect(0, 0, max(w, 1), max(h, 1)))
	known := map[tint.Tint]color.RGBA{} // only looked up
	for y := range h {
		v := (float64(h-1-y) + 0.5) / float64(h) * float64(g.ny)
		for x := range w {
			t, hatched := g.at((float64(x)+0.5)/float64(w)*float64(g.nx), v)
			if hatched && (x+y)%8 < 2 {
				t = t.Shaded(-0.22)
			}
			ink, ok := known[t]
			if !ok {
				ink = t.Color()
				known[t] = ink
			}
			img.SetRGBA(x, y, ink)
		}
	}
	c.DrawImage(c.Rectangle, img)
}

// swatch is a sample of areas, side by side in all their colours.
func swatch(hatched bool, tints ...tint.Tint) func(draw.Canvas) {
	return func(c draw.Canvas) {
		raster{nx: len(tints), ny: 1, at: func(u, _ float64) (tint.Tint, bool) { return tints[int(u)], hatched }}.paint(c)
		c.SetLineStyle(pen(tint.Grey(), 0.5))
		c.Stroke(c.Rectangle.Path())
	}
}

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
	ink, top := tint.Ink().Color(), y+14
	at := func(value float64) float64 { return x + width*math.Max(0, math.Min(1, (value-b.low)/(b.high-b.low))) }
	p.Text(x, y+9, textSize, 0, ink, b.title)
	ramp := raster{nx: 1, ny: 1, at: func(u, _ float64) (tint.Tint, bool) { return b.ramp(u), false }}
	ramp.paint(p.Part(x, top, width, high))
	p.Stroke(tint.Grey().Color(), 0.5, scale.Frame(x, top, width, high))
	for _, m := range b.marks {
		p.Stroke(ink, 0.6, [][2]float64{{at(m), top + high}, {at(m), top + high + 3}})
		p.Text(at(m), top+high+12, 8.5, 0.5, ink, scale.Number(m, b.decimals))
	}
	if w := at(b.wanted); !math.IsNaN(b.wanted) {
		p.Stroke(tint.Paper().Color(), 2.4, [][2]float64{{w, top}, {w, top + high}})
		p.Stroke(ink, 1.2, [][2]float64{{w, top - 2}, {w, top + high}})
		p.Shape(ink, [][2]float64{{w, top - 1}, {w - 3.5, top - 6}, {w + 3.5, top - 6}})
	}
}
