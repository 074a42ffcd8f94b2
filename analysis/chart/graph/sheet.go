package graph

import (
	"fmt"
	"io"
	"math"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/scale"
	"onegrain/analysis/chart/tint"
)

// Measures of a sheet, in points. It is shown at this size on a desktop and at about two thirds of it on a phone.
const (
	sheetWidth = 560.0
	margin     = 14.0
	paneGap    = 18.0
	titleSize  = 12.5
	noteSize   = 9.5
	textSize   = 9.0
	lineHigh   = 13.5 // from one line of the legend to the next
	barHigh    = 42.0
)

// sheet is a chart before it is set on a page.
type sheet struct {
	title, note string
	panes       []*pane
	columns     int // panes side by side
	bar         *bar
	legend      []entry
	remarks     []string
	words       string // instead of panes: why there is nothing to show
	alt         string
}

// pane is one plot of a sheet.
type pane struct {
	title string
	plot  *plot.Plot
	high  float64    // with axes, points
	top   float64    // free room above the plot, for the numbers of marks
	data  [2]float64 // exact width and height of the data, for maps; 0: as large as there is room
}

// entry is one line of the legend.
type entry struct {
	text string
	draw func(p *paper.Page, x, y float64) // a sample in a field of 26 × 10 points; nil for none
}

// write sets the sheet and encodes it.
func (s *sheet) write(w io.Writer, format paper.Format, letters paper.Letters) (alt string, err error) {
	if format > paper.SVG {
		return "", fmt.Errorf("graph: format = %d: wanted PNG or SVG", format)
	}
	if s.words != "" {
		s.panes, s.bar, s.legend, s.remarks = nil, nil, nil, nil
	}
	p := paper.New(format, sheetWidth, math.Ceil(s.set(nil, letters)), letters)
	s.set(p, letters)
	return s.said(), p.Encode(w)
}

// said is the text alternative: title, what is seen, remarks.
func (s *sheet) said() string {
	text := s.alt
	if s.words != "" {
		text = s.words
	}
	if s.title != "" {
		text = strings.TrimRight(s.title, ".") + ": " + text
	}
	for _, r := range s.remarks {
		text += " " + r
	}
	return text
}

// set puts everything on the page from top to bottom and tells how high it is; on no page it only measures.
func (s *sheet) set(p *paper.Page, letters paper.Letters) float64 {
	y := s.heading(p, letters)
	if s.words != "" {
		return s.spoken(p, letters, y)
	}
	columns := max(1, s.columns)
	for row := 0; row < len(s.panes); row += columns {
		y = s.row(p, s.panes[row:min(row+columns, len(s.panes))], columns, y)
	}
	y += 6
	if s.bar != nil {
		if p != nil {
			s.bar.draw(p, margin+6, y, 300)
		}
		y += barHigh
	}
	y = s.entries(p, letters, y)
	for _, r := range s.remarks {
		y = lines(p, letters, r, textSize, tint.Grey(), y)
	}
	return y + margin - 4
}

func (s *sheet) heading(p *paper.Page, letters paper.Letters) float64 {
	y := margin
	y = lines(p, letters, s.title, titleSize, tint.Ink(), y)
	y = lines(p, letters, s.note, noteSize, tint.Grey(), y)
	return y + 4
}

// lines writes a text across the sheet and tells where it ends.
func lines(p *paper.Page, letters paper.Letters, text string, size float64, ink tint.Tint, y float64) float64 {
	for _, line := range letters.Wrapped(size, sheetWidth-2*margin, text) {
		y += math.Round(size * 1.1)
		if p != nil {
			p.Text(margin, y, size, 0, ink.Color(), line)
		}
		y += 3
	}
	return y
}

// spoken says in a frame why there is nothing to show.
func (s *sheet) spoken(p *paper.Page, letters paper.Letters, y float64) float64 {
	const inner = 16.0
	text := letters.Wrapped(11, sheetWidth-2*margin-2*inner, s.words)
	high := float64(len(text))*16 + 2*inner
	if p != nil {
		p.Area(margin, y, sheetWidth-2*margin, high, tint.Tint{Lightness: 0.965, Chroma: 0.004, HueDeg: 90}.Color())
		p.Stroke(tint.Grey().Color(), 0.6, scale.Frame(margin, y, sheetWidth-2*margin, high))
		for i, line := range text {
			p.Text(margin+inner, y+inner+11+16*float64(i), 11, 0, tint.Ink().Color(), line)
		}
	}
	return y + high + margin
}

// row sets panes side by side; their data begin and end at the same distance from the edge of each, so that rows line up.
func (s *sheet) row(p *paper.Page, panes []*pane, columns int, y float64) float64 {
	each := (sheetWidth - 2*margin - float64(columns-1)*paneGap) / float64(columns)
	high := 0.0
	for i, q := range panes {
		x := margin + float64(i)*(each+paneGap)
		top := y + q.top
		if q.title != "" {
			if p != nil {
				p.Text(x+6, y+11, 10, 0, tint.Ink().Color(), shortened(p.Letters, 10, each-6, q.title))
			}
			top += 18
		}
		if p != nil {
			q.draw(p.Part(x, top, each, q.high), s)
		}
		high = math.Max(high, top-y+q.high)
	}
	return y + high + 8
}

// draw sets the plot into its part of the page.
func (q *pane) draw(c draw.Canvas, s *sheet) {
	data := q.plot.DataCanvas(c)
	if q.data[0] == 0 {
		left, right := s.sides()
		q.plot.Draw(draw.Crop(c, left-(data.Min.X-c.Min.X), -(right - (c.Max.X - data.Max.X)), 0, 0))
		return
	}
	for range 4 { // the margins depend a little on the size
		c.Max.X += vg.Points(q.data[0]) - (data.Max.X - data.Min.X)
		c.Min.Y -= vg.Points(q.data[1]) - (data.Max.Y - data.Min.Y)
		data = q.plot.DataCanvas(c)
	}
	q.plot.Draw(c)
}

// shortened cuts a line that is wider than its place.
func shortened(letters paper.Letters, size, width float64, s string) string {
	if letters.Width(size, s) <= width {
		return s
	}
	r := []rune(s)
	for len(r) > 1 && letters.Width(size, string(r)+"…") > width {
		r = r[:len(r)-1]
	}
	return string(r) + "…"
}

// sides are the widest margins that the axes of any pane need, left and right.
func (s *sheet) sides() (left, right vg.Length) {
	c := draw.Canvas{Rectangle: vg.Rectangle{Max: vg.Point{X: 400, Y: 400}}}
	for _, q := range s.panes {
		data := q.plot.DataCanvas(c)
		left, right = max(left, data.Min.X), max(right, 400-data.Max.X)
	}
	return left, right
}

// entries sets the legend in as many columns as have room, each as wide as its longest line.
func (s *sheet) entries(p *paper.Page, letters paper.Letters, y float64) float64 {
	if len(s.legend) == 0 {
		return y
	}
	const sample = 34.0
	n := len(s.legend)
	rows, widths := n, []float64(nil)
	for columns := min(n, 5); columns > 0; columns-- {
		rows = (n + columns - 1) / columns
		widths = make([]float64, columns)
		all := 6.0
		for i, e := range s.legend {
			widths[i/rows] = math.Max(widths[i/rows], sample+letters.Width(textSize, e.text)+14)
		}
		for _, w := range widths {
			all += w
		}
		if all-14 <= sheetWidth-2*margin {
			break
		}
	}
	x := margin + 6
	for i, e := range s.legend {
		if i > 0 && i%rows == 0 {
			x += widths[i/rows-1]
		}
		line := y + float64(i%rows)*lineHigh
		if p == nil {
			continue
		}
		if e.draw != nil {
			e.draw(p, x, line)
		}
		p.Text(x+sample, line+8.5, textSize, 0, tint.Ink().Color(), shortened(letters, textSize, sheetWidth-margin-x-sample, e.text))
	}
	return y + float64(rows)*lineHigh + 6
}
