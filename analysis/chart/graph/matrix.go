package graph

import (
	"fmt"
	"image/color"
	"math"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/tint"
)

// matrix is a window on its axes: cells at whole numbers where the cases fill a grid, dots at their
// values otherwise.
type matrix struct {
	Window
	xs, ys []float64
	grid   []*Cell // x fastest; nil where there is no case
	dots   bool
	room   [2]float64 // of the data, points
}

// matrix lays the cells out on given values of the axes.
func (n Window) matrix(xs, ys []float64, room [2]float64) *matrix {
	m := &matrix{Window: n, xs: xs, ys: ys, dots: len(xs)*len(ys) > 3*len(n.Cells), room: room}
	if m.dots {
		return m
	}
	m.grid = make([]*Cell, len(xs)*len(ys))
	for i := range n.Cells {
		c := &n.Cells[i]
		at, _ := slices.BinarySearch(xs, c.X)
		row, _ := slices.BinarySearch(ys, c.Y)
		m.grid[row*len(xs)+at] = c
	}
	return m
}

// pane is the plot of the cells; the legend explains what stands in them.
func (m *matrix) pane(s *sheet) *pane {
	q := &pane{high: m.room[1] + 40}
	if m.dots {
		q.plot = s.plot(m.X, m.Y, extentOf(m.xs...).padded(m.X.Log), extentOf(m.ys...).padded(m.Y.Log), m.room)
	} else {
		ex, ey := extent{-0.5, float64(len(m.xs)) - 0.5}, extent{-0.5, float64(len(m.ys)) - 0.5}
		q.plot = s.plot(Axis{Name: m.X.label()}, Axis{Name: m.Y.label()}, ex, ey, m.room)
		q.plot.X.Tick.Marker = m.X.valueTicks(m.xs, s.letters, m.room[0], true)
		q.plot.Y.Tick.Marker = m.Y.valueTicks(m.ys, s.letters, m.room[1], false)
	}
	q.plot.Add(m)
	m.explain(s)
	return q
}

// valueTicks writes the values of an axis at the middle of their cells; where all have no room,
// round values at their places.
func (a Axis) valueTicks(values []float64, l paper.Letters, room float64, across bool) (list plot.ConstantTicks) {
	need := 13.0
	for i, v := range values {
		list = append(list, plot.Tick{Value: float64(i), Label: l.Known(a.value(v))})
		if across {
			need = math.Max(need, l.Width(8.5, list[i].Label)+9)
		}
	}
	if need*float64(len(values)) <= room || len(a.Levels) > 0 {
		return list
	}
	list = ticks(values[0], values[len(values)-1], room/(2*need), a.Log && values[0] > 0)
	for i := range list {
		list[i].Value = position(values, list[i].Value, a.Log)
	}
	return list
}

// detail is how much a cell has room for: 0 its colour, 1 the chance, 2 the counted runs as well,
// 3 the strip with the interval too.
func (m *matrix) detail() int {
	w, h := m.room[0]/float64(len(m.xs)), m.room[1]/float64(len(m.ys))
	switch {
	case m.dots || w < 26 || h < 12:
		return 0
	case w < 44 || h < 24:
		return 1
	case h < 36:
		return 2
	}
	return 3
}

// Plot draws cells or dots, and the contours over them.
func (m *matrix) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	switch {
	case m.dots:
		for _, q := range m.Cells {
			q.dot(c, vg.Point{X: x(q.X), Y: y(q.Y)})
		}
	case m.detail() == 0:
		m.raster().paint(c)
	default:
		m.cells(x, y, func(q *Cell, r vg.Rectangle) { q.ground(c, r) })
	}
	path{m.placed(m.Interval), onWhite(1.3, 4, 3)}.Plot(c, p)
	path{m.placed(m.Contour), onWhite(2)}.Plot(c, p)
	if m.detail() > 0 {
		m.cells(x, y, func(q *Cell, r vg.Rectangle) { q.inside(c, r, centred(p, 8), m.detail()) })
	}
}

// cells visits the cells that there are with their places; a narrow gap parts neighbours, so that
// no hairlines show.
func (m *matrix) cells(x, y func(float64) vg.Length, visit func(*Cell, vg.Rectangle)) {
	for i, q := range m.grid {
		if u, v := float64(i%len(m.xs)), float64(i/len(m.xs)); q != nil {
			visit(q, vg.Rectangle{Min: vg.Point{X: x(u-0.5) + 0.6, Y: y(v-0.5) + 0.6},
				Max: vg.Point{X: x(u+0.5) - 0.6, Y: y(v+0.5) - 0.6}})
		}
	}
}

// raster paints a large window as an image.
func (m *matrix) raster() raster {
	return raster{nx: len(m.xs), ny: len(m.ys), step: 1, at: func(u, v float64) (tint.Tint, bool) {
		if q := m.grid[int(v)*len(m.xs)+int(u)]; q != nil && q.known() {
			return tint.Chance(q.chance()), false
		}
		return tint.Paper(), false
	}}
}

func (c Cell) dot(on draw.Canvas, at vg.Point) {
	if !c.known() {
		on.DrawGlyph(draw.GlyphStyle{Color: tint.Ink().Color(), Radius: 3.2, Shape: draw.CrossGlyph{}}, at)
		return
	}
	on.DrawGlyph(draw.GlyphStyle{Color: tint.Ink().Color(), Radius: 4.6, Shape: draw.CircleGlyph{}}, at)
	on.DrawGlyph(draw.GlyphStyle{Color: tint.Chance(c.chance()).Color(), Radius: 3.9, Shape: draw.CircleGlyph{}}, at)
}

// ground paints a case: its chance, rising strokes where it failed, a frame alone where it was not
// computed.
func (c Cell) ground(on draw.Canvas, r vg.Rectangle) {
	if c.known() {
		on.SetColor(tint.Chance(c.chance()).Color())
		on.Fill(r.Path())
		return
	}
	k := pen(tint.Grey(), 0.6)
	on.SetLineStyle(k)
	on.Stroke(r.Path())
	w, h := r.Max.X-r.Min.X, r.Max.Y-r.Min.Y
	for off := vg.Length(6) - h; off < w && c.Failed; off += 6 {
		from, to := max(0, -off), min(h, w-off)
		on.StrokeLine2(k, r.Min.X+off+from, r.Min.Y+from, r.Min.X+off+to, r.Min.Y+to)
	}
}

// inside writes the numbers of a case and draws its strip.
func (c Cell) inside(on draw.Canvas, r vg.Rectangle, style text.Style, detail int) {
	mid := vg.Point{X: (r.Min.X + r.Max.X) / 2, Y: (r.Min.Y + r.Max.Y) / 2}
	if !c.known() {
		if detail > 1 {
			labelled(on, style, tint.Paper(), mid, map[bool]string{true: "failed", false: "no result"}[c.Failed])
		}
		return
	}
	ground := tint.Chance(c.chance())
	if ground.Lightness < 0.58 {
		style.Color = tint.Paper().Color()
	}
	lines := c.lines()
	if detail == 1 {
		lines = lines[:1]
	}
	rows := vg.Length(len(lines))
	if detail == 3 && c.Runs > 0 {
		rows++
		c.strip(on, vg.Rectangle{Min: vg.Point{X: r.Min.X + 5, Y: r.Min.Y + 3},
			Max: vg.Point{X: r.Max.X - 5, Y: r.Min.Y + 9}}, style.Color)
	}
	high := (r.Max.Y - r.Min.Y) / rows
	for i, line := range lines {
		if style.Font.Size = 8; i == 0 && detail > 1 {
			style.Font.Size = 9.5
		}
		labelled(on, style, ground, vg.Point{X: mid.X, Y: r.Max.Y - high*(vg.Length(i)+0.5)}, line)
	}
}

// lines are the texts of a case: the exact chance, with a sign where it lies outside the counted
// interval, and the counted runs.
func (c Cell) lines() (list []string) {
	if !math.IsNaN(c.Exact) {
		list = append(list, chanceInCell(c.Exact)+map[bool]string{true: " !"}[c.apart()])
	}
	if c.Runs > 0 {
		list = append(list, fmt.Sprintf("%d/%d", c.Hits, c.Runs))
	}
	return list
}

// strip is a scale from 0 to 1 with the counted fraction as a dot in its interval, and the exact
// chance as an upright stroke.
func (c Cell) strip(on draw.Canvas, r vg.Rectangle, ink color.Color) {
	y, at := (r.Min.Y+r.Max.Y)/2, func(p float64) vg.Length { return r.Min.X + vg.Length(p)*(r.Max.X-r.Min.X) }
	line := func(width, x0, y0, x1, y1 vg.Length) {
		on.StrokeLine2(draw.LineStyle{Color: ink, Width: width}, x0, y0, x1, y1)
	}
	line(0.4, r.Min.X, y, r.Max.X, y)
	line(0.4, r.Min.X, y-1.5, r.Min.X, y+1.5)
	line(0.4, r.Max.X, y-1.5, r.Max.X, y+1.5)
	line(2, at(c.Low), y, at(c.High), y)
	on.DrawGlyph(draw.GlyphStyle{Color: ink, Radius: 2.4, Shape: draw.CircleGlyph{}},
		vg.Point{X: at(float64(c.Hits) / float64(c.Runs)), Y: y})
	if !math.IsNaN(c.Exact) {
		line(1.2, at(c.Exact), r.Min.Y-0.5, at(c.Exact), r.Max.Y+0.5)
	}
}

// explain says what stands in the cells.
func (m *matrix) explain(s *sheet) {
	add := func(holds bool, text string, sample func(draw.Canvas)) {
		if holds {
			s.explain(text, sample)
		}
	}
	counted := slices.ContainsFunc(m.Cells, func(c Cell) bool { return c.Runs > 0 && !c.Failed })
	exact := slices.ContainsFunc(m.Cells, func(c Cell) bool { return !math.IsNaN(c.Exact) })
	detail := m.detail()
	add(len(m.Contour) > 0, "chance of "+percent(m.Wanted)+" %", across(ink(2)))
	add(len(m.Interval) > 0, "its 95 % interval", across(ink(1.3, 4, 3)))
	add(detail > 0 && exact, "0.97: exact chance", nil)
	add(detail > 1 && counted, "62/64: counted single grains of runs", nil)
	add(detail > 2 && counted, "counted with 95 % interval on 0 to 1; upright: exact", func(c draw.Canvas) {
		r := vg.Rectangle{Min: vg.Point{X: c.Min.X, Y: c.Min.Y + 2}, Max: vg.Point{X: c.Max.X, Y: c.Max.Y - 2}}
		Cell{Exact: 0.7, Hits: 8, Runs: 10, Low: 0.44, High: 0.97}.strip(c, r, tint.Ink().Color())
	})
	add(detail > 0 && slices.ContainsFunc(m.Cells, Cell.apart), "!: exact outside that interval", nil)
	add(slices.ContainsFunc(m.Cells, Cell.failed), "failed", func(c draw.Canvas) {
		if m.dots {
			Cell{Failed: true}.dot(c, c.Center())
		} else {
			Cell{Failed: true}.ground(c, c.Rectangle)
		}
	})
}

// placed carries lines from values to the coordinates of the plot.
func (m *matrix) placed(lines [][][2]float64) [][][2]float64 {
	if m.dots {
		return lines
	}
	out := make([][][2]float64, len(lines))
	for i, line := range lines {
		for _, q := range line {
			out[i] = append(out[i], [2]float64{position(m.xs, q[0], m.X.Log), position(m.ys, q[1], m.Y.Log)})
		}
	}
	return out
}

// position is where a value stands among those of the cells: straight between neighbours, and on
// beyond the last ones.
func position(values []float64, x float64, log bool) float64 {
	if len(values) < 2 {
		return 0
	}
	f := func(v float64) float64 { return v }
	if log && values[0] > 0 && x > 0 {
		f = math.Log
	}
	i, _ := slices.BinarySearch(values, x)
	i = max(1, min(len(values)-1, i))
	low, high := f(values[i-1]), f(values[i])
	return float64(i-1) + (f(x)-low)/(high-low)
}
