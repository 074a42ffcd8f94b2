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

// Bars are lying bars from zero with intervals, one group for each name and in it one bar for each set: sensitivities, say, of
// first order and in total.
type Bars struct {
	Title, Note string
	X           Axis     // what the length of a bar is
	Names       []string // of the groups, from top to bottom
	Sets        []Line   // Points[i] belongs to Names[i]: Y the value, Low and High its interval; X is not used
	From, To    float64  // range that is shown at least; both 0: that of the values and 0
}

// Draw writes the chart and returns its text alternative; the error names a faulty value, or is that of w.
func (b Bars) Draw(w io.Writer, format paper.Format) (alt string, err error) {
	if err := b.check(); err != nil {
		return "", err
	}
	letters, err := paper.NewLetters()
	if err != nil {
		return "", err
	}
	s := &sheet{title: b.Title, note: b.Note}
	if len(b.Names) == 0 || b.known() == 0 {
		s.words = fmt.Sprintf("No %s could be found: there is nothing to compare.", b.X.lower())
	} else {
		b.compose(s, letters)
	}
	return s.write(w, format, letters)
}

func (b Bars) check() error {
	if err := b.X.check("Bars.X"); err != nil {
		return err
	}
	if b.To < b.From || math.IsNaN(b.From+b.To) {
		return fmt.Errorf("graph: Bars.From = %v, Bars.To = %v: wanted a range from below to above, or 0 and 0", b.From, b.To)
	}
	for i, set := range b.Sets {
		if len(set.Points) != len(b.Names) {
			return fmt.Errorf("graph: Bars.Sets[%d] has %d points for %d names: wanted one for each", i, len(set.Points), len(b.Names))
		}
		for j, p := range set.Points {
			if math.IsInf(p.Y, 0) || math.IsInf(p.Low, 0) || math.IsInf(p.High, 0) || p.Low > p.High {
				return fmt.Errorf("graph: Bars.Sets[%d].Points[%d] is %v with interval %v to %v: wanted finite numbers or NaN, Low ≤ High", i, j, p.Y, p.Low, p.High)
			}
		}
	}
	return nil
}

func (b Bars) known() (n int) {
	for _, set := range b.Sets {
		for _, p := range set.Points {
			if !math.IsNaN(p.Y) {
				n++
			}
		}
	}
	return n
}

func (b Bars) compose(s *sheet, letters paper.Letters) {
	ex := nothing().with(0, b.From, b.To)
	for _, set := range b.Sets {
		for _, p := range set.Points {
			ex = ex.with(p.Y, p.Low, p.High)
		}
	}
	air := 0.04 * (ex.high - ex.low)
	if ex.low < 0 {
		ex.low -= air
	}
	ex.high += air
	n := len(b.Names)
	high := 52 + float64(n)*(14+13*float64(len(b.Sets)))
	p := newPlot(letters, b.X, Axis{}, ex, extent{0, float64(n)}, [2]float64{sheetWidth - 200, high})
	widest := 0.0
	names := make([]string, n)
	for i, name := range b.Names {
		names[i] = shortened(letters, 8.5, 190, letters.Known(name))
		widest = math.Max(widest, letters.Width(8.5, names[i]))
	}
	p.Y.Tick.Marker = plot.TickerFunc(func(float64, float64) (list []plot.Tick) {
		for i, name := range names {
			list = append(list, plot.Tick{Value: float64(n-i) - 0.5, Label: name})
		}
		return list
	})
	p.Y.Tick.Length = 0
	p.Add(lying{b})
	s.panes = []*pane{{plot: p, high: high}}
	if len(b.Sets) > 1 {
		for i, set := range b.Sets {
			s.legend = append(s.legend, barEntry(letters.Known(set.Name), i))
		}
	}
	s.alt, s.remarks = b.seen(), b.remarks()
}

// barInk is the fill and the outline of the bars of a set: pale, so that the interval is seen on it.
func barInk(set int) (fill, line style) {
	line = styleOf(set)
	fill = line
	fill.ink = pale(line.ink)
	return fill, line
}

func barEntry(name string, set int) entry {
	return entry{name, func(p *paper.Page, x, y float64) {
		fill, line := barInk(set)
		p.Area(x, y, 26, 10, fill.ink)
		p.Stroke(line.ink, 0.8, scale.Frame(x, y, 26, 10))
	}}
}

// lying draws the bars.
type lying struct{ Bars }

// Plot draws bars, their intervals, and the line at zero.
func (b lying) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	n, sets := len(b.Names), float64(len(b.Sets))
	slot := (y(1) - y(0)).Points()
	each := math.Min(14, (slot-6)/sets)
	style := p.X.Tick.Label
	style.XAlign, style.YAlign = draw.XLeft, draw.YCenter
	for i := range b.Names {
		for j, set := range b.Sets {
			q := set.Points[i]
			mid := y(float64(n-i)-0.5) + vg.Points((sets/2-0.5-float64(j))*each)
			if math.IsNaN(q.Y) {
				c.FillText(style, vg.Point{X: x(0) + 4, Y: mid}, "not known")
				continue
			}
			b.bar(c, j, x(0), x(q.Y), mid, vg.Points(each/2-0.8))
			if !math.IsNaN(q.Low) && !math.IsNaN(q.High) {
				s := draw.LineStyle{Color: tint.Ink().Color(), Width: vg.Points(1)}
				c.StrokeLine2(s, x(q.Low), mid, x(q.High), mid)
				c.StrokeLine2(s, x(q.Low), mid-2.5, x(q.Low), mid+2.5)
				c.StrokeLine2(s, x(q.High), mid-2.5, x(q.High), mid+2.5)
			}
		}
	}
	c.StrokeLine2(draw.LineStyle{Color: tint.Ink().Color(), Width: vg.Points(0.9)}, x(0), c.Min.Y, x(0), c.Max.Y)
}

func (lying) bar(c draw.Canvas, set int, from, to, mid, half vg.Length) {
	fill, line := barInk(set)
	corners := []vg.Point{{X: from, Y: mid - half}, {X: from, Y: mid + half}, {X: to, Y: mid + half}, {X: to, Y: mid - half}, {X: from, Y: mid - half}}
	c.FillPolygon(fill.ink, corners)
	c.StrokeLines(draw.LineStyle{Color: line.ink, Width: vg.Points(0.8)}, corners)
}

func (b Bars) seen() string {
	var parts []string
	for _, set := range b.Sets {
		best := -1
		for i, p := range set.Points {
			if !math.IsNaN(p.Y) && (best < 0 || math.Abs(p.Y) > math.Abs(set.Points[best].Y)) {
				best = i
			}
		}
		if best >= 0 {
			p := set.Points[best]
			text := fmt.Sprintf("%s is largest for %s, %s", name(set.Name, "it"), b.Names[best], b.X.of(p.Y))
			if !math.IsNaN(p.Low) && !math.IsNaN(p.High) {
				text += fmt.Sprintf(" (%s to %s)", short(p.Low), short(p.High))
			}
			parts = append(parts, text)
		}
	}
	return fmt.Sprintf("Bars of the %s of %s. %s.", b.X.lower(), count(len(b.Names), "input"), strings.Join(parts, "; "))
}

func (b Bars) remarks() (list []string) {
	if len(b.Names) == 1 {
		list = append(list, "One input only: there is nothing to compare it with.")
	}
	var open []string
	for i, name := range b.Names {
		zero := true
		for _, set := range b.Sets {
			p := set.Points[i]
			zero = zero && !math.IsNaN(p.Low) && !math.IsNaN(p.High) && p.Low <= 0 && p.High >= 0
		}
		if zero {
			open = append(open, name)
		}
	}
	if len(open) > 0 {
		list = append(list, "The intervals include 0, so no effect is shown, for: "+strings.Join(open, ", ")+".")
	}
	return list
}
