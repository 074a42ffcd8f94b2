package graph

import (
	"image/color"
	"math"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"onegrain/analysis/chart/tint"
)

// Point is a value with its interval; what is not known is NaN.
type Point struct {
	X            float64
	Y, Low, High float64 `nan:"unknown"`
}

// interval tells whether both ends are known.
func (p Point) interval() bool { return !math.IsNaN(p.Low) && !math.IsNaN(p.High) }

// Line is one line of a chart.
type Line struct {
	Name   string
	Points []Point // in the order in which they are joined; a Y of NaN breaks the line
	Dots   bool    // points with their intervals alone, for what was counted
}

// known are the points that have a value.
func known(lines ...Line) (points []Point) {
	for _, l := range lines {
		for _, p := range l.Points {
			if !math.IsNaN(p.Y) {
				points = append(points, p)
			}
		}
	}
	return points
}

const manyPoints = 30 // more are drawn without marks, and their intervals as a band

// style is how line number i of a chart looks: colour, dash and mark all differ.
type style struct {
	ink  color.RGBA
	pen  draw.LineStyle
	mark draw.GlyphStyle
}

func styleOf(i int) style {
	inks := tint.Lines()
	dashes := [][]vg.Length{nil, {6, 3}, {2, 2}, {8, 3, 2, 3}, {12, 4}, {4, 2}}
	marks := []draw.GlyphDrawer{draw.CircleGlyph{}, draw.BoxGlyph{}, draw.PyramidGlyph{}, draw.RingGlyph{},
		draw.SquareGlyph{}, draw.CrossGlyph{}}
	t := inks[i%len(inks)]
	mark := draw.GlyphStyle{Color: t.Color(), Radius: vg.Points(2.6), Shape: marks[i%len(marks)]}
	return style{t.Color(), pen(t, 1.5, dashes[i%len(dashes)]...), mark}
}

// thin is a line of the same colour for outlines and intervals.
func (k style) thin(width float64) draw.LineStyle {
	return draw.LineStyle{Color: k.ink, Width: vg.Points(width)}
}

// pale is the colour mixed with four parts of white: nothing is made transparent, which prints
// badly.
func (k style) pale() color.RGBA {
	mix := func(x uint8) uint8 { return uint8((int(x) + 4*255) / 5) }
	return color.RGBA{mix(k.ink.R), mix(k.ink.G), mix(k.ink.B), 255}
}

// curve draws a line into a plot.
type curve struct {
	Line
	style
	shift vg.Length // of points and intervals, so that those of different lines do not hide each other
	aside vg.Length // of intervals alone, for the same
	plain bool      // without marks, however few its points are
	steps bool      // as a staircase, for cumulative shares
}

// Plot draws intervals, line and marks, in this order.
func (k curve) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	band := len(k.Points) > manyPoints && !k.Dots
	if band {
		k.band(c, x, y)
	}
	if !k.Dots {
		c.StrokeLines(k.pen, k.parts(x, y)...)
	}
	for i, q := range k.Points {
		if math.IsNaN(q.Y) || k.plain {
			continue
		}
		at := x(q.X) + k.shift
		if !band && q.interval() {
			by := at + k.aside
			whisker(c, k.thin(0.9), vg.Point{X: by, Y: y(q.Low)}, vg.Point{X: by, Y: y(q.High)})
		}
		if !band || k.alone(i) {
			c.DrawGlyph(k.mark, vg.Point{X: at, Y: y(q.Y)})
		}
	}
}

// alone tells whether no neighbour of a point is known: without a mark it could not be seen.
func (k curve) alone(i int) bool {
	return len(known(Line{Points: k.Points[max(0, i-1):min(len(k.Points), i+2)]})) == 1
}

// parts are the unbroken runs of the line.
func (k curve) parts(x, y func(float64) vg.Length) (all [][]vg.Point) {
	var part []vg.Point
	for _, q := range k.Points {
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

// band fills the intervals of each unbroken run.
func (k curve) band(c draw.Canvas, x, y func(float64) vg.Length) {
	var over, under []vg.Point
	for i, q := range k.Points {
		if q.interval() {
			over = append(over, vg.Point{X: x(q.X), Y: y(q.High)})
			under = append(under, vg.Point{X: x(q.X), Y: y(q.Low)})
		}
		if !q.interval() || i == len(k.Points)-1 {
			if slices.Reverse(under); len(over) > 1 {
				c.FillPolygon(k.pale(), append(over, under...))
			}
			over, under = nil, nil
		}
	}
}

// sample is the line in the legend.
func (k curve) sample(c draw.Canvas) {
	mid := c.Center()
	if k.Dots {
		whisker(c, k.thin(0.9), vg.Point{X: mid.X, Y: c.Min.Y}, vg.Point{X: mid.X, Y: c.Max.Y})
	} else {
		across(k.pen)(c)
	}
	if !k.plain && (k.Dots || len(k.Points) <= manyPoints) {
		c.DrawGlyph(k.mark, mid)
	}
}
