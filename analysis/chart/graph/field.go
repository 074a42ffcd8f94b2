package graph

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/scale"
	"onegrain/analysis/chart/scene"
	"onegrain/analysis/chart/tint"
	"onegrain/analysis/trace"
)

// Field is a map of a quantity on a plane, such as the trapped field at a height above the surface.
type Field struct {
	Title, Note string
	NX, NY      int        // points along x and y
	StepMM      float64    // from one to the next, mm
	Origin      [2]float64 // the first point, mm
	Values      []float64  `nan:"unknown"` // x fastest; NaN where there is none
	Quantity    Axis       // such as "Trapped field" in T
	Peaks       [][2]float64
	Outlines    [][][2]float64 // lines drawn over the map, in mm: the body, its domains
	Remarks     []string       // what was assumed, such as "upper bound: uniform critical current"
}

// Draw writes the chart as all charts are written, see write.
func (f Field) Draw(w io.Writer, as paper.Format) (string, error) { return write(f, w, as) }

func (f Field) head() (title, note string) { return f.Title, f.Note }

func (f Field) compose(s *sheet) {
	span := extentOf(f.Values...)
	low, top := math.Min(0, span.low), span.high
	if !(top > low) {
		top = low + 1
	}
	levels, decimals := scale.RoundSteps(low, top, 7)
	g := raster{nx: f.NX, ny: f.NY, step: f.StepMM, origin: f.Origin, at: func(u, v float64) (tint.Tint, bool) {
		value := f.between(u-0.5, v-0.5)
		if math.IsNaN(value) {
			return tint.Paper(), false
		}
		return tint.Strength(math.Round(511*(value-low)/(top-low)) / 511), false
	}}
	p := s.mapped(g, 400, 360, 100)
	p.Add(contours{f, levels, decimals, low, top}, path{f.Outlines, []draw.LineStyle{ink(0.9)}},
		drawing(func(c draw.Canvas, p *plot.Plot) {
			x, y := p.Transforms(&c)
			for _, q := range f.Peaks {
				cross(c, vg.Point{X: x(q[0]), Y: y(q[1])})
			}
		}))
	s.bar = &scene.Bar{Title: f.Quantity.label(), Low: low, High: top, Marks: levels, Decimals: decimals,
		Ramp: tint.Strength}
	if len(f.Peaks) > 0 {
		s.explain("peak", func(c draw.Canvas) { cross(c, c.Center()) })
	}
	if len(f.Outlines) > 0 {
		s.explain("outline of body and domains", across(ink(0.9)))
	}
	if span.high > span.low {
		s.explain("contour of the "+f.Quantity.lower(), func(c draw.Canvas) {
			box(c, c.Rectangle, tint.Strength(0.3).Color(), pen(tint.Strength(0.3), 0.6))
			across(ink(0.6))(c)
		})
	}
	s.describe(f)
}

// mapped is the plot of a map at one scale within a frame, points. One lower than `lowest` is drawn
// higher than it is, over the whole width, which a remark says.
func (s *sheet) mapped(g raster, wide, high, lowest float64) *plot.Plot {
	w, h := g.size(wide, high)
	if h < lowest {
		g.tall = math.Ceil(lowest / h)
		w, h = g.size(sheetWidth-100, high)
		s.remarks = append(s.remarks, fmt.Sprintf("The width (y) is drawn %d times larger than the length (x).", int(g.tall)))
	}
	ex, ey := g.extents()
	p := s.plot(Axis{Name: "x", Unit: "mm"}, Axis{Name: "y", Unit: "mm"}, ex, ey, [2]float64{w, h / 2})
	p.Add(g)
	s.panes = []*pane{{plot: p, high: h + 40, data: [2]float64{w, h}}}
	return p
}

// between is the value at a place between the points, in steps from the first: linear in both
// directions where all four are known, else that of the nearest.
func (f Field) between(u, v float64) float64 {
	u, v = math.Max(0, math.Min(u, float64(f.NX-1))), math.Max(0, math.Min(v, float64(f.NY-1)))
	i, j := min(int(u), max(0, f.NX-2)), min(int(v), max(0, f.NY-2))
	at := func(di, dj int) float64 { return f.Values[min(j+dj, f.NY-1)*f.NX+min(i+di, f.NX-1)] }
	s, t := u-float64(i), v-float64(j)
	value := (1-t)*((1-s)*at(0, 0)+s*at(1, 0)) + t*((1-s)*at(0, 1)+s*at(1, 1))
	if math.IsNaN(value) {
		return at(int(math.Round(s)), int(math.Round(t)))
	}
	return value
}

// cross marks a peak: white on a dark ring, to be seen on every ground.
func cross(c draw.Canvas, at vg.Point) {
	white, dark := tint.Paper().Color(), tint.Ink().Color()
	c.DrawGlyph(draw.GlyphStyle{Color: white, Radius: 6, Shape: draw.CircleGlyph{}}, at)
	c.DrawGlyph(draw.GlyphStyle{Color: dark, Radius: 4.6, Shape: draw.CircleGlyph{}}, at)
	c.DrawGlyph(draw.GlyphStyle{Color: white, Radius: 3.2, Shape: draw.PlusGlyph{}}, at)
}

// contours draws lines of equal value with their labels.
type contours struct {
	Field
	levels    []float64
	decimals  int
	low, high float64
}

// Plot draws the lines and their labels, each where its line passes nearest to the ray that runs to
// the right of the highest point, and none over another or over a peak.
func (k contours) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	at := func(q [2]float64) [2]float64 {
		return [2]float64{k.Origin[0] + q[0]*k.StepMM, k.Origin[1] + q[1]*k.StepMM}
	}
	var taken []vg.Rectangle
	for _, q := range k.Peaks {
		taken = append(taken, around(vg.Point{X: x(q[0]), Y: y(q[1])}, 7, 7))
	}
	for _, level := range k.levels {
		segments := trace.Contour(k.NX, k.NY, func(i, j int) float64 { return k.Values[j*k.NX+i] }, level)
		style := ink(0.6)
		if (level-k.low)/(k.high-k.low) > 0.6 {
			style = pen(tint.Tint{Lightness: 0.93, Chroma: 0.02, HueDeg: 80}, 0.6)
		}
		lines := trace.Chains(segments)
		for _, line := range lines {
			for i, q := range line {
				line[i] = at(q)
			}
		}
		path{lines, []draw.LineStyle{style}}.Plot(c, p)
		var places []vg.Point
		for _, q := range k.nearest(segments) {
			places = append(places, vg.Point{X: x(at(q)[0]), Y: y(at(q)[1])})
		}
		taken = tag(c, centred(p, 8), written(level, k.decimals), places, taken)
	}
}

// nearest orders a contour's places by their distance from the ray.
func (k contours) nearest(segments [][2][2]float64) (places [][2]float64) {
	top, best := [2]float64{}, math.Inf(-1)
	for i, v := range k.Values {
		if v > best {
			best, top = v, [2]float64{float64(i % k.NX), float64(i / k.NX)}
		}
	}
	for _, s := range segments {
		places = append(places, s[0])
	}
	off := func(q [2]float64) float64 { return math.Abs(math.Atan2(q[1]-top[1], q[0]-top[0]) + 0.3) }
	slices.SortStableFunc(places, func(a, b [2]float64) int { return cmp.Compare(off(a), off(b)) })
	return places
}

// tag writes the value of a contour on a ground of its own at the first place with room.
func tag(c draw.Canvas, style text.Style, word string, places []vg.Point, taken []vg.Rectangle) []vg.Rectangle {
	for _, m := range places {
		r := around(m, style.Width(word)/2+2, 5)
		inside := r.Min.X >= c.Min.X && r.Max.X <= c.Max.X && r.Min.Y >= c.Min.Y && r.Max.Y <= c.Max.Y
		meets := func(o vg.Rectangle) bool {
			return r.Min.X < o.Max.X+2 && o.Min.X < r.Max.X+2 && r.Min.Y < o.Max.Y+1 && o.Min.Y < r.Max.Y+1
		}
		if inside && !slices.ContainsFunc(taken, meets) {
			labelled(c, style, tint.Paper(), m, word)
			return append(taken, r)
		}
	}
	return taken
}
