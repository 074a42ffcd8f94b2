package graph

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"onegrain/analysis/chart/scale"
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

func (c Curves) check(k *checks) {
	k.axis("X", c.X)
	k.axis("Y", c.Y)
	k.span(c.From, c.To)
	k.lines("Lines", c.Lines)
}

func (c Curves) nothing() string {
	switch {
	case len(known(c.Lines...)) > 0:
		return ""
	case c.Failed > 0:
		return allFailed(c.Failed, c.Y.lower())
	}
	return fmt.Sprintf("No case has a result: there is no %s to show.", c.Y.lower())
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
		}
		p.Add(k)
		s.explain(l.Name, k.sample)
	}
	return &pane{plot: p, high: size[1]}
}

func (c Curves) remarks() (list []string) {
	n := len(known(c.Lines...))
	if n == 1 {
		list = append(list, "One value only: how it depends on the "+c.X.lower()+" cannot be seen.")
	}
	if c.Failed > 0 && n > 0 {
		list = append(list, scale.Plural(c.Failed, "case")+" without a value, because of failures: left out.")
	}
	return list
}

// seenText says what is to be seen: the axes, and for each line where it is lowest and highest.
func (c Curves) seenText() string {
	var parts []string
	x := extentOf()
	for _, l := range c.Lines {
		if text := l.seen(c.X, c.Y); text != "" && len(parts) < 6 {
			parts = append(parts, text)
		}
		for _, p := range l.Points {
			x = x.with(p.X)
		}
	}
	return fmt.Sprintf("%s over %s, %s to %s. %s.", scale.Capital(c.Y.Name), c.X.lower(), c.X.value(x.low), c.X.of(x.high),
		scale.Capital(strings.Join(parts, "; ")))
}

func (l Line) seen(x, y Axis) string {
	points := known(l)
	if len(points) == 0 {
		return ""
	}
	byY := func(a, b Point) int { return cmp.Compare(a.Y, b.Y) }
	low, high := slices.MinFunc(points, byY), slices.MaxFunc(points, byY)
	switch {
	case len(points) == 1:
		return fmt.Sprintf("%s: %s at %s", l.Name, y.of(low.Y), x.of(low.X))
	case low.Y == high.Y:
		return fmt.Sprintf("%s is %s throughout", l.Name, y.of(low.Y))
	}
	return fmt.Sprintf("%s is lowest at %s (%s) and highest at %s (%s)", l.Name, x.of(low.X), short(low.Y),
		x.of(high.X), y.of(high.Y))
}
