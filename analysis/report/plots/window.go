package plots

import (
	"fmt"
	"slices"

	"onegrain/analysis"
	"onegrain/analysis/chart/graph"
	"onegrain/analysis/tally"
	"onegrain/analysis/window"
)

// mostPoints of a slice have room on a chart.
const mostPoints = 2500

// chances is the chart of the chance of a single grain over one or two axes; none where nothing was
// varied.
func chances(f *analysis.Findings) []Plot {
	w := f.Window
	if w.X == nil || len(w.Slices) == 0 {
		return nil
	}
	m := graph.Multiples{Title: "Chance of a single grain"}
	dropped := 0
	var all []window.Point
	for _, s := range w.Slices {
		points := placed(s.Points, w.Y != nil)
		shown := evenly(points, mostPoints)
		dropped += len(points) - len(shown)
		all = append(all, shown...)
		if title := setting(s.Fixed, f.Axes); w.Y != nil {
			m.Windows = append(m.Windows, plane(w, s, title, shown))
		} else {
			m.Curves = append(m.Curves, along(w, title, shown))
		}
	}
	plot := Plot{Name: "window", Section: "window", Draw: m.Draw, Caption: "Chance of a single grain: the exact odds, " +
		"and what was counted with its 95 % interval. The level across is the wanted chance."}
	if w.Y != nil {
		plot.Caption = planeCaption(f, m.Windows, all)
	}
	if dropped > 0 {
		plot.Caption += fmt.Sprintf(" %d more cases are left out of the picture, evenly.", dropped)
	}
	return []Plot{plot}
}

// plane is a slice over two axes.
func plane(w window.Window, s window.Slice, title string, points []window.Point) graph.Window {
	part := graph.Window{Title: title, X: axisOf(*w.X), Y: axisOf(*w.Y), Wanted: w.Wanted}
	for _, p := range points {
		c := graph.Cell{X: float64(p.X), Y: float64(p.Y), Exact: float64(p.Exact), Hits: p.Hits, Runs: p.Runs,
			Failed: failed(p)}
		if p.Laws != nil {
			c.Exact = float64(p.Laws.Chance)
		}
		if p.Runs > 0 {
			c.Low, c.High = float64(p.Counted.Low), float64(p.Counted.High)
		}
		part.Cells = append(part.Cells, c)
	}
	if c := s.Contours; c != nil {
		part.Contour, part.Interval = c.Line, slices.Concat(c.Inner, c.Outer)
	}
	return part
}

func failed(p window.Point) bool { return !p.Exact.Known() && p.Runs == 0 }

// planeCaption says what marks stand for cases, whether there is a line, and where the chances come
// from.
func planeCaption(f *analysis.Findings, parts []graph.Window, points []window.Point) string {
	text := "Chance of a single grain for each case"
	if w := f.Window; len(w.X.Values)*len(w.Y.Values) > 3*f.Cases {
		text += ", a dot at its place"
	}
	if slices.ContainsFunc(parts, func(p graph.Window) bool { return len(p.Contour) > 0 }) {
		text += fmt.Sprintf("; the line separates what reaches %.4g %% from what does not", 100*f.Window.Wanted)
	}
	exact := slices.ContainsFunc(points, func(p window.Point) bool { return p.Exact.Known() })
	counted := slices.ContainsFunc(points, func(p window.Point) bool { return p.Runs > 0 })
	odds := "the exact odds"
	if len(points) > 0 && points[0].Laws != nil {
		odds = "the mean over all laws of the logbook"
	}
	switch {
	case exact && counted:
		return text + ". Colours show " + odds + "; where there is room the numbers are written, " + odds + " above, " +
			"below them how many of the runs ended as a single grain."
	case exact:
		return text + ". By " + odds + "; no runs were counted."
	}
	return text + ". Counted in runs; exact odds are not known."
}

// along are the exact and the counted chance over one axis.
func along(w window.Window, title string, points []window.Point) graph.Curves {
	c := graph.Curves{Title: title, X: axisOf(*w.X), Y: graph.Axis{Name: "Chance of a single grain"}, To: 1,
		Wanted: w.Wanted}
	exact := graph.Line{Name: "exact odds", Dots: len(w.X.Levels) > 0}
	if len(points) > 0 && points[0].Laws != nil {
		exact.Name = "middle law"
	}
	counted := graph.Line{Name: "counted, with 95 % interval", Dots: true}
	for _, p := range points {
		own := tally.Interval{Low: tally.Unknown(), High: tally.Unknown()}
		if p.Source == "exact mean" {
			own = p.Interval
		}
		exact.Points = append(exact.Points, point(p.X, p.Exact, own))
		counted.Points = append(counted.Points, point(p.X, p.Fraction, p.Counted))
		if failed(p) {
			c.Failed++
		}
	}
	for _, l := range []graph.Line{exact, counted} {
		if slices.ContainsFunc(l.Points, func(p graph.Point) bool { return p.Y == p.Y }) { // not NaN
			c.Lines = append(c.Lines, l)
		}
	}
	return c
}
