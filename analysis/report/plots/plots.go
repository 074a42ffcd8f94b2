package plots

import (
	"fmt"
	"io"
	"math"
	"strings"
	"unicode"
	"unicode/utf8"

	"onegrain/analysis"
	"onegrain/analysis/chart/graph"
	"onegrain/analysis/chart/paper"
	"onegrain/analysis/tally"
	"onegrain/analysis/window"
)

// Plot is one chart of a report.
type Plot struct {
	Name    string // of its files
	Section string // of the page: window, size, joints or influence
	Caption string
	Draw    func(w io.Writer, format paper.Format) (alt string, err error)
}

// Of are the charts of a study, in the order of the page.
func Of(f *analysis.Findings) []Plot {
	all := chances(f)
	all = append(all, sizes(f)...)
	all = append(all, joined(f)...)
	return append(all, inputs(f)...)
}

// axisOf is an axis of a study as charts want it.
func axisOf(a window.Axis) graph.Axis {
	return graph.Axis{Name: capital(a.Label), Unit: a.Unit, Log: a.Log, Levels: a.Levels}
}

func capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if n == 0 {
		return s
	}
	return string(unicode.ToUpper(r)) + s[n:]
}

// setting names the slice of a study.
func setting(fixed []window.Setting, axes []window.Axis) string {
	var parts []string
	for _, s := range fixed {
		name := s.Axis
		for _, a := range axes {
			if a.Name == s.Axis {
				name = a.Label
			}
		}
		parts = append(parts, name+" "+s.Value)
	}
	return capital(strings.Join(parts, ", "))
}

// point has the interval only where both ends are known and hold the value.
func point(x, y tally.Real, i tally.Interval) graph.Point {
	p := graph.Point{X: float64(x), Y: float64(y), Low: math.NaN(), High: math.NaN()}
	if y.Known() && i.Low.Known() && i.High.Known() && i.Low <= i.High && i.Low != i.High {
		p.Low, p.High = float64(i.Low), float64(i.High)
	}
	return p
}

// thinned are at most `most` of the points, evenly spread over their order.
func thinned(points []window.Point, most int) []window.Point {
	if len(points) <= most {
		return points
	}
	out := make([]window.Point, most)
	for k := range out {
		out[k] = points[k*(len(points)-1)/(most-1)]
	}
	return out
}

// percent writes a wanted chance.
func percent(p float64) string { return fmt.Sprintf("%.4g %%", 100*p) }

// placed are those of the points that may stand in a chart: with a place on the axes.
func placed(points []window.Point, two bool) (out []window.Point) {
	for _, p := range points {
		if p.X.Known() && (!two || p.Y.Known()) {
			out = append(out, p)
		}
	}
	return out
}
