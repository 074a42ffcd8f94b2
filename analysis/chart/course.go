package chart

import (
	"math"
	"slices"
	"sort"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/scale"
	"onegrain/analysis/chart/scene"
	"onegrain/analysis/chart/tint"
)

const courseHeight = 150.0 // points, of the programme under a time-lapse

// course is the programme with a mark at an hour; endH is where it is cut off.
type course struct {
	*scene.Programme
	hour, endH float64
}

// drawCourse draws the undercooling against time in a strip of the page, what is past dark and what
// is to come pale, with a mark at the hour of the frame and its numbers above.
func drawCourse(p *paper.Page, k course, solid string, y, width float64) {
	const margin = 14.0
	at := k.Undercooling(k.hour)
	p.Draw([]scene.Item{{At: [2]float64{margin, y + 10}, Size: 10, Ink: tint.Ink().Color(),
		Text: scale.Number(k.hour, 1) + " h: undercooling " + scale.Number(at, 1) + " K, " +
			scale.Number(k.PeritecticC-at, 1) + " °C, " + solid + " solid"}})
	width -= 2 * margin
	q := paper.NewPlot(p.Letters)
	q.X.Label.Text, q.Y.Label.Text = "Time from the start of the programme (h)", "Undercooling (K)"
	from, most := k.growth()
	end := math.Max(k.endH, k.hour)
	air := math.Max(0.02*(end-from), 0.1)
	q.X.Min, q.X.Max, q.Y.Min, q.Y.Max = from-air, end+air, -0.05*most, 1.1*most
	q.X.Tick.Marker, q.Y.Tick.Marker = ticks(int(width/60)), ticks(4)
	q.Add(k)
	q.Draw(p.Part(margin, y+16, width, courseHeight-24))
}

func ticks(wanted int) plot.Ticker {
	return plot.TickerFunc(func(low, high float64) (list []plot.Tick) {
		values, decimals := scale.RoundSteps(low, high, wanted)
		for _, v := range values {
			list = append(list, plot.Tick{Value: v, Label: scale.Number(v, decimals)})
		}
		return list
	})
}

// growth is when the undercooling first rises above 0 after the melt, and how large it gets from
// then on, K.
func (k course) growth() (fromH, most float64) {
	n, last := 0, len(k.TimeH)-1
	for n < last && k.UndercoolingK[n] > 0 { // heating up: cold, but not of a melt
		n++
	}
	if n == last {
		n = 0
	}
	for n < last && k.UndercoolingK[n+1] <= 0 {
		n++
	}
	return k.TimeH[n], math.Max(slices.Max(k.UndercoolingK[n:]), 1)
}

// Plot draws the line up to the hour dark and from there on pale, and the mark between them.
func (k course) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	here := vg.Point{X: x(k.hour), Y: y(k.Undercooling(k.hour))}
	var line []vg.Point
	for i, t := range k.TimeH {
		line = append(line, vg.Point{X: x(t), Y: y(k.UndercoolingK[i])})
	}
	n := sort.SearchFloat64s(k.TimeH, k.hour)
	past, coming := slices.Concat(line[:n], []vg.Point{here}), slices.Concat([]vg.Point{here}, line[n:])
	grey := draw.LineStyle{Color: tint.Tint{Lightness: 0.78, Chroma: 0.01, HueDeg: 270}.Color(), Width: vg.Points(1.4)}
	ink := draw.LineStyle{Color: tint.Ink().Color(), Width: vg.Points(1.8)}
	dashed := draw.LineStyle{Color: tint.Grey().Color(), Width: vg.Points(0.6), Dashes: []vg.Length{2, 2}}
	c.StrokeLine2(dashed, here.X, c.Min.Y, here.X, c.Max.Y)
	c.StrokeLines(grey, c.ClipLinesXY(coming)...)
	c.StrokeLines(ink, c.ClipLinesXY(past)...)
	c.DrawGlyph(draw.GlyphStyle{Color: tint.Strays()[1].Color(), Radius: 4, Shape: draw.CircleGlyph{}}, here)
}
