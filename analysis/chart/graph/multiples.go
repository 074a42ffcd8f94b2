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

// nothing is empty where any part has something to show.
func (m Multiples) nothing() string {
	why := []string{"No case has a result: there is nothing to show."}
	for _, n := range m.Windows {
		why = append(why, nothing(n))
	}
	for _, c := range m.Curves {
		why = append(why, nothing(c))
	}
	last := why[len(why)-1]
	if slices.Contains(why, "") {
		return ""
	} else if len(why) > 2 && strings.Contains(last, "failed") {
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
	for _, n := range parts {
		m := n.matrix(xs, ys, [2]float64{wide, max(least, min(most, row*float64(len(ys))))})
		if m.dots {
			m.room[1] = min(most, 300)
		}
		s.part(m.pane(s), n.Title, n, len(n.Cells) == 0)
	}
	s.bar = pool.scale()
	s.together(pool)
}

// curves set panes; a chart by itself whose range is given is higher.
func (s *sheet) curves(parts []Curves) {
	pool, size := parts[0], [2]float64{half, 180}
	if s.columns == 1 && pool.From != pool.To {
		size = [2]float64{dataWidth, 270}
	}
	pool.Lines, pool.Failed = nil, 0
	for _, c := range parts {
		if pool.Lines = append(pool.Lines, c.Lines...); nothing(c) == "" {
			pool.Failed += c.Failed
		}
	}
	ex, ey := pool.extents()
	for _, c := range parts {
		s.part(c.pane(s, ex, ey, size), c.Title, c, nothing(c) != "")
	}
	s.together(pool)
}

// part adds a pane with its title and what is seen of it; of a part without a result a remark says
// why, and of a bare one its plot says so too.
func (s *sheet) part(q *pane, title string, of any, bare bool) {
	s.panes = append(s.panes, q)
	if bare {
		q.plot.Add(drawing(func(c draw.Canvas, p *plot.Plot) {
			labelled(c, centred(p, 8.5), tint.Paper(), c.Center(), "no result")
		}))
	}
	if s.columns == 1 {
		title = ""
	}
	if q.title = title; title != "" {
		title += ": "
	}
	if why := nothing(of); why != "" {
		s.remarks = append(s.remarks, title+why)
	} else {
		s.parts = append(s.parts, title+strings.Join(said(of, "seen"), " "))
	}
}

// together says what is seen of the parts, of many of the first and the last, and what is to be
// remarked of all.
func (s *sheet) together(pool any) {
	n := len(s.parts)
	if s.seen = strings.Join(s.parts, " "); n > 3 {
		s.seen = fmt.Sprintf("%d charts on the same axes. %s … %s", n, s.parts[0], s.parts[n-1])
	}
	s.remarks = append(s.remarks, said(pool, "remarks")...)
}

// explain adds to the legend what is not there yet.
func (s *sheet) explain(text string, sample func(draw.Canvas)) {
	if !slices.ContainsFunc(s.legend, func(e entry) bool { return e.text == text }) {
		s.legend = append(s.legend, entry{text, sample})
	}
}
