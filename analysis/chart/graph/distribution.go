package graph

import (
	"fmt"
	"io"
	"math"
	"sort"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/scale"
)

// Sample is a set of values, such as the clear diameters of the replicates of a case.
type Sample struct {
	Name   string
	Values []float64 // in any order
	Failed int       // runs without a value
}

// Distribution shows how values are spread: of one sample a histogram and the cumulative share under it, of several the
// cumulative shares alone, which can be compared.
type Distribution struct {
	Title, Note string
	X           Axis
	Samples     []Sample
	Marks       []Mark // places on the axis, such as a wanted diameter
}

const fewestValues = 5 // fewer are named one by one: they have no shape

// Draw writes the chart and returns its text alternative; the error names a faulty value, or is that of w.
func (d Distribution) Draw(w io.Writer, format paper.Format) (alt string, err error) {
	if err := d.check(); err != nil {
		return "", err
	}
	letters, err := paper.NewLetters()
	if err != nil {
		return "", err
	}
	s := &sheet{title: d.Title, note: d.Note, words: d.nothing()}
	if s.words == "" {
		d.compose(s, letters)
	}
	return s.write(w, format, letters)
}

func (d Distribution) check() error {
	if err := d.X.check("Distribution.X"); err != nil {
		return err
	}
	for i, q := range d.Samples {
		for j, v := range q.Values {
			if !finite(v) {
				return fmt.Errorf("graph: Distribution.Samples[%d].Values[%d] = %v: wanted a finite number; count runs without a value as Failed", i, j, v)
			}
		}
	}
	return checkMarks("Distribution", d.Marks)
}

// nothing tells in words why no distribution is drawn; empty where one is.
func (d Distribution) nothing() string {
	values, failed, most := 0, 0, 0
	for _, q := range d.Samples {
		values, failed, most = values+len(q.Values), failed+q.Failed, max(most, len(q.Values))
	}
	switch {
	case values == 0 && failed > 0:
		return fmt.Sprintf("%s failed: no %s is known.", all(failed, "run"), d.X.lower())
	case values == 0:
		return fmt.Sprintf("No run has a result: there is no %s to show.", d.X.lower())
	case most < fewestValues:
		return d.few()
	case len(d.Samples) == 1:
		return d.alike()
	}
	return ""
}

// alike says that all values of a single sample are the same, which would be a bar of an invented width; empty where they differ.
func (d Distribution) alike() string {
	q := d.Samples[0]
	s := ordered(q.Values)
	if s[0] != s[len(s)-1] {
		return ""
	}
	text := fmt.Sprintf("%s of all %d runs is the same: %s.", capital(d.X.Name), len(s), d.X.of(s[0]))
	if q.Failed > 0 {
		text += " " + capital(count(q.Failed, "run")) + " failed."
	}
	return text
}

// few names values that are too few to be called a distribution.
func (d Distribution) few() string {
	var parts []string
	for _, q := range d.Samples {
		if len(q.Values) == 0 {
			continue
		}
		var list []string
		for _, v := range ordered(q.Values) {
			list = append(list, short(v))
		}
		text := strings.TrimSpace(strings.Join(list, ", ") + " " + d.X.Unit)
		if q.Name != "" && len(d.Samples) > 1 {
			text = q.Name + ": " + text
		}
		parts = append(parts, text)
	}
	return fmt.Sprintf("%s: %s. Fewer than %d values show no distribution: run more replicates.", capital(d.X.Name), strings.Join(parts, "; "), fewestValues)
}

func ordered(values []float64) []float64 {
	s := append([]float64(nil), values...)
	sort.Float64s(s)
	return s
}

func (d Distribution) compose(s *sheet, letters paper.Letters) {
	ex := nothing()
	for _, q := range d.Samples {
		ex = ex.with(q.Values...)
	}
	for _, m := range d.Marks {
		ex = ex.with(m.At)
	}
	one := len(d.Samples) == 1
	var bins []bin
	if one {
		bins = binned(d.Samples[0].Values)
		ex = ex.with(bins[0].low, bins[len(bins)-1].high)
	}
	ex = ex.padded(false)
	marks, top := newMarks(d.Marks, ex, sheetWidth-90)
	if one {
		most := 0
		for _, b := range bins {
			most = max(most, b.n)
		}
		p := newPlot(letters, d.X, Axis{Name: "Runs"}, ex, extent{0, 1.08 * float64(most)}, [2]float64{sheetWidth - 90, 120})
		p.X.Label.Text = ""
		p.Y.Tick.Marker = whole{}
		p.Add(histogram(bins), marks)
		s.panes = append(s.panes, &pane{plot: p, high: 150, top: top})
		top = 0
	}
	p := newPlot(letters, d.X, Axis{Name: "Share at or below"}, ex, extent{-0.02, 1.04}, [2]float64{sheetWidth - 90, 130})
	marks.numbers = !one
	p.Add(marks)
	for i, q := range d.Samples {
		if len(q.Values) == 0 {
			continue
		}
		k := curve{line: Line{Name: q.Name, Points: cumulative(q.Values, ex)}, style: styleOf(i), steps: true}
		p.Add(k.plain())
		if !one {
			s.legend = append(s.legend, k.plain().entry(letters.Known(fmt.Sprintf("%s (%s)", q.Name, count(len(q.Values), "run")))))
		}
	}
	s.panes = append(s.panes, &pane{plot: p, high: map[bool]float64{true: 150, false: 230}[one], top: top})
	s.legend = append(s.legend, marks.entries(d.X, letters)...)
	s.alt, s.remarks = d.seen(), d.remarks()
}

func (k curve) plain() bare { return bare{k} }

// whole marks whole numbers only.
type whole struct{}

// Ticks are the marks.
func (whole) Ticks(low, high float64) (list []plot.Tick) {
	for _, t := range ticks(low, high, 4) {
		if t.Value == math.Floor(t.Value) {
			t.Label = scale.Number(t.Value, 0)
			list = append(list, t)
		}
	}
	return list
}

// cumulative is the share of values at or below each value, from the left of the range to its right.
func cumulative(values []float64, e extent) []Point {
	nan := math.NaN()
	points := []Point{{e.low, 0, nan, nan}}
	sorted := ordered(values)
	for i, v := range sorted {
		if i+1 == len(sorted) || sorted[i+1] > v {
			points = append(points, Point{v, float64(i+1) / float64(len(sorted)), nan, nan})
		}
	}
	return append(points, Point{e.high, 1, nan, nan})
}

// bin is one bar of a histogram: the values from low (included) to high (the last bin's included).
type bin struct {
	low, high float64
	n         int
}

// binned counts values in bins with round borders; their width is near 2 · IQR · n^(−1/3) (D. Freedman and P. Diaconis,
// Z. Wahrscheinlichkeitstheorie verw. Gebiete 57 (1981) 453), between 6 and 30 of them.
func binned(values []float64) []bin {
	s := ordered(values)
	low, high := s[0], s[len(s)-1]
	if low == high {
		return []bin{{low, high, len(s)}}
	}
	iqr := quantile(s, 0.75) - quantile(s, 0.25)
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
	bins := make([]bin, int(math.Floor((high-first)/step+1e-9))+1)
	for i := range bins {
		bins[i] = bin{first + float64(i)*step, first + float64(i+1)*step, 0}
	}
	for _, v := range s {
		bins[min(len(bins)-1, max(0, int((v-first)/step+1e-9)))].n++
	}
	return bins
}

// quantile is that of sorted values, linear between them.
func quantile(sorted []float64, q float64) float64 {
	at := q * float64(len(sorted)-1)
	i := int(at)
	if i+1 >= len(sorted) {
		return sorted[len(sorted)-1]
	}
	return sorted[i] + (at-float64(i))*(sorted[i+1]-sorted[i])
}

// histogram draws bins.
type histogram []bin

// Plot draws the bars.
func (h histogram) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	ink := styleOf(0).ink
	for _, b := range h {
		if b.n == 0 {
			continue
		}
		corners := []vg.Point{{X: x(b.low), Y: y(0)}, {X: x(b.low), Y: y(float64(b.n))}, {X: x(b.high), Y: y(float64(b.n))}, {X: x(b.high), Y: y(0)}}
		c.FillPolygon(pale(ink), corners)
		c.StrokeLines(draw.LineStyle{Color: ink, Width: vg.Points(0.9)}, corners)
	}
}

func (d Distribution) seen() string {
	var parts []string
	for _, q := range d.Samples {
		if len(q.Values) == 0 || len(parts) == 6 {
			continue
		}
		s := ordered(q.Values)
		name := q.Name
		if name == "" {
			name = "the runs"
		}
		parts = append(parts, fmt.Sprintf("%s: median %s, from %s to %s in %s", name, d.X.of(quantile(s, 0.5)), short(s[0]), d.X.of(s[len(s)-1]), count(len(s), "run")))
	}
	return fmt.Sprintf("Distribution of the %s. %s.", d.X.lower(), capital(strings.Join(parts, "; ")))
}

func (d Distribution) remarks() (list []string) {
	failed := 0
	for _, q := range d.Samples {
		failed += q.Failed
		s := ordered(q.Values)
		switch {
		case len(s) > 1 && s[0] == s[len(s)-1]:
			list = append(list, strings.TrimSpace(fmt.Sprintf("%s: all %d runs have the same value, %s.", name(q.Name, "Here"), len(s), d.X.of(s[0]))))
		case len(s) > 0 && len(s) < fewestValues:
			list = append(list, fmt.Sprintf("%s: only %s.", name(q.Name, "Here"), count(len(s), "run")))
		}
	}
	if failed > 0 {
		list = append(list, capital(count(failed, "run"))+" failed: left out.")
	}
	return list
}

func name(s, otherwise string) string {
	if s == "" {
		return otherwise
	}
	return capital(s)
}
