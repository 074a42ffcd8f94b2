package graph

import (
	"fmt"
	"io"
	"math"
	"slices"

	"gonum.org/v1/plot/plotter"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/scale"
	"onegrain/analysis/tally"
)

// Sample is a set of values, such as the clear diameters of the replicates of a case.
type Sample struct {
	Name   string
	Values []float64 // in any order
}

// Distribution shows how values are spread: of one sample a histogram and the cumulative share
// under it, of several the cumulative shares alone, which can be compared.
type Distribution struct {
	Title, Note string
	X           Axis
	Samples     []Sample
	Marks       []Mark // places on the axis, such as a wanted diameter
}

// Draw writes the chart as all charts are written, see write.
func (d Distribution) Draw(w io.Writer, as paper.Format) (string, error) { return write(d, w, as) }

func (d Distribution) head() (title, note string) { return d.Title, d.Note }

// constant tells whether all values are the same.
func (q Sample) constant() bool {
	return len(q.Values) > 1 && slices.Min(q.Values) == slices.Max(q.Values)
}

func (d Distribution) compose(s *sheet) {
	ex := extentOf()
	for _, q := range d.Samples {
		ex = ex.with(q.Values...)
	}
	for _, m := range d.Marks {
		ex = ex.with(m.At)
	}
	one, high := len(d.Samples) == 1, 230.0
	bars, most := &plotter.Histogram{FillColor: styleOf(0).pale(), LineStyle: styleOf(0).thin(0.9)}, 0.0
	if one {
		bars.Bins, high = binned(d.Samples[0].Values), 150
		for _, b := range bars.Bins {
			ex, most = ex.with(b.Min, b.Max), max(most, b.Weight)
		}
	}
	ex = ex.padded(false)
	marks, top := newMarks(d.Marks, ex)
	if one {
		marked := min(120, 20*most) // whole numbers alone
		p := s.plot(Axis{}, Axis{Name: "Runs"}, ex, extent{0, 1.08 * most}, [2]float64{dataWidth, marked})
		p.Add(bars, marks)
		s.panes = append(s.panes, &pane{plot: p, high: high, top: top})
		marks.numbers, top = false, 0
	}
	p := s.plot(d.X, Axis{Name: "Share at or below"}, ex, extent{-0.02, 1.04}, [2]float64{dataWidth, 130})
	p.Add(marks)
	for i, q := range d.Samples {
		if len(q.Values) == 0 {
			continue
		}
		k := curve{Line: Line{Points: cumulative(q.Values, ex)}, style: styleOf(i), steps: true, plain: true}
		p.Add(k)
		if !one {
			s.legend = append(s.legend,
				entry{fmt.Sprintf("%s (%s)", q.Name, scale.Plural(len(q.Values), "run")), k.sample})
		}
	}
	s.panes = append(s.panes, &pane{plot: p, high: high, top: top})
	marks.explain(s, d.X)
	s.describe(d)
}

// cumulative is the share of values at or below each value, from the left of the range to its
// right.
func cumulative(values []float64, e extent) []Point {
	nan := math.NaN()
	points := []Point{{e.low, 0, nan, nan}}
	sorted := slices.Sorted(slices.Values(values))
	for i, v := range sorted {
		if i+1 == len(sorted) || sorted[i+1] > v {
			points = append(points, Point{v, float64(i+1) / float64(len(sorted)), nan, nan})
		}
	}
	return append(points, Point{e.high, 1, nan, nan})
}

// binned counts values in bins with round boundaries; their width is near 2 · IQR · n^(−1/3)
// (D. Freedman and P. Diaconis, Z. Wahrscheinlichkeitstheorie verw. Gebiete 57 (1981) 453), between
// 6 and 30 of them.
func binned(values []float64) []plotter.HistogramBin {
	s := slices.Sorted(slices.Values(values))
	low, high := s[0], s[len(s)-1]
	if low == high {
		return []plotter.HistogramBin{{Min: low, Max: high, Weight: float64(len(s))}}
	}
	iqr := tally.Quantile(s, 0.75) - tally.Quantile(s, 0.25)
	wanted := 30.0
	if width := 2 * iqr / math.Cbrt(float64(len(s))); width > 0 {
		wanted = math.Max(6, math.Min(30, (high-low)/width))
	}
	edges, _ := scale.RoundSteps(low, high, int(wanted))
	step := (high - low) / wanted
	if len(edges) > 1 {
		step = edges[1] - edges[0]
	}
	first := math.Floor(low/step+1e-9) * step
	bins := make([]plotter.HistogramBin, int(math.Floor((high-first)/step+1e-9))+1)
	for i := range bins {
		bins[i].Min, bins[i].Max = first+float64(i)*step, first+float64(i+1)*step
	}
	for _, v := range s {
		bins[min(len(bins)-1, max(0, int((v-first)/step+1e-9)))].Weight++
	}
	return slices.DeleteFunc(bins, func(b plotter.HistogramBin) bool { return b.Weight == 0 })
}
