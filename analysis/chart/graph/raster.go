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
	at     func(u, v float64) (c tint.Tint, hatched bool) // colour at a place, in squares from the lower left corner
	tall   float64                                        // height drawn times this; 0 = 1
}

// extents are the edges of the squares, mm.
func (g raster) extents() (ex, ey extent) {
	h := g.step / 2
	return extent{g.origin[0] - h, g.origin[0] - h + float64(g.nx)*g.step}, extent{g.origin[1] - h, g.origin[1] - h + float64(g.ny)*g.step}
}

// size is the largest size, in points, of the squares within a frame, x and y at one scale.
func (g raster) size(wide, high float64) (w, h float64) {
	tall := math.Max(1, g.tall)
	k := math.Min(wide/float64(g.nx), high/(float64(g.ny)*tall))
	return k * float64(g.nx), k * float64(g.ny) * tall
}

// Plot paints the squares.
func (g raster) Plot(c draw.Canvas, p *plot.Plot) {
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

// swatch is a legend entry of areas, side by side in all their colours.
func swatch(name string, tints []tint.Tint, hatched bool) entry {
	return entry{name, func(p *paper.Page, x, y float64) {
		const w, h = 26 * paper.DotsPerPoint, 10 * paper.DotsPerPoint
		img := image.NewRGBA(image.Rect(0, 0, w, h))
		for j := range h {
			for i := range w {
				t := tints[i*len(tints)/w]
				if hatched && (i+j)%8 < 2 {
					t = t.Shaded(-0.22)
				}
				img.SetRGBA(i, j, t.Color())
			}
		}
		p.Picture(x, y, img)
		p.Stroke(tint.Grey().Color(), 0.5, scale.Frame(x, y, 26, 10))
	}}
}
