package graph

import (
	"io"
	"slices"

	"gonum.org/v1/plot/vg/draw"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/tint"
	"onegrain/analysis/trace"
)

// Strip is a map of grains with the path of the weakest cut across it, at which a current along it
// is limited.
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
	Share       float64        `nan:"unknown"` // of the current of a strip without boundaries, 0 to 1; NaN where not known
	Remarks     []string       // what was assumed
}

// Draw writes the chart as all charts are written, see write.
func (t Strip) Draw(w io.Writer, as paper.Format) (string, error) { return write(t, w, as) }

func (t Strip) head() (title, note string) { return t.Title, t.Note }

func (t Strip) compose(s *sheet) {
	p := s.mapped(raster{nx: t.NX, ny: t.NY, step: t.CellMM, origin: t.Origin, at: t.pixel}, sheetWidth-100, 320, 64)
	seeded, strays := t.counts()
	if seeded > 0 {
		s.explain("seeded grains", swatch(false, tint.Seeded()...))
	}
	if strays > 0 {
		s.explain("stray grains", swatch(true, tint.Strays()...))
	}
	if slices.Contains(t.Grain, -1) {
		s.explain("liquid", swatch(false, tint.Liquid()))
	}
	white := tint.Paper()
	for _, k := range []struct {
		name string
		path
	}{
		{"boundary between grains", path{t.boundaries(), []draw.LineStyle{ink(0.9)}}},
		{"weakest cut", path{t.Cut, []draw.LineStyle{ink(3.6), pen(tint.Strays()[2], 1.8)}}},
		{"seed", path{t.Seeds, []draw.LineStyle{ink(2.6), pen(white, 0.9)}}},
		{"clear piece", path{t.Clear, []draw.LineStyle{pen(white, 3.2, 7, 5), ink(1.6, 7, 5)}}},
	} {
		if len(k.lines) > 0 {
			p.Add(k)
			s.explain(k.name, across(k.coats...))
		}
	}
	s.describe(t)
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
