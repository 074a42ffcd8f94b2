package plots

import (
	"fmt"

	"onegrain/analysis"
	"onegrain/analysis/chart/graph"
	"onegrain/analysis/tally"
	"onegrain/analysis/window"
)

// mostPoints of a slice have room on a chart.
const mostPoints = 2500

// chances are the charts of the chance of a single grain; none where nothing was varied.
func chances(f *analysis.Findings) []Plot {
	w := f.Window
	switch {
	case w.X == nil || len(w.Slices) == 0:
		return nil
	case w.Y != nil:
		return []Plot{plane(f)}
	}
	return []Plot{line(f)}
}

// plane is the window over two axes.
func plane(f *analysis.Findings) Plot {
	var parts []graph.Window
	dropped, exact, counted := 0, false, false
	for _, s := range f.Window.Slices {
		part := graph.Window{Title: setting(s.Fixed, f.Axes), X: axisOf(*f.Window.X), Y: axisOf(*f.Window.Y), Wanted: f.Window.Wanted}
		points := placed(s.Points, true)
		some := thinned(points, mostPoints)
		dropped += len(points) - len(some)
		for _, p := range some {
			exact, counted = exact || p.Exact.Known(), counted || p.Runs > 0
			part.Cells = append(part.Cells, cellOf(p))
		}
		if c := s.Contours; c != nil && c.Line != nil {
			part.Contour, part.Interval = c.Line, append(append([][][2]float64{}, c.Inner...), c.Outer...)
		}
		parts = append(parts, part)
	}
	plot := Plot{Name: "window", Section: "window", Caption: planeCaption(f, parts) + told(exact, counted) + left(dropped)}
	const title = "Chance of a single grain"
	if len(parts) == 1 {
		parts[0].Title = title
		plot.Draw = parts[0].Draw
		return plot
	}
	plot.Draw = graph.Multiples{Title: title, Windows: parts}.Draw
	return plot
}

// planeCaption says what marks stand for cases, and whether there is a line.
func planeCaption(f *analysis.Findings, parts []graph.Window) string {
	text, line := "Chance of a single grain for each case", false
	for _, p := range parts {
		line = line || len(p.Contour) > 0
	}
	if w := f.Window; len(w.X.Values)*len(w.Y.Values) > 3*f.Cases {
		text += ", a dot at its place"
	}
	if line {
		text += "; the line parts what reaches " + percent(f.Window.Wanted) + " from what does not"
	}
	return text + "."
}

// told says where the chances come from.
func told(exact, counted bool) string {
	switch {
	case exact && counted:
		return " Colours show the exact odds; where there is room the numbers are written, the exact odds above, below them how many of the runs ended as a single grain."
	case exact:
		return " By the exact odds; no runs were counted."
	}
	return " Counted in runs; exact odds are not known."
}

func left(dropped int) string {
	if dropped == 0 {
		return ""
	}
	return fmt.Sprintf(" %d more cases are left out of the picture, evenly.", dropped)
}

func cellOf(p window.Point) graph.Cell {
	c := graph.Cell{X: float64(p.X), Y: float64(p.Y), Exact: float64(p.Exact), Hits: p.Hits, Runs: p.Runs, Failed: !p.Exact.Known() && p.Runs == 0}
	if p.Runs > 0 {
		c.Low, c.High = float64(p.Counted.Low), float64(p.Counted.High)
	}
	return c
}

// line is the chance along one axis.
func line(f *analysis.Findings) Plot {
	var parts []graph.Curves
	dropped := 0
	for _, s := range f.Window.Slices {
		points := placed(s.Points, false)
		some := thinned(points, mostPoints)
		dropped += len(points) - len(some)
		part := along(*f.Window.X, some)
		part.Title, part.Wanted = setting(s.Fixed, f.Axes), f.Window.Wanted
		parts = append(parts, part)
	}
	plot := Plot{Name: "window", Section: "window", Caption: "Chance of a single grain: the exact odds, and what was counted with its 95 % interval. The level across is the wanted chance." + left(dropped)}
	const title = "Chance of a single grain"
	if len(parts) == 1 {
		parts[0].Title = title
		plot.Draw = parts[0].Draw
		return plot
	}
	plot.Draw = graph.Multiples{Title: title, Curves: parts}.Draw
	return plot
}

// along are the exact and the counted chance over one axis.
func along(x window.Axis, points []window.Point) graph.Curves {
	c := graph.Curves{X: axisOf(x), Y: graph.Axis{Name: "Chance of a single grain"}, From: 0, To: 1}
	exact, counted := graph.Line{Name: "exact odds", Dots: len(x.Levels) > 0}, graph.Line{Name: "counted, with 95 % interval", Dots: true}
	for _, p := range points {
		own := tally.Interval{Low: tally.Unknown(), High: tally.Unknown()}
		if p.Exact.Known() && p.Source == "exact mean" {
			own = p.Interval
		}
		exact.Points = append(exact.Points, point(p.X, p.Exact, own))
		counted.Points = append(counted.Points, point(p.X, p.Fraction, p.Counted))
		if !p.Exact.Known() && p.Runs == 0 {
			c.Failed++
		}
	}
	for _, l := range []graph.Line{exact, counted} {
		if known(l) {
			c.Lines = append(c.Lines, l)
		}
	}
	return c
}

// known tells whether a line has a value.
func known(l graph.Line) bool {
	for _, p := range l.Points {
		if p.Y == p.Y { // not NaN
			return true
		}
	}
	return false
}
