package graph

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg/draw"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/tint"
)

// Multiples are small windows or curves side by side, one for each value of a further axis, on the same axes and the same scale. The
// titles of the parts say which value each stands for.
type Multiples struct {
	Title, Note string
	Windows     []Window // either these
	Curves      []Curves // or these
}

// Draw writes the charts and returns their text alternative; the error names a faulty value, or is that of w.
func (m Multiples) Draw(w io.Writer, format paper.Format) (alt string, err error) {
	if err := m.check(); err != nil {
		return "", err
	}
	letters, err := paper.NewLetters()
	if err != nil {
		return "", err
	}
	s := &sheet{title: m.Title, note: m.Note, words: m.nothing(), columns: 2}
	if n := len(m.Windows) + len(m.Curves); n == 1 {
		s.columns = 1
	}
	switch {
	case s.words != "":
	case len(m.Windows) > 0:
		m.windows(s, letters)
	default:
		m.curves(s, letters)
	}
	return s.write(w, format, letters)
}

func (m Multiples) check() error {
	if len(m.Windows) > 0 && len(m.Curves) > 0 {
		return fmt.Errorf("graph: Multiples has %d Windows and %d Curves: wanted one kind only", len(m.Windows), len(m.Curves))
	}
	for i, n := range m.Windows {
		if err := n.check(fmt.Sprintf("Multiples.Windows[%d]", i)); err != nil {
			return err
		}
	}
	for i, c := range m.Curves {
		if err := c.check(fmt.Sprintf("Multiples.Curves[%d]", i)); err != nil {
			return err
		}
	}
	return nil
}

func (m Multiples) nothing() string {
	why := "No case has a result: there is nothing to show."
	for _, n := range m.Windows {
		if why = n.nothing(); why == "" {
			return ""
		}
	}
	for _, c := range m.Curves {
		if why = c.nothing(); why == "" {
			return ""
		}
	}
	if len(m.Windows)+len(m.Curves) > 1 && strings.Contains(why, "failed") {
		why = "Every case of every part failed: there is nothing to show."
	}
	return why
}

// half is the width of the data of one of two parts side by side.
const half = (sheetWidth-2*margin-paneGap)/2 - 52

func (m Multiples) windows(s *sheet, letters paper.Letters) {
	var xs, ys []float64
	for _, n := range m.Windows {
		x, y := n.values()
		xs, ys = append(xs, x...), append(ys, y...)
	}
	slices.Sort(xs)
	slices.Sort(ys)
	xs, ys = slices.Compact(xs), slices.Compact(ys)
	var parts []string
	pool := Window{Wanted: m.Windows[0].Wanted}
	for _, n := range m.Windows {
		k := n.matrix(xs, ys)
		k.room = [2]float64{half, math.Max(110, math.Min(210, 26*float64(len(ys))))}
		q := k.pane(letters)
		q.title = letters.Known(n.Title)
		if len(n.Cells) == 0 {
			q.plot.Add(noResult{})
		}
		s.panes = append(s.panes, q)
		s.legend = merged(s.legend, k.entries())
		if n.nothing() == "" {
			parts = append(parts, n.Title+": "+n.seen())
		} else {
			s.remarks = append(s.remarks, n.Title+": "+n.nothing())
		}
		pool.Cells = append(pool.Cells, n.Cells...)
	}
	s.bar, s.remarks = m.Windows[0].scale(), append(s.remarks, pool.remarks()...)
	s.alt = few(parts)
}

// noResult says within the axes of a part that nothing is known there.
type noResult struct{}

// Plot writes it.
func (noResult) Plot(c draw.Canvas, p *plot.Plot) {
	style := p.X.Tick.Label
	style.XAlign, style.YAlign = draw.XCenter, draw.YCenter
	labelled(c, style, tint.Paper(), c.Center(), "no result")
}

// few joins the texts of the parts, of many the first and the last.
func few(parts []string) string {
	if len(parts) > 3 {
		return fmt.Sprintf("%d charts on the same axes. %s … %s", len(parts), parts[0], parts[len(parts)-1])
	}
	return strings.Join(parts, " ")
}

// merged adds the entries that are not there yet.
func merged(list, more []entry) []entry {
	for _, e := range more {
		if !slices.ContainsFunc(list, func(x entry) bool { return x.text == e.text }) {
			list = append(list, e)
		}
	}
	return list
}

func (m Multiples) curves(s *sheet, letters paper.Letters) {
	ex, ey := nothing(), nothing()
	for _, c := range m.Curves {
		x, y := c.extents()
		ex, ey = ex.with(x.low, x.high), ey.with(y.low, y.high)
		if c.To > c.From {
			ey = ey.with(c.From, c.To)
		}
	}
	ex, ey = ex.padded(m.Curves[0].X.Log), ey.padded(m.Curves[0].Y.Log)
	var parts []string
	for _, c := range m.Curves {
		q, legend := c.pane(letters, ex, ey, half, 180)
		q.title = letters.Known(c.Title)
		if c.nothing() != "" {
			q.plot.Add(noResult{})
		}
		s.panes = append(s.panes, q)
		s.legend = merged(s.legend, legend)
		if c.nothing() == "" {
			parts = append(parts, c.Title+": "+c.seen())
		} else {
			s.remarks = append(s.remarks, c.Title+": "+c.nothing())
		}
	}
	s.alt = few(parts)
}
