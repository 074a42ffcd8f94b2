package graph

import (
	"fmt"
	"io"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/scale"
	"onegrain/analysis/chart/tint"
	"onegrain/analysis/trace"
)

// Field is a map of a quantity on a plane, such as the trapped field at a height above the surface.
type Field struct {
	Title, Note string
	NX, NY      int        // points along x and y
	StepMM      float64    // from one to the next, mm
	Origin      [2]float64 // the first point, mm
	Values      []float64  // x fastest; NaN where there is none
	Quantity    Axis       // such as "Trapped field" in T
	Peaks       [][2]float64
	Outlines    [][][2]float64 // lines drawn over the map, in mm: the body, its domains
	Remarks     []string       // what was assumed, such as "upper bound: uniform critical current"
}

// Draw writes the map, with contours and colour bar, and returns its text alternative; the error names a faulty value, or is that
// of w.
func (f Field) Draw(w io.Writer, format paper.Format) (alt string, err error) {
	if err := f.check(); err != nil {
		return "", err
	}
	letters, err := paper.NewLetters()
	if err != nil {
		return "", err
	}
	s := &sheet{title: f.Title, note: f.Note}
	span := nothing().with(f.Values...)
	if span.empty() {
		s.words = fmt.Sprintf("No %s is known at any point: there is no map to show.", f.Quantity.lower())
		return s.write(w, format, letters)
	}
	f.compose(s, letters, span)
	return s.write(w, format, letters)
}

func (f Field) check() error {
	if err := f.Quantity.check("Field.Quantity"); err != nil {
		return err
	}
	if err := checkGrid("Field", f.NX, f.NY, f.StepMM, len(f.Values), "Values"); err != nil {
		return err
	}
	for i, v := range f.Values {
		if math.IsInf(v, 0) {
			return fmt.Errorf("graph: Field.Values[%d] = %v: wanted a finite number, or NaN where there is none", i, v)
		}
	}
	return nil
}

func checkGrid(field string, nx, ny int, step float64, n int, values string) error {
	if nx < 0 || ny < 0 || nx > 1<<20 || ny > 1<<20 || nx*ny != n {
		return fmt.Errorf("graph: %s is %d × %d, but %s has %d entries: wanted one for each", field, nx, ny, values, n)
	}
	if n > 0 && !(step > 0 && step < 1e9) {
		return fmt.Errorf("graph: the step of %s is %v mm: wanted a finite number above 0", field, step)
	}
	return nil
}

const lowestField = 100.0 // points; a lower one is drawn higher than it is, and says so

func (f Field) compose(s *sheet, letters paper.Letters, span extent) {
	x, y := Axis{Name: "x", Unit: "mm"}, Axis{Name: "y", Unit: "mm"}
	g := raster{nx: f.NX, ny: f.NY, step: f.StepMM, origin: f.Origin}
	wide, high := g.size(400, 360)
	if high < lowestField {
		g.tall = math.Ceil(lowestField / high)
		wide, high = g.size(sheetWidth-100, 360)
		s.remarks = append(s.remarks, fmt.Sprintf("The width (y) is drawn %d times larger than the length (x).", int(g.tall)))
	}
	ex, ey := g.extents()
	p := newPlot(letters, x, y, ex, ey, [2]float64{wide, high / 2})
	low, top := math.Min(0, span.low), span.high
	if !(top > low) {
		top = low + 1
	}
	levels, decimals := scale.RoundSteps(low, top, 7)
	g.at = func(u, v float64) (tint.Tint, bool) {
		value := f.between(u-0.5, v-0.5)
		if math.IsNaN(value) {
			return tint.Paper(), false
		}
		return tint.Strength(math.Round(511*(value-low)/(top-low)) / 511), false
	}
	p.Add(g, contours{f, levels, decimals, low, top}, overlay{f.Outlines, f.Peaks})
	s.panes = []*pane{{plot: p, high: high + 40, data: [2]float64{wide, high}}}
	s.bar = &bar{title: f.Quantity.label(), low: low, high: top, marks: levels, decimals: decimals, ramp: tint.Strength, wanted: math.NaN()}
	if len(f.Peaks) > 0 {
		s.legend = append(s.legend, entry{"peak", func(p *paper.Page, x, y float64) { cross(p.Part(x, y, 26, 10), vg.Point{}, true) }})
	}
	if len(f.Outlines) > 0 {
		s.legend = append(s.legend, entry{"outline of body and domains", func(p *paper.Page, x, y float64) {
			p.Stroke(tint.Ink().Color(), 0.9, [][2]float64{{x, y + 5}, {x + 26, y + 5}})
		}})
	}
	if span.high > span.low {
		s.legend = append(s.legend, entry{"contour of the " + f.Quantity.lower(), func(p *paper.Page, x, y float64) {
			p.Area(x, y, 26, 10, tint.Strength(0.3).Color())
			p.Stroke(tint.Ink().Color(), 0.6, [][2]float64{{x, y + 5}, {x + 26, y + 5}})
		}})
	}
	s.remarks = append(s.remarks, f.Remarks...)
	s.alt = f.seen(span)
	if span.low == span.high {
		s.remarks = append(s.remarks, "The value is the same everywhere.")
	}
}

func (f Field) seen(span extent) string {
	text := fmt.Sprintf("Map of the %s, from %s to %s", f.Quantity.lower(), short(span.low), f.Quantity.of(span.high))
	switch len(f.Peaks) {
	case 0:
		return text + "."
	case 1:
		return text + fmt.Sprintf(", with one peak at x = %s mm, y = %s mm.", short(f.Peaks[0][0]), short(f.Peaks[0][1]))
	}
	return text + fmt.Sprintf(", with %d separate peaks.", len(f.Peaks))
}

// between is the value at a place between the points, in steps from the first: linear in both directions where all four are known,
// else that of the nearest.
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

// contours draws lines of equal value with their labels.
type contours struct {
	f         Field
	levels    []float64
	decimals  int
	low, high float64
}

// Plot draws the lines, then the labels, each where its line passes nearest to the ray that runs to the right of the
// highest point, and none over another.
func (k contours) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	at := func(q [2]float64) vg.Point {
		return vg.Point{X: x(k.f.Origin[0] + q[0]*k.f.StepMM), Y: y(k.f.Origin[1] + q[1]*k.f.StepMM)}
	}
	style := p.X.Tick.Label
	style.XAlign, style.YAlign = draw.XCenter, draw.YCenter
	style.Font.Size = 8
	placed := k.peaks(x, y)
	for _, level := range k.levels {
		segments := trace.Contour(k.f.NX, k.f.NY, func(i, j int) float64 { return k.f.Values[j*k.f.NX+i] }, level)
		ink := tint.Ink().Color()
		if (level-k.low)/(k.high-k.low) > 0.6 {
			ink = tint.Tint{Lightness: 0.93, Chroma: 0.02, HueDeg: 80}.Color()
		}
		for _, line := range trace.Chains(segments) {
			pts := make([]vg.Point, len(line))
			for i, q := range line {
				pts[i] = at(q)
			}
			c.StrokeLines(draw.LineStyle{Color: ink, Width: vg.Points(0.6)}, pts)
		}
		placed = k.tag(c, style, level, k.nearest(segments), at, placed)
	}
}

// peaks are the places that labels keep clear of.
func (k contours) peaks(x, y func(float64) vg.Length) (taken []vg.Rectangle) {
	for _, q := range k.f.Peaks {
		m := vg.Point{X: x(q[0]), Y: y(q[1])}
		taken = append(taken, vg.Rectangle{Min: vg.Point{X: m.X - 7, Y: m.Y - 7}, Max: vg.Point{X: m.X + 7, Y: m.Y + 7}})
	}
	return taken
}

// nearest orders a contour's places by their distance from the ray.
func (k contours) nearest(segments [][2][2]float64) (places [][2]float64) {
	top, best := [2]float64{}, math.Inf(-1)
	for i, v := range k.f.Values {
		if v > best {
			best, top = v, [2]float64{float64(i % k.f.NX), float64(i / k.f.NX)}
		}
	}
	for _, s := range segments {
		places = append(places, s[0])
	}
	off := func(q [2]float64) float64 { return math.Abs(math.Atan2(q[1]-top[1], q[0]-top[0]) + 0.3) }
	sortBy(places, off)
	return places
}
