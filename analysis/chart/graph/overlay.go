package graph

import (
	"sort"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"onegrain/analysis/chart/tint"
)

func sortBy(places [][2]float64, by func([2]float64) float64) {
	sort.SliceStable(places, func(i, j int) bool { return by(places[i]) < by(places[j]) })
}

// tag writes the value of a contour on a ground of its own at the first place with room.
func (k contours) tag(c draw.Canvas, style text.Style, level float64, places [][2]float64, at func([2]float64) vg.Point, placed []vg.Rectangle) []vg.Rectangle {
	s := written(level, k.decimals)
	wide, high := style.Width(s)+4, vg.Points(10)
	for _, q := range places {
		m := at(q)
		r := vg.Rectangle{Min: vg.Point{X: m.X - wide/2, Y: m.Y - high/2}, Max: vg.Point{X: m.X + wide/2, Y: m.Y + high/2}}
		if r.Min.X < c.Min.X || r.Max.X > c.Max.X || r.Min.Y < c.Min.Y || r.Max.Y > c.Max.Y || meets(r, placed) {
			continue
		}
		c.SetColor(tint.Paper().Color())
		c.Fill(r.Path())
		style.Color = tint.Ink().Color()
		c.FillText(style, m, s)
		return append(placed, r)
	}
	return placed
}

func meets(r vg.Rectangle, others []vg.Rectangle) bool {
	for _, o := range others {
		if r.Min.X < o.Max.X+2 && o.Min.X < r.Max.X+2 && r.Min.Y < o.Max.Y+1 && o.Min.Y < r.Max.Y+1 {
			return true
		}
	}
	return false
}

// overlay draws outlines and peaks over a map.
type overlay struct {
	lines [][][2]float64
	peaks [][2]float64
}

// Plot draws them.
func (o overlay) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	for _, line := range o.lines {
		pts := make([]vg.Point, len(line))
		for i, q := range line {
			pts[i] = vg.Point{X: x(q[0]), Y: y(q[1])}
		}
		c.StrokeLines(draw.LineStyle{Color: tint.Ink().Color(), Width: vg.Points(0.9)}, c.ClipLinesXY(pts)...)
	}
	for _, q := range o.peaks {
		cross(c, vg.Point{X: x(q[0]), Y: y(q[1])}, false)
	}
}

// cross marks a peak: white on a dark ring, to be seen on every ground; in the legend in the middle of its sample.
func cross(c draw.Canvas, at vg.Point, middle bool) {
	if middle {
		at = c.Center()
	}
	for _, s := range []draw.GlyphStyle{
		{Color: tint.Paper().Color(), Radius: 6, Shape: draw.CircleGlyph{}},
		{Color: tint.Ink().Color(), Radius: 4.6, Shape: draw.CircleGlyph{}},
		{Color: tint.Paper().Color(), Radius: 3.2, Shape: draw.PlusGlyph{}},
	} {
		c.DrawGlyph(s, at)
	}
}
