package plots

import (
	"math"
	"slices"

	"onegrain/analysis"
	"onegrain/analysis/chart/graph"
	"onegrain/analysis/tally"
	"onegrain/analysis/window"
)

// mostLines are told apart in one chart.
const mostLines = 6

// sizes are the charts of what the cases give and cost.
func sizes(f *analysis.Findings) []Plot {
	all := f.Window
	if all.X == nil || len(all.Slices) == 0 {
		return spread(f)
	}
	diameter := func(p window.Point) graph.Point {
		return point(p.X, p.DiameterMM, tally.Interval{Low: p.P10, High: p.P90})
	}
	full := func(p window.Point) graph.Point {
		return point(p.X, p.FullH, tally.Interval{Low: tally.Unknown(), High: tally.Unknown()})
	}
	var out []Plot
	if c, note := over(f, graph.Axis{Name: "Clear diameter", Unit: "mm"}, "Median clear diameter", diameter); c != nil {
		out = append(out, Plot{Name: "diameter", Section: "window", Draw: draw(c, "Median clear diameter").Draw,
			Caption: "Largest disc that can be cut out as one grain: median of the runs, and the range that leaves out one run in ten on either side." + note})
	}
	if c, note := over(f, graph.Axis{Name: "Time until the body is solid", Unit: "h"}, "Time until the body is solid", full); c != nil {
		out = append(out, Plot{Name: "hours", Section: "window", Draw: draw(c, "Time until the body is solid").Draw,
			Caption: "Hours from the start of the programme until nothing is liquid any more, heating included; cases that stay partly liquid are left out." + note})
	}
	return append(out, spread(f)...)
}

func draw(parts []graph.Curves, title string) graph.Multiples {
	if len(parts) == 1 {
		parts[0].Title = ""
	}
	return graph.Multiples{Title: title, Curves: parts}
}

// over is a value of the cases over the axis with more values, one line for each of some values of the other one; nil where no case has it
// or the cases stand on no grid.
func over(f *analysis.Findings, y graph.Axis, name string, of func(window.Point) graph.Point) (parts []graph.Curves, note string) {
	x, by := f.Window.X, f.Window.Y
	turned := by != nil && len(by.Values) > len(x.Values)
	if turned {
		x, by = by, x
	}
	any, low, high := false, math.Inf(1), math.Inf(-1)
	for _, s := range f.Window.Slices {
		points := placed(s.Points, by != nil)
		if len(points) > mostPoints || by != nil && len(x.Values)*len(by.Values) > 3*len(points) {
			return nil, ""
		}
		part := graph.Curves{Title: setting(s.Fixed, f.Axes), X: axisOf(*x), Y: y}
		lines := map[float64]*graph.Line{}
		keep, all := some(by)
		if !all {
			note = " Of the lines some are left out, evenly."
		}
		for _, p := range points {
			at := 0.0
			if by != nil {
				at = float64(p.Y)
			}
			if turned {
				at, p.X = float64(p.X), p.Y
			}
			if by != nil && !slices.Contains(keep, at) {
				continue
			}
			if lines[at] == nil {
				lines[at] = &graph.Line{Name: name, Dots: len(x.Levels) > 0}
			}
			q := of(p)
			if q.Y == q.Y { // not NaN
				any, low, high = true, math.Min(low, orElse(q.Low, q.Y)), math.Max(high, orElse(q.High, q.Y))
			}
			lines[at].Points = append(lines[at].Points, q)
		}
		part.Lines = named(lines, keep, by)
		parts = append(parts, part)
	}
	if !any || alike(low, high) {
		return nil, ""
	}
	return parts, note
}

// alike are values between which no chart would show a difference that matters.
func alike(low, high float64) bool { return high-low <= 0.005*math.Abs(high) }

func orElse(x, other float64) float64 {
	if math.IsNaN(x) {
		return other
	}
	return x
}

// named are the lines in order, each named by its value where there are several.
func named(lines map[float64]*graph.Line, keep []float64, by *window.Axis) (out []graph.Line) {
	for _, at := range keep {
		l := lines[at]
		if l == nil {
			continue
		}
		if by != nil {
			l.Name = by.Label + " " + by.Text(at)
		}
		out = append(out, *l)
	}
	return out
}

// some values of an axis, evenly, and whether these are all.
func some(by *window.Axis) (keep []float64, all bool) {
	if by == nil {
		return []float64{0}, true
	}
	n := len(by.Values)
	if n <= mostLines {
		return by.Values, true
	}
	for k := range mostLines {
		keep = append(keep, by.Values[k*(n-1)/(mostLines-1)])
	}
	return keep, false
}

// spread is how the clear diameter scatters over the runs of the best case.
func spread(f *analysis.Findings) []Plot {
	if f.Best == nil {
		return nil
	}
	for _, c := range f.PerCase {
		if c.ID != f.Best.ID || c.DiameterMM.Count < fewest || alike(float64(c.DiameterMM.Min), float64(c.DiameterMM.Max)) {
			continue
		}
		d := graph.Distribution{Title: "Clear diameter in the runs of the best case", Note: setting(c.Settings, f.Axes), X: graph.Axis{Name: "Clear diameter", Unit: "mm"},
			Samples: []graph.Sample{{Name: "best case", Values: c.DiameterMM.Sample}}}
		return []Plot{{Name: "diameters-best", Section: "window", Draw: d.Draw, Caption: "How the clear diameter scatters from run to run of the same programme."}}
	}
	return nil
}
