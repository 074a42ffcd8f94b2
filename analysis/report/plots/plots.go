package plots

import (
	"io"
	"math"
	"slices"
	"strings"

	"onegrain/analysis"
	"onegrain/analysis/chart/graph"
	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/scale"
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
	return slices.Concat(chances(f), overLaws(f), sizes(f), joined(f), inputs(f))
}

// axisOf is an axis of a study as charts want it.
func axisOf(a window.Axis) graph.Axis {
	return graph.Axis{Name: scale.Capital(a.Label), Unit: a.Unit, Log: a.Log, Levels: a.Levels}
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
	return scale.Capital(strings.Join(parts, ", "))
}

// point has the interval only where both ends are known and hold the value.
func point(x, y tally.Real, i tally.Interval) graph.Point {
	p := graph.Point{X: float64(x), Y: float64(y), Low: math.NaN(), High: math.NaN()}
	if y.Known() && i.Low <= i.High && i.Low != i.High {
		p.Low, p.High = float64(i.Low), float64(i.High)
	}
	return p
}

// evenly are at most `most` of some things, evenly spread over their order.
func evenly[T any](all []T, most int) []T {
	if len(all) <= most {
		return all
	}
	out := make([]T, most)
	for k := range out {
		out[k] = all[k*(len(all)-1)/(most-1)]
	}
	return out
}

// placed are those of the points that may stand in a chart: with a place on the axes.
func placed(points []window.Point, two bool) (out []window.Point) {
	for _, p := range points {
		if p.X.Known() && (!two || p.Y.Known()) {
			out = append(out, p)
		}
	}
	return out
}
