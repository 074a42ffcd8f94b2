package graph

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg/draw"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/tint"
)

// Multiples are a window or curves over one or two axes; or small ones side by side, one for each
// value of a further axis, on the same axes and the same scale. The titles of the parts say which
// value each stands for.
type Multiples struct {
	Title   string
	Windows []Window // either these
	Curves  []Curves // or these
}

// half is the width of the data of one of two parts side by side.
const half = (inner-paneGap)/2 - 52.0

// Draw writes the chart as all charts are written, see write.
func (m Multiples) Draw(w io.Writer, as paper.Format) (string, error) { return write(m, w, as) }

func (m Multiples) head() (title, note string) { return m.Title, "" }

func (m Multiples) check(k *checks) {
	k.that(len(m.Windows) == 0 || len(m.Curves) == 0, " has %d Windows and %d Curves: wanted one kind only",
		len(m.Windows), len(m.Curves))
	for i, n := range m.Windows {
		k.in(fmt.Sprintf("Windows[%d]", i), n.check)
	}
	for i, c := range m.Curves {
		k.in(fmt.Sprintf("Curves[%d]", i), c.check)
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

// compose has a single column for a part by itself, which is set larger and without its title.
func (m Multiples) compose(s *sheet) {
	s.columns = min(2, len(m.Windows)+len(m.Curves))
	if len(m.Windows) > 0 {
		s.windows(m.Windows)
	} else {
		s.curves(m.Curves)
	}
}

// windows set panes of a width, and of a height for each row within limits.
func (s *sheet) windows(parts []Window) {
	wide, row, least, most := half, 26.0, 110.0, 210.0 // points
	if s.columns == 1 {
		wide, row, least, most = dataWidth, 46, 56, 380
	}
	pool := Window{Wanted: parts[0].Wanted}
	for _, n := range parts {
		pool.Cells = append(pool.Cells, n.Cells...)
	}
	xs, ys := pool.values()
	var seen []string
	for _, n := range parts {
		m := n.matrix(xs, ys, [2]float64{wide, max(least, min(most, row*float64(len(ys))))})
		if m.dots {
			m.room[1] = min(most, 300)
		}
		q := m.pane(s)
		if len(n.Cells) == 0 {
			q.plot.Add(noResult())
		}
		seen = s.part(q, n.Title, n.nothing(), n.seenText, seen)
	}
	s.bar, s.seen, s.remarks = pool.scale(), firstAndLast(seen), append(s.remarks, pool.remarks()...)
}

// curves set panes; a chart by itself whose range is given is higher.
func (s *sheet) curves(parts []Curves) {
	pool, size := parts[0], [2]float64{half, 180}
	if s.columns == 1 && pool.From != pool.To {
		size = [2]float64{dataWidth, 270}
	}
	pool.Lines, pool.Failed = nil, 0
	for _, c := range parts {
		if pool.Lines = append(pool.Lines, c.Lines...); c.nothing() == "" {
			pool.Failed += c.Failed
		}
	}
	ex, ey := pool.extents()
	var seen []string
	for _, c := range parts {
		q := c.pane(s, ex, ey, size)
		if c.nothing() != "" {
			q.plot.Add(noResult())
		}
		seen = s.part(q, c.Title, c.nothing(), c.seenText, seen)
	}
	s.seen, s.remarks = firstAndLast(seen), append(s.remarks, pool.remarks()...)
}

// part adds a pane with its title, and what is seen of it to the texts of the others; of a part
// without a result a remark says why.
func (s *sheet) part(q *pane, title, nothing string, text func() string, seen []string) []string {
	s.panes = append(s.panes, q)
	if s.columns == 1 {
		title = ""
	}
	if q.title = title; title != "" {
		title += ": "
	}
	if nothing == "" {
		return append(seen, title+text())
	}
	s.remarks = append(s.remarks, title+nothing)
	return seen
}

// explain adds to the legend what is not there yet.
func (s *sheet) explain(text string, sample func(draw.Canvas)) {
	if !slices.ContainsFunc(s.legend, func(e entry) bool { return e.text == text }) {
		s.legend = append(s.legend, entry{text, sample})
	}
}

// noResult says within the axes of a part that nothing is known there.
func noResult() drawing {
	return func(c draw.Canvas, p *plot.Plot) {
		labelled(c, centred(p, 8.5), tint.Paper(), c.Center(), "no result")
	}
}

// firstAndLast joins the texts of the parts, of many the first and the last.
func firstAndLast(parts []string) string {
	if len(parts) > 3 {
		return fmt.Sprintf("%d charts on the same axes. %s … %s", len(parts), parts[0], parts[len(parts)-1])
	}
	return strings.Join(parts, " ")
}
