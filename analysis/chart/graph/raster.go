package graph

import (
	"image/color"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg/draw"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/scene"
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
	known := map[tint.Tint]color.RGBA{} // only looked up
	c.DrawImage(c.Rectangle, scene.Painted(max(w, 1), max(h, 1), func(x, y int) color.RGBA {
		t, hatched := g.at((float64(x)+0.5)/float64(w)*float64(g.nx), (float64(h-1-y)+0.5)/float64(h)*float64(g.ny))
		if hatched && (x+y)%8 < 2 {
			t = t.Shaded(-0.22)
		}
		if _, ok := known[t]; !ok {
			known[t] = t.Color()
		}
		return known[t]
	}))
}

// swatch is a sample of areas, side by side in all their colours.
func swatch(hatched bool, tints ...tint.Tint) func(draw.Canvas) {
	return func(c draw.Canvas) {
		raster{nx: len(tints), ny: 1, at: func(u, _ float64) (tint.Tint, bool) { return tints[int(u)], hatched }}.paint(c)
		c.SetLineStyle(pen(tint.Grey(), 0.5))
		c.Stroke(c.Rectangle.Path())
	}
}
