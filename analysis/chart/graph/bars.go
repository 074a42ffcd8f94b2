package graph

import (
	"io"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"onegrain/analysis/chart/paper"
)

// Bars are lying bars from zero with intervals, one group for each name and in it one bar for each
// set: sensitivities, say, of first order and in total.
type Bars struct {
	Title    string
	X        Axis     // what the length of a bar is
	Names    []string // of the groups, from top to bottom
	Sets     []Line   // Points[i] belongs to Names[i]: Y the value, Low and High its interval; X is not used
	From, To float64  // range that is shown at least; both 0: that of the values and 0
}

// Draw writes the chart as all charts are written, see write.
func (b Bars) Draw(w io.Writer, as paper.Format) (string, error) { return write(b, w, as) }

func (b Bars) head() (title, note string) { return b.Title, "" }

func (b Bars) compose(s *sheet) {
	ex := extentOf(0, b.From, b.To)
	for i, set := range b.Sets {
		for _, p := range set.Points {
			ex = ex.with(p.Y, p.Low, p.High)
		}
		if len(b.Sets) > 1 {
			s.legend = append(s.legend, entry{set.Name, func(c draw.Canvas) {
				box(c, c.Rectangle, styleOf(i).pale(), styleOf(i).thin(0.8))
			}})
		}
	}
	air := 0.04 * (ex.high - ex.low)
	if ex.low < 0 {
		ex.low -= air
	}
	ex.high += air
	n := len(b.Names)
	high := 52 + float64(n)*(14+13*float64(len(b.Sets)))
	p := s.plot(b.X, Axis{}, ex, extent{0, float64(n)}, [2]float64{sheetWidth - 200, high})
	var names plot.ConstantTicks
	for i, name := range b.Names {
		names = append(names, plot.Tick{Value: float64(n-i) - 0.5, Label: s.shortened(8.5, 190, name)})
	}
	p.Y.Tick.Marker, p.Y.Tick.Length = names, 0
	p.Add(b)
	s.panes = []*pane{{plot: p, high: high}}
	s.describe(b)
}

// Plot draws bars, their intervals, and the line at zero.
func (b Bars) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	n, sets := len(b.Names), float64(len(b.Sets))
	each := math.Min(14, ((y(1)-y(0)).Points()-6)/sets)
	style := centred(p, 8.5)
	style.XAlign = draw.XLeft
	for i := range b.Names {
		for j, set := range b.Sets {
			q, k, half := set.Points[i], styleOf(j), vg.Points(each/2-0.8)
			mid := y(float64(n-i)-0.5) + vg.Points((sets/2-0.5-float64(j))*each)
			if math.IsNaN(q.Y) {
				c.FillText(style, vg.Point{X: x(0) + 4, Y: mid}, "not known")
				continue
			}
			r := vg.Rectangle{Min: vg.Point{X: x(0), Y: mid - half}, Max: vg.Point{X: x(q.Y), Y: mid + half}}
			box(c, r, k.pale(), k.thin(0.8))
			if q.interval() {
				whisker(c, ink(1), vg.Point{X: x(q.Low), Y: mid}, vg.Point{X: x(q.High), Y: mid})
			}
		}
	}
	c.StrokeLine2(ink(0.9), x(0), c.Min.Y, x(0), c.Max.Y)
}
