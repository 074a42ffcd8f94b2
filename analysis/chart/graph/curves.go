package graph

import (
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"slices"
)

// Curves are a part of [Multiples]: lines over one axis, each point with its interval where that is
// known.
type Curves struct {
	Title    string // not shown of a single part
	X, Y     Axis
	Lines    []Line
	From, To float64 // range of Y; both 0: that of the values. A chance is best shown from 0 to 1
	Wanted   float64 // a level drawn across the chart, such as the wanted chance; 0 for none
	Failed   int     // cases without a value, told in a remark
}

// extents are what is shown of the axes. What hits the frame of a fixed range stays whole: it gets
// a little air.
func (c Curves) extents() (ex, ey extent) {
	ex, ey = extentOf(), extentOf()
	for _, l := range c.Lines {
		for _, p := range l.Points {
			ex, ey = ex.with(p.X), ey.with(p.Y, p.Low, p.High)
		}
	}
	if c.Wanted > 0 {
		ey = ey.with(c.Wanted)
	}
	ex = ex.padded(c.X.Log)
	if c.From == c.To {
		return ex, ey.padded(c.Y.Log)
	}
	ey = ey.with(c.From, c.To)
	air := 0.03 * (ey.high - ey.low)
	return ex, extent{ey.low - air, ey.high + air}
}

// pane is the plot of these curves in given ranges, of a size in points, and what explains it.
func (c Curves) pane(s *sheet, ex, ey extent, size [2]float64) *pane {
	p := s.plot(c.X, c.Y, ex, ey, [2]float64{size[0], size[1] - 40})
	if c.Wanted > 0 {
		p.Add(path{ex.across(c.Wanted), []draw.LineStyle{dotted()}})
		s.explain("wanted: "+c.Y.of(c.Wanted), across(dotted()))
	}
	counted := 0
	for i, l := range c.Lines {
		k := curve{Line: l, style: styleOf(i)}
		if l.Dots {
			k.shift = vg.Points(4 * float64(counted))
			counted++
		} else if slices.ContainsFunc(l.Points, Point.interval) {
			k.aside = vg.Points(3 * (float64(i) - float64(len(c.Lines)-1)/2))
		}
		p.Add(k)
		s.explain(l.Name, k.sample)
	}
	return &pane{plot: p, high: size[1]}
}
