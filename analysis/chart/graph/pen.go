package graph

import (
	"image/color"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"onegrain/analysis/chart/tint"
)

// pen is the style of a line, its width and its dashes in points.
func pen(t tint.Tint, width float64, dashes ...vg.Length) draw.LineStyle {
	return draw.LineStyle{Color: t.Color(), Width: vg.Points(width), Dashes: dashes}
}

func ink(width float64, dashes ...vg.Length) draw.LineStyle { return pen(tint.Ink(), width, dashes...) }

// onWhite is a dark line on a white ground, to be seen on every colour.
func onWhite(width float64, dashes ...vg.Length) []draw.LineStyle {
	return []draw.LineStyle{pen(tint.Paper(), width+2), ink(width, dashes...)}
}

// drawing is what is drawn into a plot.
type drawing func(c draw.Canvas, p *plot.Plot)

// Plot draws it.
func (d drawing) Plot(c draw.Canvas, p *plot.Plot) { d(c, p) }

// path draws lines given in the values of the axes, one coat over the other.
type path struct {
	lines [][][2]float64
	coats []draw.LineStyle
}

// Plot draws the lines.
func (k path) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	for _, coat := range k.coats {
		for _, line := range k.lines {
			pts := make([]vg.Point, len(line))
			for i, q := range line {
				pts[i] = vg.Point{X: x(q[0]), Y: y(q[1])}
			}
			c.StrokeLines(coat, c.ClipLinesXY(pts)...)
		}
	}
}

// across is a sample of lines, one coat over the other.
func across(coats ...draw.LineStyle) func(draw.Canvas) {
	return func(c draw.Canvas) {
		for _, coat := range coats {
			c.StrokeLine2(coat, c.Min.X, c.Center().Y, c.Max.X, c.Center().Y)
		}
	}
}

func dotted() draw.LineStyle { return ink(0.9, 1.5, 2.5) }

// box fills a rectangle and draws its outline.
func box(c draw.Canvas, r vg.Rectangle, fill color.Color, line draw.LineStyle) {
	c.SetColor(fill)
	c.Fill(r.Path())
	c.SetLineStyle(line)
	c.Stroke(r.Path())
}

// whisker is an interval, upright or lying, with a stroke across at both ends.
func whisker(c draw.Canvas, style draw.LineStyle, from, to vg.Point) {
	c.StrokeLine2(style, from.X, from.Y, to.X, to.Y)
	across := vg.Point{X: 2.5}
	if from.Y == to.Y {
		across = vg.Point{Y: 2.5}
	}
	for _, end := range []vg.Point{from, to} {
		c.StrokeLine2(style, end.X-across.X, end.Y-across.Y, end.X+across.X, end.Y+across.Y)
	}
}

// around is a rectangle around a place, given half its sides.
func around(mid vg.Point, w, h vg.Length) vg.Rectangle {
	return vg.Rectangle{Min: vg.Point{X: mid.X - w, Y: mid.Y - h}, Max: vg.Point{X: mid.X + w, Y: mid.Y + h}}
}

// labelled writes a word on a ground of its own, so that neither hatching nor lines run through it.
func labelled(c draw.Canvas, style text.Style, ground tint.Tint, mid vg.Point, word string) {
	c.SetColor(ground.Color())
	c.Fill(around(mid, style.Width(word)/2+1.5, style.Font.Size/2+0.5).Path())
	c.FillText(style, mid, word)
}

// centred is the type of the axes for words that stand around a place.
func centred(p *plot.Plot, size float64) text.Style {
	style := p.X.Tick.Label
	style.XAlign, style.YAlign, style.Font.Size = draw.XCenter, draw.YCenter, vg.Points(size)
	return style
}
