package graph

import (
	"image/color"
	"math"
	"slices"
	"strconv"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/tint"
)

// matrix is a window on its axes: cells at whole numbers where the cases fill a grid, dots at their values otherwise.
type matrix struct {
	Window
	xs, ys []float64
	grid   []*Cell // x fastest; nil where there is no case
	dots   bool
	room   [2]float64 // of the data, points
}

// matrix lays the cells out on given values of the axes.
func (n Window) matrix(xs, ys []float64) *matrix {
	m := &matrix{Window: n, xs: xs, ys: ys, dots: len(xs)*len(ys) > 3*len(n.Cells)}
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

func (m *matrix) pane(letters paper.Letters) *pane {
	if m.dots {
		ex, ey := nothing().with(m.xs...).padded(m.X.Log), nothing().with(m.ys...).padded(m.Y.Log)
		p := newPlot(letters, m.X, m.Y, ex, ey, m.room)
		p.Add(m)
		return &pane{plot: p, high: m.room[1] + 40}
	}
	ex, ey := extent{-0.5, float64(len(m.xs)) - 0.5}, extent{-0.5, float64(len(m.ys)) - 0.5}
	p := newPlot(letters, Axis{Name: m.X.Name, Unit: m.X.Unit}, Axis{Name: m.Y.Name, Unit: m.Y.Unit}, ex, ey, m.room)
	p.X.Tick.Marker = m.X.valueTicks(m.xs, letters, m.room[0], true)
	p.Y.Tick.Marker = m.Y.valueTicks(m.ys, letters, m.room[1], false)
	p.Add(m)
	return &pane{plot: p, high: m.room[1] + 40}
}

// valueTicks writes the values of an axis at the middle of their cells; where all have no room, round values at their places.
func (a Axis) valueTicks(values []float64, letters paper.Letters, room float64, across bool) (list plot.ConstantTicks) {
	need := 13.0
	for _, v := range values {
		if across {
			need = math.Max(need, letters.Width(8.5, letters.Known(a.value(v)))+9)
		}
	}
	if need*float64(len(values)) <= room || len(a.Levels) > 0 {
		for i, v := range values {
			list = append(list, plot.Tick{Value: float64(i), Label: letters.Known(a.value(v))})
		}
		return list
	}
	low, high, wanted := values[0], values[len(values)-1], room/(2*need)
	round := ticks(low, high, wanted)
	if a.Log && low > 0 {
		round = logTicks(low, high, wanted)
	}
	for _, t := range round {
		t.Value = position(values, t.Value, a.Log)
		list = append(list, t)
	}
	return list
}

// detail is how much a cell has room for: 0 its colour, 1 the chance, 2 the counted runs as well, 3 the strip with the interval too.
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
			m.dot(c, q, vg.Point{X: x(q.X), Y: y(q.Y)})
		}
	case m.detail() == 0:
		m.raster().Plot(c, p)
	default:
		m.cells(x, y, func(q *Cell, r vg.Rectangle) { m.ground(c, q, r) })
	}
	at := func(q [2]float64) vg.Point { return vg.Point{X: x(q[0]), Y: y(q[1])} }
	m.stroke(c, m.interval(), at, 1.3, []vg.Length{4, 3})
	m.stroke(c, m.edge(), at, 2, nil)
	if m.detail() > 0 {
		m.cells(x, y, func(q *Cell, r vg.Rectangle) { m.inside(c, q, r, p.X.Tick.Label) })
	}
}

// cells visits the cells that there are with their places; a narrow gap parts neighbours, so that no hairlines show.
func (m *matrix) cells(x, y func(float64) vg.Length, visit func(*Cell, vg.Rectangle)) {
	for i, q := range m.grid {
		if u, v := float64(i%len(m.xs)), float64(i/len(m.xs)); q != nil {
			visit(q, vg.Rectangle{Min: vg.Point{X: x(u-0.5) + 0.6, Y: y(v-0.5) + 0.6}, Max: vg.Point{X: x(u+0.5) - 0.6, Y: y(v+0.5) - 0.6}})
		}
	}
}

// raster paints a large window as an image.
func (m *matrix) raster() raster {
	return raster{nx: len(m.xs), ny: len(m.ys), step: 1, at: func(u, v float64) (tint.Tint, bool) {
		q := m.grid[int(v)*len(m.xs)+int(u)]
		if q == nil || math.IsNaN(q.chance()) {
			return tint.Paper(), false
		}
		return tint.Chance(q.chance()), false
	}}
}

func (m *matrix) dot(c draw.Canvas, q Cell, at vg.Point) {
	p := q.chance()
	if math.IsNaN(p) {
		c.DrawGlyph(draw.GlyphStyle{Color: tint.Ink().Color(), Radius: 3.2, Shape: draw.CrossGlyph{}}, at)
		return
	}
	c.DrawGlyph(draw.GlyphStyle{Color: tint.Ink().Color(), Radius: 4.6, Shape: draw.CircleGlyph{}}, at)
	c.DrawGlyph(draw.GlyphStyle{Color: tint.Chance(p).Color(), Radius: 3.9, Shape: draw.CircleGlyph{}}, at)
}

// ground paints a case.
func (m *matrix) ground(c draw.Canvas, q *Cell, r vg.Rectangle) {
	if p := q.chance(); math.IsNaN(p) {
		hatched(c, r, q.Failed)
	} else {
		c.SetColor(tint.Chance(p).Color())
		c.Fill(r.Path())
	}
}

// labelled writes a word on a ground of its own, so that neither hatching nor contours run through it.
func labelled(c draw.Canvas, style text.Style, ground tint.Tint, mid vg.Point, word string) {
	w, h := style.Width(word)/2+1.5, style.Font.Size/2+0.5
	c.SetColor(ground.Color())
	c.Fill(vg.Rectangle{Min: vg.Point{X: mid.X - w, Y: mid.Y - h}, Max: vg.Point{X: mid.X + w, Y: mid.Y + h}}.Path())
	c.FillText(style, mid, word)
}

// hatched marks a case without a result: rising strokes where it failed, a frame alone where it was not computed.
func hatched(c draw.Canvas, r vg.Rectangle, failed bool) {
	k := draw.LineStyle{Color: tint.Grey().Color(), Width: vg.Points(0.6)}
	c.StrokeLines(k, []vg.Point{r.Min, {X: r.Max.X, Y: r.Min.Y}, r.Max, {X: r.Min.X, Y: r.Max.Y}, r.Min})
	if !failed {
		return
	}
	w, h := r.Max.X-r.Min.X, r.Max.Y-r.Min.Y
	for off := vg.Length(6) - h; off < w; off += 6 {
		from, to := max(0, -off), min(h, w-off)
		c.StrokeLine2(k, r.Min.X+off+from, r.Min.Y+from, r.Min.X+off+to, r.Min.Y+to)
	}
}

// inside writes the numbers of a case and draws its strip.
func (m *matrix) inside(c draw.Canvas, q *Cell, r vg.Rectangle, style text.Style) {
	detail := m.detail()
	style.XAlign, style.YAlign = draw.XCenter, draw.YCenter
	style.Font.Size = 8
	mid := vg.Point{X: (r.Min.X + r.Max.X) / 2, Y: (r.Min.Y + r.Max.Y) / 2}
	if math.IsNaN(q.chance()) {
		if detail > 1 {
			labelled(c, style, tint.Paper(), mid, map[bool]string{true: "failed", false: "no result"}[q.Failed])
		}
		return
	}
	ground := tint.Chance(q.chance())
	style.Color = tint.Ink().Color()
	if ground.Lightness < 0.58 {
		style.Color = tint.Paper().Color()
	}
	lines := q.lines()
	if detail == 1 {
		lines = lines[:1]
	}
	strip := detail == 3 && q.Runs > 0
	rows := vg.Length(len(lines))
	if strip {
		rows++
	}
	high := (r.Max.Y - r.Min.Y) / rows
	for i, line := range lines {
		if style.Font.Size = 8; i == 0 && detail > 1 {
			style.Font.Size = 9.5
		}
		labelled(c, style, ground, vg.Point{X: mid.X, Y: r.Max.Y - high*(vg.Length(i)+0.5)}, line)
	}
	if strip {
		m.strip(c, q, vg.Rectangle{Min: vg.Point{X: r.Min.X + 5, Y: r.Min.Y + 3}, Max: vg.Point{X: r.Max.X - 5, Y: r.Min.Y + 9}}, style.Color)
	}
}

// lines are the texts of a case: the exact chance, with a sign where it lies outside the counted interval, and the counted runs.
func (c *Cell) lines() (list []string) {
	if !math.IsNaN(c.Exact) {
		text := written2(c.Exact)
		if c.apart() {
			text += " !"
		}
		list = append(list, text)
	}
	if c.Runs > 0 {
		list = append(list, strconv.Itoa(c.Hits)+"/"+strconv.Itoa(c.Runs))
	}
	return list
}

// written2 is a chance in two digits that is 0.00 or 1.00 only where nothing else rounds so.
func written2(p float64) string {
	switch {
	case p > 0 && p < 0.005:
		return "<0.01"
	case p < 1 && p >= 0.995:
		return ">0.99"
	case p == 0, p == 1:
		return strconv.FormatFloat(p, 'f', 0, 64)
	}
	return strconv.FormatFloat(p, 'f', 2, 64)
}

// strip is a scale from 0 to 1 with the counted fraction as a dot in its interval, and the exact chance as an upright stroke.
func (m *matrix) strip(c draw.Canvas, q *Cell, r vg.Rectangle, ink color.Color) {
	y, at := (r.Min.Y+r.Max.Y)/2, func(p float64) vg.Length { return r.Min.X + vg.Length(p)*(r.Max.X-r.Min.X) }
	thin := draw.LineStyle{Color: ink, Width: vg.Points(0.4)}
	c.StrokeLine2(thin, r.Min.X, y, r.Max.X, y)
	for _, end := range []vg.Length{r.Min.X, r.Max.X} {
		c.StrokeLine2(thin, end, y-1.5, end, y+1.5)
	}
	c.StrokeLine2(draw.LineStyle{Color: ink, Width: vg.Points(2)}, at(q.Low), y, at(q.High), y)
	c.DrawGlyph(draw.GlyphStyle{Color: ink, Radius: 2.4, Shape: draw.CircleGlyph{}}, vg.Point{X: at(float64(q.Hits) / float64(q.Runs)), Y: y})
	if !math.IsNaN(q.Exact) {
		c.StrokeLine2(draw.LineStyle{Color: ink, Width: vg.Points(1.2)}, at(q.Exact), r.Min.Y-0.5, at(q.Exact), r.Max.Y+0.5)
	}
}

// stroke draws contours dark on a white ground, to be seen on every chance.
func (m *matrix) stroke(c draw.Canvas, lines [][][2]float64, at func([2]float64) vg.Point, width float64, dashes []vg.Length) {
	for _, s := range []draw.LineStyle{{Color: tint.Paper().Color(), Width: vg.Points(width + 2)}, {Color: tint.Ink().Color(), Width: vg.Points(width), Dashes: dashes}} {
		for _, line := range lines {
			pts := make([]vg.Point, len(line))
			for i, q := range line {
				pts[i] = at(q)
			}
			c.StrokeLines(s, c.ClipLinesXY(pts)...)
		}
	}
}
