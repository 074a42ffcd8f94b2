package graph

import (
	"fmt"
	"io"
	"math"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/tint"
	"onegrain/analysis/trace"
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
	Seeds       [][][2]float64 // the outlines of the seeds, in mm
	Clear       [][][2]float64 // that of the clear piece, in mm
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
	p.Add(g)
	s.legend = t.areas()
	for _, k := range []path{{"boundary between grains", t.boundaries(), []coat{{tint.Ink(), 0.9, nil}}},
		{"weakest cut", t.Cut, []coat{{tint.Ink(), 3.6, nil}, {tint.Strays()[2], 1.8, nil}}},
		{"seed", t.Seeds, []coat{{tint.Ink(), 2.6, nil}, {tint.Paper(), 0.9, nil}}},
		{"clear piece", t.Clear, []coat{{tint.Paper(), 3.2, dashes()}, {tint.Ink(), 1.6, dashes()}}}} {
		if len(k.lines) > 0 {
			p.Add(k)
			s.legend = append(s.legend, k.entry())
		}
	}
	s.panes = []*pane{{plot: p, high: height + 40, data: [2]float64{width, height}}}
	if g.tall > 1 {
		s.remarks = append(s.remarks, fmt.Sprintf("The width (y) is drawn %d times larger than the length (x).", int(g.tall)))
	}
	s.remarks = append(s.remarks, t.Remarks...)
	s.alt = t.seen()
}

// areas explain the colours that are seen.
func (t Strip) areas() (list []entry) {
	seeded, strays := t.counts()
	if seeded > 0 {
		list = append(list, swatch("seeded grains", tint.Seeded(), false))
	}
	if strays > 0 {
		list = append(list, swatch("stray grains", tint.Strays(), true))
	}
	if slices.Contains(t.Grain, -1) {
		list = append(list, swatch("liquid", []tint.Tint{tint.Liquid()}, false))
	}
	return list
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

// counts of the grains that are seen.
func (t Strip) counts() (seeded, strays int) {
	met := map[int32]bool{}
	for _, g := range t.Grain {
		switch {
		case g < 0 || met[g]:
		case t.Stray[g]:
			strays++
		default:
			seeded++
		}
		met[g] = true
	}
	return seeded, strays
}

func (t Strip) seen() string {
	seeded, strays := t.counts()
	text := fmt.Sprintf("Map of a strip of %s × %s mm with %s and %s.", short(float64(t.NX)*t.CellMM), short(float64(t.NY)*t.CellMM),
		count(seeded, "seeded grain"), count(strays, "stray"))
	if !math.IsNaN(t.Share) {
		text += fmt.Sprintf(" It carries %s %% of the current of a strip without boundaries", short(100*t.Share))
		if len(t.Cut) > 0 && len(t.Cut[0]) > 0 {
			text += fmt.Sprintf("; the weakest cut crosses it near x = %s mm", short(t.Cut[0][0][0]))
		}
		text += "."
	}
	return text
}

// boundaries are the lines between grains, in mm.
func (t Strip) boundaries() [][][2]float64 {
	var segments [][2][2]float64
	corner := func(i, j int) [2]float64 {
		return [2]float64{t.Origin[0] + (float64(i)-0.5)*t.CellMM, t.Origin[1] + (float64(j)-0.5)*t.CellMM}
	}
	for j := range t.NY {
		for i := range t.NX {
			here := t.Grain[j*t.NX+i]
			if i+1 < t.NX && t.Grain[j*t.NX+i+1] != here {
				segments = append(segments, [2][2]float64{corner(i+1, j), corner(i+1, j+1)})
			}
			if j+1 < t.NY && t.Grain[(j+1)*t.NX+i] != here {
				segments = append(segments, [2][2]float64{corner(i, j+1), corner(i+1, j+1)})
			}
		}
	}
	return trace.Chains(segments)
}

// path draws lines in one coat upon the other, to be seen on every ground.
type path struct {
	name  string
	lines [][][2]float64
	coats []coat
}

type coat struct {
	tint   tint.Tint
	width  float64 // points
	dashes []vg.Length
}

func dashes() []vg.Length { return []vg.Length{7, 5} }

func (k coat) style() draw.LineStyle {
	return draw.LineStyle{Color: k.tint.Color(), Width: vg.Points(k.width), Dashes: k.dashes}
}

// Plot draws the lines.
func (k path) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	for _, coat := range k.coats {
		for _, line := range k.lines {
			pts := make([]vg.Point, len(line))
			for i, q := range line {
				pts[i] = vg.Point{X: x(q[0]), Y: y(q[1])}
			}
			c.StrokeLines(coat.style(), c.ClipLinesXY(pts)...)
		}
	}
}

func (k path) entry() entry {
	return entry{k.name, func(p *paper.Page, x, y float64) {
		c := p.Part(x, y, 26, 10)
		for _, coat := range k.coats {
			c.StrokeLine2(coat.style(), c.Min.X, c.Center().Y, c.Max.X, c.Center().Y)
		}
	}}
}
