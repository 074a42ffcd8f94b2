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

// Mark is a place on the horizontal axis that is worth a word, such as the hour of the first stray.
type Mark struct {
	At   float64
	Text string // without the value, which is written behind it
}

const markHigh = 13.0 // of a row of numbers above a plot

// markRows is drawn into a plot: a dashed line at each mark, and its number above the frame, in as many rows as keep the numbers
// apart.
type markRows struct {
	marks   []Mark
	rows    []int // of each mark
	numbers bool  // write the numbers: only the topmost of stacked plots does
}

// newMarks places the numbers of marks on an axis `room` points long.
func newMarks(marks []Mark, e extent, room float64) (m markRows, high float64) {
	m.numbers = true
	for _, k := range marks {
		if !(k.At >= e.low && k.At <= e.high) {
			continue
		}
		row := 0
		for taken := true; taken; {
			taken = false
			for i, other := range m.marks {
				if m.rows[i] == row && math.Abs(other.At-k.At)/(e.high-e.low)*room < 15 {
					taken, row = true, row+1
					break
				}
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
	style := p.X.Tick.Label
	style.XAlign, style.YAlign = draw.XCenter, draw.YCenter
	for i, k := range m.marks {
		at := x(k.At)
		c.StrokeLine2(draw.LineStyle{Color: tint.Ink().Color(), Width: vg.Points(0.7), Dashes: []vg.Length{3, 2.5}}, at, c.Min.Y, at, c.Max.Y)
		if m.numbers {
			y := c.Max.Y + vg.Points(float64(m.rows[i])*markHigh+6.5)
			numbered(c, style, at, y, i+1)
		}
	}
}

// numbered draws a number in a ring.
func numbered(c draw.Canvas, style text.Style, x, y vg.Length, n int) {
	var ring vg.Path
	ring.Move(vg.Point{X: x + 6, Y: y})
	ring.Arc(vg.Point{X: x, Y: y}, 6, 0, 2*math.Pi)
	ring.Close()
	c.SetColor(tint.Paper().Color())
	c.Fill(ring)
	c.SetLineStyle(draw.LineStyle{Color: tint.Ink().Color(), Width: vg.Points(0.7)})
	c.Stroke(ring)
	style.Font.Size = 8
	c.FillText(style, vg.Point{X: x, Y: y}, strconv.Itoa(n))
}

// entries explain the numbers of the marks.
func (m markRows) entries(a Axis, letters paper.Letters) (list []entry) {
	for i, k := range m.marks {
		list = append(list, entry{letters.Known(k.Text) + ", " + a.of(k.At), func(p *paper.Page, x, y float64) {
			var ring [][2]float64
			for n := range 25 {
				sin, cos := math.Sincos(float64(n) / 24 * 2 * math.Pi)
				ring = append(ring, [2]float64{x + 13 + 6*cos, y + 5 + 6*sin})
			}
			ring[24] = ring[0]
			p.Stroke(tint.Ink().Color(), 0.7, ring)
			p.Text(x+13, y+8, 8, 0.5, tint.Ink().Color(), strconv.Itoa(i+1))
		}})
	}
	return list
}

// reference is a level line across a plot, such as the wanted chance.
type reference struct{ at float64 }

// Plot draws the line.
func (r reference) Plot(c draw.Canvas, p *plot.Plot) {
	_, y := p.Transforms(&c)
	c.StrokeLine2(draw.LineStyle{Color: tint.Ink().Color(), Width: vg.Points(0.9), Dashes: []vg.Length{1.5, 2.5}}, c.Min.X, y(r.at), c.Max.X, y(r.at))
}

func referenceEntry(name string) entry {
	return entry{name, func(p *paper.Page, x, y float64) {
		for i := range 7 {
			at := x + 4*float64(i)
			p.Stroke(tint.Ink().Color(), 0.9, [][2]float64{{at, y + 5}, {at + 1.5, y + 5}})
		}
	}}
}
