package paper

import (
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"onegrain/analysis/chart/tint"
)

const (
	axisTitleSize = 9.0 // type of the axes, points
	axisTickSize  = 8.5
)

// NewPlot is an empty plot with white ground, axes in ink, and the typeface of the pictures.
func NewPlot(l Letters) *plot.Plot {
	p := plot.New()
	handler := text.Plain{Fonts: l.cache}
	p.TextHandler = handler
	p.BackgroundColor = nil
	for _, style := range []*text.Style{&p.Title.TextStyle, &p.Legend.TextStyle} {
		style.Handler, style.Font = handler, l.face(axisTitleSize).Font
	}
	for _, a := range []*plot.Axis{&p.X, &p.Y} {
		a.Label.TextStyle.Handler, a.Label.TextStyle.Font = handler, l.face(axisTitleSize).Font
		a.Tick.Label.Handler, a.Tick.Label.Font = handler, l.face(axisTickSize).Font
		a.Label.TextStyle.Color, a.Tick.Label.Color = tint.Ink().Color(), tint.Ink().Color()
		a.Color, a.Tick.Color = tint.Grey().Color(), tint.Grey().Color()
		a.LineStyle.Width, a.Tick.LineStyle.Width = vg.Points(0.6), vg.Points(0.6)
		a.Tick.Length = vg.Points(4)
		a.Label.Padding = vg.Points(4)
		a.Padding = 0
	}
	return p
}

// Part is the part of the page with the upper left corner (x, y) as a canvas that gonum/plot draws
// on.
func (p *Page) Part(x, y, w, h float64) draw.Canvas {
	return draw.Canvas{Canvas: p.Canvas, Rectangle: vg.Rectangle{Min: p.at(x, y+h), Max: p.at(x+w, y)}}
}
