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

// Multiples are small windows or curves side by side, one for each value of a further axis, on the
// same axes and the same scale. The titles of the parts say which value each stands for.
type Multiples struct {
	Title   string
	Windows []Window // either these
	Curves  []Curves // or these
}

// half is the width of the data of one of two parts side by side.
const half = (inner-paneGap)/2 - 52

// Draw writes the charts and returns their text alternative; the error names a faulty value, or is
// that of w.
func (m Multiples) Draw(w io.Writer, format paper.Format) (alt string, err error) {
	return write(m, m.Title, "", w, format)
}

func (m Multiples) check(k *checks) {
	k.that(len(m.Windows) == 0 || len(m.Curves) == 0, "Multiples has %d Windows and %d Curves: wanted one kind only",
		len(m.Windows), len(m.Curves))
	for i, n := range m.Windows {
		n.checkAs(k, fmt.Sprintf("Multiples.Windows[%d]", i))
	}
	for i, c := range m.Curves {
		c.checkAs(k, fmt.Sprintf("Multiples.Curves[%d]", i))
	}
}

func (m Multiples) nothing() string {
	why := []string{"No case has a result: there is nothing to show."}
	for _, n := range m.Windows {
		why = append(why, n.nothing())
	}
	for _, c := range m.Curves {
		why = append(why, c.nothing())
	}
	last := why[len(why)-1]
	switch {
	case slices.Contains(why, ""):
		return ""
	case len(why) > 2 && strings.Contains(last, "failed"):
		return "Every case of every part failed: there is nothing to show."
	}
	return last
}

func (m Multiples) compose(s *sheet) {
	s.columns = min(2, len(m.Windows)+len(m.Curves))
	if len(m.Windows) > 0 {
		m.windows(s)
	} else {
		m.curves(s)
	}
}

func (m Multiples) windows(s *sheet) {
	pool := Window{Wanted: m.Windows[0].Wanted}
	for _, n := range m.Windows {
		pool.Cells = append(pool.Cells, n.Cells...)
	}
	xs, ys := pool.values()
	s.bar = pool.scale()
	var seen []string
	for _, n := range m.Windows {
		q := n.matrix(xs, ys, [2]float64{half, math.Max(110, math.Min(210, 26*float64(len(ys))))}).pane(s)
		seen = s.part(q, n.Title, n.nothing(), n.seenText, seen)
		if len(n.Cells) == 0 {
			q.plot.Add(noResult{})
		}
	}
	s.seen, s.remarks = few(seen), append(s.remarks, pool.remarks()...)
}

func (m Multiples) curves(s *sheet) {
	pool := m.Curves[0]
	pool.Lines = nil
	for _, c := range m.Curves {
		pool.Lines = append(pool.Lines, c.Lines...)
	}
	ex, ey := pool.extents()
	var seen []string
	for _, c := range m.Curves {
		q := c.pane(s, ex, ey, [2]float64{half, 180})
		seen = s.part(q, c.Title, c.nothing(), c.seenText, seen)
		if c.nothing() != "" {
			q.plot.Add(noResult{})
		}
	}
	s.seen = few(seen)
}

// part adds a pane with its title, and what is seen of it to the texts of the others; of a part
// without a result a remark says why.
func (s *sheet) part(q *pane, title, nothing string, text func() string, seen []string) []string {
	q.title = title
	s.panes = append(s.panes, q)
	if title != "" {
		title += ": "
	}
	if nothing == "" {
		return append(seen, title+text())
	}
	s.remarks = append(s.remarks, title+nothing)
	return seen
}

// explain adds an entry to the legend that is not there yet.
func (s *sheet) explain(e entry) {
	if !slices.ContainsFunc(s.legend, func(x entry) bool { return x.text == e.text }) {
		s.legend = append(s.legend, e)
	}
}

// noResult says within the axes of a part that nothing is known there.
type noResult struct{}

// Plot writes it.
func (noResult) Plot(c draw.Canvas, p *plot.Plot) {
	labelled(c, centred(p, 8.5), tint.Paper(), c.Center(), "no result")
}

// few joins the texts of the parts, of many the first and the last.
func few(parts []string) string {
	if len(parts) > 3 {
		return fmt.Sprintf("%d charts on the same axes. %s … %s", len(parts), parts[0], parts[len(parts)-1])
	}
	return strings.Join(parts, " ")
}
