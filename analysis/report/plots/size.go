package plots

import (
	"math"

	"onegrain/analysis"
	"onegrain/analysis/chart/graph"
	"onegrain/analysis/tally"
	"onegrain/analysis/window"
)

// mostLines are told apart in one chart.
const mostLines = 6

// sizes are the charts of what the cases give and cost.
func sizes(f *analysis.Findings) (out []Plot) {
	for _, c := range []struct {
		name, title, caption string
		y                    graph.Axis
		of                   func(window.Point) graph.Point
	}{
		{"diameter", "Diameter of the clear piece", "Largest disc that can be cut out as one grain: median of the " +
			"runs, and the range that leaves out one run in ten on either side.",
			graph.Axis{Name: "Clear piece", Unit: "mm"}, func(p window.Point) graph.Point {
				return point(p.X, p.DiameterMM, tally.Interval{Low: p.P10, High: p.P90})
			}},
		{"hours", "Time until the body is solid", "Hours from the start of the programme until nothing is liquid any more, " +
			"heating included; cases that stay partly liquid are left out.",
			graph.Axis{Name: "Time until the body is solid", Unit: "h"}, func(p window.Point) graph.Point {
				return point(p.X, p.FullH, tally.Interval{Low: tally.Unknown(), High: tally.Unknown()})
			}},
	} {
		m := graph.Multiples{Title: c.title, Curves: over(f, c.y, c.title, c.of)}
		if m.Curves == nil {
			continue
		}
		if by := f.Window.Y; by != nil && min(len(by.Values), len(f.Window.X.Values)) > mostLines {
			c.caption += " Some of the lines are left out, evenly."
		}
		out = append(out, Plot{Name: c.name, Section: "window", Draw: m.Draw, Caption: c.caption})
	}
	return append(out, bestDiameters(f)...)
}

// over is a value of the cases over the axis with more values, one line for each of some values of
// the other one; nil where no case has it, where all have the same, or where the cases stand on no
// grid.
func over(f *analysis.Findings, y graph.Axis, name string, of func(window.Point) graph.Point) (parts []graph.Curves) {
	x, by := f.Window.X, f.Window.Y
	if x == nil {
		return nil
	}
	turned := by != nil && len(by.Values) > len(x.Values)
	lines := []float64{0}
	if turned {
		x, by = by, x
	}
	if by != nil {
		lines = evenly(by.Values, mostLines)
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, s := range f.Window.Slices {
		points := placed(s.Points, by != nil)
		if len(points) > mostPoints || by != nil && len(x.Values)*len(by.Values) > 3*len(points) {
			return nil
		}
		part := graph.Curves{Title: setting(s.Fixed, f.Axes), X: axisOf(*x), Y: y}
		for _, at := range lines {
			l := graph.Line{Name: name, Dots: len(x.Levels) > 0}
			if by != nil {
				l.Name = by.Label + " " + by.Text(at)
			}
			for _, p := range points {
				if turned {
					p.X, p.Y = p.Y, p.X
				}
				if by != nil && float64(p.Y) != at {
					continue
				}
				q := of(p)
				l.Points = append(l.Points, q)
				for _, v := range []float64{q.Y, q.Low, q.High} {
					if !math.IsNaN(v) {
						low, high = min(low, v), max(high, v)
					}
				}
			}
			if len(l.Points) > 0 {
				part.Lines = append(part.Lines, l)
			}
		}
		parts = append(parts, part)
	}
	if low > high || alike(low, high) {
		return nil
	}
	return parts
}

// alike are values between which no chart would show a difference that matters.
func alike(low, high float64) bool { return high-low <= 0.005*math.Abs(high) }

// bestDiameters is how the clear diameter scatters over the runs of the best case.
func bestDiameters(f *analysis.Findings) (out []Plot) {
	for _, c := range f.PerCase {
		d := c.DiameterMM
		if f.Best == nil || c.ID != f.Best.ID || d.Count < fewest || alike(float64(d.Min), float64(d.Max)) {
			continue
		}
		out = append(out, Plot{Name: "diameters-best", Section: "window",
			Caption: "How the diameter of the clear piece scatters from run to run of the same programme.",
			Draw: graph.Distribution{Title: "Clear piece in the runs of the best case", Note: setting(c.Settings, f.Axes),
				X:       graph.Axis{Name: "Clear piece", Unit: "mm"},
				Samples: []graph.Sample{{Name: "best case", Values: d.Sample}}}.Draw})
	}
	return out
}
