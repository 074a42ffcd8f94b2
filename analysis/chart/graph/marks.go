package graph

import (
	"math"
	"strconv"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/tint"
)

// numbered draws a number in a ring.
func numbered(c draw.Canvas, style text.Style, at vg.Point, n int) {
	var ring vg.Path
	ring.Move(vg.Point{X: at.X + 6, Y: at.Y})
	ring.Arc(at, 6, 0, 2*math.Pi)
	ring.Close()
	c.SetColor(tint.Paper().Color())
	c.Fill(ring)
	c.SetLineStyle(ink(0.7))
	c.Stroke(ring)
	c.FillText(style, at, strconv.Itoa(n))
}

// Mark is a place on the horizontal axis that is worth a word, such as the hour of the first stray.
type Mark struct {
	At   float64
	Text string // without the value, which is written behind it
}

const markHigh = 13.0 // of a row of numbers above a plot

// markRows is drawn into a plot: a dashed line at each mark, and its number above the frame, in as
// many rows as keep the numbers apart.
type markRows struct {
	marks   []Mark
	rows    []int // of each mark
	numbers bool  // write the numbers: only the topmost of stacked plots does
}

// newMarks places the numbers of marks on an axis `dataWidth` points long.
func newMarks(marks []Mark, e extent) (m markRows, high float64) {
	m.numbers = true
	for _, k := range marks {
		if !(k.At >= e.low && k.At <= e.high) {
			continue
		}
		row := 0
		for i := 0; i < len(m.marks); i++ {
			if m.rows[i] == row && math.Abs(m.marks[i].At-k.At)/(e.high-e.low)*dataWidth < 15 {
				row, i = row+1, -1
			}
		}
		m.marks, m.rows = append(m.marks, k), append(m.rows, row)
		high = math.Max(high, float64(row+1)*markHigh)
	}
	return m, high
}

// Plot draws the marks.
func (m markRows) Plot(c draw.Canvas, p *plot.Plot) {
	x, _ := p.Transforms(&c)
	for i, k := range m.marks {
		at := vg.Point{X: x(k.At), Y: c.Max.Y + vg.Points(float64(m.rows[i])*markHigh+6.5)}
		c.StrokeLine2(ink(0.7, 3, 2.5), at.X, c.Min.Y, at.X, c.Max.Y)
		if m.numbers {
			numbered(c, centred(p, 8), at, i+1)
		}
	}
}

// explain puts the numbers of the marks on an axis into the legend.
func (m markRows) explain(s *sheet, a Axis) {
	style := centred(paper.NewPlot(s.letters), 8)
	for i, k := range m.marks {
		s.legend = append(s.legend, entry{k.Text + ", " + a.of(k.At), func(c draw.Canvas) {
			numbered(c, style, c.Center(), i+1)
		}})
	}
}
