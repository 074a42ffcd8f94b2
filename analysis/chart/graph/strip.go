package graph

import (
	"fmt"
	"io"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/tint"
)

// Strip is a map of grains with the path of the weakest cut across it, at which a current along it is limited.
type Strip struct {
	Title, Note string
	NX, NY      int            // cells along x and y
	CellMM      float64        // edge of a cell, mm
	Origin      [2]float64     // centre of the first cell, mm
	Grain       []int32        // x fastest; -1 liquid, -2 not of the body
	Stray       []bool         // is a grain of spontaneous origin? One for each grain
	Cut         [][][2]float64 // the cut, in mm, as one or more lines
	Share       float64        // of the current of a strip without boundaries, 0 to 1; NaN where not known
	Remarks     []string       // what was assumed
}

const lowestStrip = 64.0 // points; a lower one is drawn higher than it is, and says so

// Draw writes the map and returns its text alternative; the error names a faulty value, or is that of w.
func (t Strip) Draw(w io.Writer, format paper.Format) (alt string, err error) {
	if err := t.check(); err != nil {
		return "", err
	}
	letters, err := paper.NewLetters()
	if err != nil {
		return "", err
	}
	s := &sheet{title: t.Title, note: t.Note}
	if len(t.Grain) == 0 {
		s.words = "There are no cells: there is no strip to show."
		return s.write(w, format, letters)
	}
	t.compose(s, letters)
	return s.write(w, format, letters)
}

func (t Strip) check() error {
	if err := checkGrid("Strip", t.NX, t.NY, t.CellMM, len(t.Grain), "Grain"); err != nil {
		return err
	}
	for i, g := range t.Grain {
		if g < -2 || int(g) >= len(t.Stray) {
			return fmt.Errorf("graph: Strip.Grain[%d] = %d, but Stray tells of %d grains: wanted -2, -1 or one of them", i, g, len(t.Stray))
		}
	}
	if t.Share < 0 || t.Share > 1.0001 {
		return fmt.Errorf("graph: Strip.Share = %v: wanted 0 to 1, or NaN where it is not known", t.Share)
	}
	return nil
}

func (t Strip) compose(s *sheet, letters paper.Letters) {
	g := raster{nx: t.NX, ny: t.NY, step: t.CellMM, origin: t.Origin, at: t.pixel}
	const wide, high = sheetWidth - 100, 320.0
	if _, h := g.size(wide, high); h < lowestStrip {
		g.tall = math.Ceil(lowestStrip / h)
	}
	width, height := g.size(wide, high)
	ex, ey := g.extents()
	p := newPlot(letters, Axis{Name: "x", Unit: "mm"}, Axis{Name: "y", Unit: "mm"}, ex, ey, [2]float64{width, height / 1.5})
	p.Add(g, borders{t}, path(t.Cut))
	s.panes = []*pane{{plot: p, high: height + 40, data: [2]float64{width, height}}}
	s.legend = append(s.legend, swatch("seeded grains", tint.Seeded(), false), swatch("stray grains", tint.Strays(), true), swatch("liquid", []tint.Tint{tint.Liquid()}, false),
		entry{"border between grains", func(p *paper.Page, x, y float64) {
			p.Stroke(tint.Ink().Color(), 0.9, [][2]float64{{x, y + 5}, {x + 26, y + 5}})
		}})
	if len(t.Cut) > 0 {
		s.legend = append(s.legend, entry{"weakest cut", func(p *paper.Page, x, y float64) {
			p.Stroke(tint.Ink().Color(), 3.6, [][2]float64{{x, y + 5}, {x + 26, y + 5}})
			p.Stroke(tint.Strays()[2].Color(), 1.8, [][2]float64{{x, y + 5}, {x + 26, y + 5}})
		}})
	}
	if g.tall > 1 {
		s.remarks = append(s.remarks, fmt.Sprintf("The width (y) is drawn %d times larger than the length (x).", int(g.tall)))
	}
	s.remarks = append(s.remarks, t.Remarks...)
	s.alt = t.seen()
}

// pixel is the colour at a place; strays are hatched.
func (t Strip) pixel(u, v float64) (c tint.Tint, hatched bool) {
	switch g := t.Grain[int(v)*t.NX+int(u)]; {
	case g == -2:
		return tint.Paper(), false
	case g == -1:
		return tint.Liquid(), false
	case t.Stray[g]:
		return tint.Strays()[int(g)%len(tint.Strays())], true
	default:
		return tint.Seeded()[int(g)%len(tint.Seeded())], false
	}
}

func (t Strip) seen() string {
	seeded, stray := map[int32]bool{}, map[int32]bool{}
	for _, g := range t.Grain {
		if g >= 0 && t.Stray[g] {
			stray[g] = true
		} else if g >= 0 {
			seeded[g] = true
		}
	}
	text := fmt.Sprintf("Map of a strip of %s × %s mm with %s and %s.", short(float64(t.NX)*t.CellMM), short(float64(t.NY)*t.CellMM),
		count(len(seeded), "seeded grain"), count(len(stray), "stray"))
	if !math.IsNaN(t.Share) {
		text += fmt.Sprintf(" It carries %s %% of the current of a strip without boundaries", short(100*t.Share))
		if len(t.Cut) > 0 && len(t.Cut[0]) > 0 {
			text += fmt.Sprintf("; the weakest cut crosses it near x = %s mm", short(t.Cut[0][0][0]))
		}
		text += "."
	}
	return text
}

// borders draws the lines between grains.
type borders struct{ Strip }

// Plot draws them.
func (b borders) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	at := func(i, j int) (int32, bool) {
		if i < 0 || j < 0 || i >= b.NX || j >= b.NY {
			return -2, false
		}
		return b.Grain[j*b.NX+i], true
	}
	var segments [][2][2]float64
	for j := range b.NY {
		for i := range b.NX {
			here, _ := at(i, j)
			u, v := float64(i)-0.5, float64(j)-0.5
			if g, in := at(i+1, j); in && g != here {
				segments = append(segments, [2][2]float64{{u + 1, v}, {u + 1, v + 1}})
			}
			if g, in := at(i, j+1); in && g != here {
				segments = append(segments, [2][2]float64{{u, v + 1}, {u + 1, v + 1}})
			}
		}
	}
	style := draw.LineStyle{Color: tint.Ink().Color(), Width: vg.Points(0.9)}
	for _, line := range paper.Chains(segments) {
		pts := make([]vg.Point, len(line))
		for i, q := range line {
			pts[i] = vg.Point{X: x(b.Origin[0] + q[0]*b.CellMM), Y: y(b.Origin[1] + q[1]*b.CellMM)}
		}
		c.StrokeLines(style, pts)
	}
}

// path draws a cut: yellow in black, to be seen on every ground.
type path [][][2]float64

// Plot draws the lines.
func (k path) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	for _, s := range []draw.LineStyle{{Color: tint.Ink().Color(), Width: vg.Points(3.6)}, {Color: tint.Strays()[2].Color(), Width: vg.Points(1.8)}} {
		for _, line := range k {
			pts := make([]vg.Point, len(line))
			for i, q := range line {
				pts[i] = vg.Point{X: x(q[0]), Y: y(q[1])}
			}
			c.StrokeLines(s, c.ClipLinesXY(pts)...)
		}
	}
}
