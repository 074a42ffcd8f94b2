package graph

import (
	"image/color"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/tint"
)

// Point is a value with its interval; what is not known is NaN.
type Point struct{ X, Y, Low, High float64 }

// Line is one line of a chart.
type Line struct {
	Name   string
	Points []Point // in the order in which they are joined; a Y of NaN breaks the line
	Dots   bool    // points with their intervals alone, for what was counted
}

const manyPoints = 30 // more are drawn without marks, and their intervals as a band

// style is how line number i of a chart looks: colour, dash and mark all differ.
type style struct {
	ink    color.RGBA
	dashes []vg.Length
	mark   draw.GlyphDrawer
}

func styleOf(i int) style {
	inks := tint.Lines()
	dashes := [][]vg.Length{nil, {6, 3}, {2, 2}, {8, 3, 2, 3}, {12, 4}, {4, 2}}
	marks := []draw.GlyphDrawer{draw.CircleGlyph{}, draw.BoxGlyph{}, draw.PyramidGlyph{}, draw.RingGlyph{}, draw.SquareGlyph{}, draw.CrossGlyph{}}
	return style{inks[i%len(inks)].Color(), dashes[i%len(dashes)], marks[i%len(marks)]}
}

// curve draws a line into a plot.
type curve struct {
	line Line
	style
	shift vg.Length // of intervals, so that those of different lines do not hide each other
	steps bool      // as a staircase, for cumulative shares
}

// Plot draws intervals, line and marks, in this order.
func (k curve) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	many := len(k.line.Points) > manyPoints
	if many && !k.line.Dots {
		k.band(c, x, y)
	}
	if !k.line.Dots {
		for _, part := range k.parts(x, y) {
			c.StrokeLines(draw.LineStyle{Color: k.ink, Width: vg.Points(1.5), Dashes: k.dashes}, part)
		}
	}
	for i, q := range k.line.Points {
		if math.IsNaN(q.Y) {
			continue
		}
		at := vg.Point{X: x(q.X) + k.shift, Y: y(q.Y)}
		if !many || k.line.Dots {
			k.whisker(c, at.X, y(q.Low), y(q.High), !math.IsNaN(q.Low) && !math.IsNaN(q.High))
		}
		if !k.steps && (!many || k.line.Dots || k.alone(i)) {
			c.DrawGlyph(draw.GlyphStyle{Color: k.ink, Radius: vg.Points(2.6), Shape: k.mark}, at)
		}
	}
}

// alone tells whether no neighbour of a point is known: without a mark it could not be seen.
func (k curve) alone(i int) bool {
	known := func(j int) bool { return j >= 0 && j < len(k.line.Points) && !math.IsNaN(k.line.Points[j].Y) }
	return !known(i-1) && !known(i+1)
}

// parts are the unbroken runs of the line.
func (k curve) parts(x, y func(float64) vg.Length) (all [][]vg.Point) {
	var part []vg.Point
	for _, q := range k.line.Points {
		if math.IsNaN(q.Y) {
			all, part = append(all, part), nil
			continue
		}
		at := vg.Point{X: x(q.X), Y: y(q.Y)}
		if k.steps && len(part) > 0 {
			part = append(part, vg.Point{X: at.X, Y: part[len(part)-1].Y})
		}
		part = append(part, at)
	}
	return append(all, part)
}

func (k curve) whisker(c draw.Canvas, x, low, high vg.Length, known bool) {
	if !known {
		return
	}
	style := draw.LineStyle{Color: k.ink, Width: vg.Points(0.9)}
	c.StrokeLine2(style, x, low, x, high)
	for _, end := range []vg.Length{low, high} {
		c.StrokeLine2(style, x-2.5, end, x+2.5, end)
	}
}

// band fills the intervals of each unbroken run, in a pale tint of the line: nothing is made transparent, which prints badly.
func (k curve) band(c draw.Canvas, x, y func(float64) vg.Length) {
	var over, under []vg.Point
	fill := func() {
		if len(over) > 1 {
			for i := len(under) - 1; i >= 0; i-- {
				over = append(over, under[i])
			}
			c.FillPolygon(pale(k.ink), over)
		}
		over, under = nil, nil
	}
	for _, q := range k.line.Points {
		if math.IsNaN(q.Low) || math.IsNaN(q.High) {
			fill()
			continue
		}
		over, under = append(over, vg.Point{X: x(q.X), Y: y(q.High)}), append(under, vg.Point{X: x(q.X), Y: y(q.Low)})
	}
	fill()
}

// pale is a colour mixed with four parts of white.
func pale(c color.RGBA) color.RGBA {
	mix := func(x uint8) uint8 { return uint8((int(x) + 4*255) / 5) }
	return color.RGBA{mix(c.R), mix(c.G), mix(c.B), 255}
}

// entry explains a line in the legend.
func (k curve) entry(name string) entry {
	return entry{name, func(p *paper.Page, x, y float64) {
		c := p.Part(x, y, 28, 10)
		mid := c.Center()
		if !k.line.Dots {
			c.StrokeLine2(draw.LineStyle{Color: k.ink, Width: vg.Points(1.5), Dashes: k.dashes}, c.Min.X, mid.Y, c.Max.X, mid.Y)
		} else {
			k.whisker(c, mid.X, c.Min.Y, c.Max.Y, true)
		}
		if len(k.line.Points) <= manyPoints && !k.steps || k.line.Dots {
			c.DrawGlyph(draw.GlyphStyle{Color: k.ink, Radius: vg.Points(2.6), Shape: k.mark}, mid)
		}
	}}
}

// bare is a curve without marks, however few its points are.
type bare struct{ curve }

// Plot draws the line.
func (b bare) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	for _, part := range b.parts(x, y) {
		c.StrokeLines(draw.LineStyle{Color: b.ink, Width: vg.Points(1.5), Dashes: b.dashes}, part)
	}
}

func (b bare) entry(name string) entry {
	return entry{name, func(p *paper.Page, x, y float64) {
		c := p.Part(x, y, 28, 10)
		c.StrokeLine2(draw.LineStyle{Color: b.ink, Width: vg.Points(1.5), Dashes: b.dashes}, c.Min.X, c.Center().Y, c.Max.X, c.Center().Y)
	}}
}
