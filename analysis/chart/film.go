package chart

import (
	"math"
	"sort"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/scale"
	"onegrain/analysis/chart/tint"
)

const filmHeight = 150.0 // points, of the programme under a time-lapse

// moment is where a frame of a time-lapse stands in the programme.
type moment struct {
	hour  float64
	solid string  // share of the body
	endH  float64 // where the programme is cut off
}

// drawFilm draws the undercooling against time in a strip of the page, what is past dark and what is to come pale, with a mark at the
// hour of the frame and its numbers above.
func (k *picture) drawFilm(p *paper.Page, x, y, width float64) {
	g, m := k.sheet.Programme, k.moment
	at := g.at(m.hour)
	p.Text(x, y+10, 10, 0, tint.Ink().Color(), scale.Number(m.hour, 1)+" h: undercooling "+scale.Number(at, 1)+" K, "+scale.Number(g.PeritecticC-at, 1)+" °C, "+m.solid+" solid")
	q := paper.NewPlot(p.Letters)
	q.X.Label.Text, q.Y.Label.Text = "Time from the start of the programme (h)", "Undercooling (K)"
	from, most := g.window()
	end := math.Max(m.endH, m.hour)
	air := math.Max(0.02*(end-from), 0.1)
	q.X.Min, q.X.Max, q.Y.Min, q.Y.Max = from-air, end+air, -0.05*most, 1.1*most
	q.X.Tick.Marker, q.Y.Tick.Marker = filmTicks(width/60), filmTicks(4)
	q.Add(course{g, m.hour})
	q.Draw(p.Part(x, y+16, width, filmHeight-24))
}

func filmTicks(wanted float64) plot.Ticker {
	return plot.TickerFunc(func(low, high float64) (list []plot.Tick) {
		values, decimals := scale.RoundSteps(low, high, int(wanted))
		for _, v := range values {
			list = append(list, plot.Tick{Value: v, Label: scale.Number(v, decimals)})
		}
		return list
	})
}

// window is when the undercooling first rises above 0 after the melt, and how large it gets from then on, K.
func (g *Programme) window() (fromH, most float64) {
	n := 0
	for n < len(g.TimeH)-1 && g.UndercoolingK[n] > 0 { // heating up: cold, but not of a melt
		n++
	}
	if n == len(g.TimeH)-1 {
		n = 0
	}
	for n < len(g.TimeH)-1 && g.UndercoolingK[n+1] <= 0 {
		n++
	}
	for _, k := range g.UndercoolingK[n:] {
		most = math.Max(most, k)
	}
	return g.TimeH[n], math.Max(most, 1)
}

// shownEnd is where the axis of time ends: soon after the body is solid, or with the programme
// where it never is.
func (g *Programme) shownEnd(c *Cells, lastH float64) float64 {
	if g == nil {
		return 0
	}
	solidH := math.NaN()
	if n := tally(c, lastH); n.inSeeded+n.inStray == n.cells {
		solidH = lastH
	}
	return scale.SoonAfter(solidH, g.TimeH[len(g.TimeH)-1])
}

// course draws the programme up to an hour dark, from there on pale.
type course struct {
	*Programme
	hour float64
}

// Plot draws the line in two parts and the mark between them.
func (k course) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	here := vg.Point{X: x(k.hour), Y: y(k.at(k.hour))}
	n := sort.SearchFloat64s(k.TimeH, k.hour)
	past, coming := []vg.Point{}, []vg.Point{here}
	for i, t := range k.TimeH {
		q := vg.Point{X: x(t), Y: y(k.UndercoolingK[i])}
		if i < n {
			past = append(past, q)
		} else {
			coming = append(coming, q)
		}
	}
	past = append(past, here)
	grey := draw.LineStyle{Color: tint.Tint{Lightness: 0.78, Chroma: 0.01, HueDeg: 270}.Color(), Width: vg.Points(1.4)}
	ink := draw.LineStyle{Color: tint.Ink().Color(), Width: vg.Points(1.8)}
	c.StrokeLine2(draw.LineStyle{Color: tint.Grey().Color(), Width: vg.Points(0.6), Dashes: []vg.Length{2, 2}}, here.X, c.Min.Y, here.X, c.Max.Y)
	c.StrokeLines(grey, c.ClipLinesXY(coming)...)
	c.StrokeLines(ink, c.ClipLinesXY(past)...)
	c.DrawGlyph(draw.GlyphStyle{Color: tint.Strays()[1].Color(), Radius: 4, Shape: draw.CircleGlyph{}}, here)
}
