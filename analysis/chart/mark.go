package chart

import (
	"fmt"
	"math"

	"onegrain/analysis/chart/scale"
)

// Disc is a disc through the whole thickness of a body; of a vertical section it is a run along x.
type Disc struct {
	AtMM       [2]float64 // x and y of its axis
	DiameterMM float64    // 0 for none
}

// Rim is the outline of the disc seen from above, in mm: a closed line.
func (d Disc) Rim() (line [][2]float64) {
	for n := range rimSteps + 1 {
		sin, cos := math.Sincos(float64(n%rimSteps) * 2 * math.Pi / rimSteps)
		line = append(line, [2]float64{d.AtMM[0] + d.DiameterMM/2*cos, d.AtMM[1] + d.DiameterMM/2*sin})
	}
	return line
}

const rimSteps = 72

// Patch is the outline of the seed's contact patch seen from above, in mm: a closed line, or nil
// where none is told.
func (g GrainInfo) Patch() (line [][2]float64) {
	for _, corner := range [5][2]float64{{1, 1}, {-1, 1}, {-1, -1}, {1, -1}, {1, 1}} {
		a, b := corner[0]*g.SizeMM[0]/2, corner[1]*g.SizeMM[1]/2
		line = append(line, [2]float64{g.AtMM[0] + a*g.Axes[0] + b*g.Axes[3], g.AtMM[1] + a*g.Axes[1] + b*g.Axes[4]})
	}
	if g.SizeMM[0] == 0 {
		return nil
	}
	return line
}

// marks adds the outlines of the seeds on the top face and of the clear piece, which runs from
// bottom to top.
func (k *picture) marks(p *view, lines *[lineKinds][][2]point) {
	for _, g := range p.cells.Grains {
		patch := g.Patch()
		if p.vAxis == 1 && !p.isTop() || patch == nil {
			continue
		}
		if p.vAxis == 1 {
			lines[seedPatch] = append(lines[seedPatch], p.along(patch, 1)...)
		} else if from, to, met := p.crossed(patch); met {
			lines[seedPatch] = append(lines[seedPatch], [2]point{{from, float64(p.nv)}, {to, float64(p.nv)}})
		}
	}
	d := k.sheet.Clear
	if d.DiameterMM == 0 {
		return
	}
	if p.vAxis == 1 {
		lines[clearRim] = append(lines[clearRim], p.along(d.Rim(), 3)...)
		return
	}
	from, to, met := p.crossed(d.Rim())
	if p.cells.Flat == 1 {
		from, to, met = p.cell(d.AtMM[0]-d.DiameterMM/2, p.u0), p.cell(d.AtMM[0]+d.DiameterMM/2, p.u0), true
	}
	const dashes = 12
	for n := 0; n < 2*dashes && met; n += 2 { // from a half dash at the bottom to one at the top
		low, high := (float64(n)-0.5)/(2*dashes-1), (float64(n)+0.5)/(2*dashes-1)
		low, high = math.Max(0, low)*float64(p.nv), math.Min(1, high)*float64(p.nv)
		lines[clearRim] = append(lines[clearRim], [2]point{{from, low}, {from, high}}, [2]point{{to, low}, {to, high}})
	}
}

// isTop tells whether a plane seen from above is the top layer.
func (p *view) isTop() bool { return p.start >= (p.cells.N[2]-1)*p.cells.N[0]*p.cells.N[1] }

// along carries a line in mm to the cells of a view from above; of every `of` pieces the last one
// is left out, 1 leaves out none.
func (p *view) along(line [][2]float64, of int) (pieces [][2]point) {
	for n := range len(line) - 1 {
		if of == 1 || n%of < of-1 {
			a, b := line[n], line[n+1]
			pieces = append(pieces, [2]point{{p.cell(a[0], p.u0), p.cell(a[1], p.v0)},
				{p.cell(b[0], p.u0), p.cell(b[1], p.v0)}})
		}
	}
	return pieces
}

// crossed is where an upright section crosses a closed line seen from above, in cells to the right.
func (p *view) crossed(line [][2]float64) (from, to float64, met bool) {
	from, to = math.Inf(1), math.Inf(-1)
	across := 1 - p.uAxis // the axis that the section is looked along
	for n := range len(line) - 1 {
		a, b := line[n], line[n+1]
		if (a[across] < p.cutMM) == (b[across] < p.cutMM) {
			continue
		}
		t := (p.cutMM - a[across]) / (b[across] - a[across])
		u := p.cell(a[p.uAxis]+t*(b[p.uAxis]-a[p.uAxis]), p.u0)
		from, to = math.Min(from, u), math.Max(to, u)
	}
	return from, to, from < to
}

// finished is the sheet, without the clear piece where some of the body is shown as it was before
// it was captured.
func (s Sheet) finished(c *Cells) Sheet {
	for i, g := range c.Grain {
		if g >= 0 && float64(c.TimeH[i]) > s.until() {
			s.Clear = Disc{}
			break
		}
	}
	return s
}

// told says where the clear piece is.
func (d Disc) told(c *Cells) string {
	low, high := d.AtMM[0]-d.DiameterMM/2, d.AtMM[0]+d.DiameterMM/2
	switch {
	case d.DiameterMM == 0:
		return ""
	case c.Flat == 1:
		return fmt.Sprintf(" The clear piece runs from x = %s to %s mm.", scale.Number(low, 1), scale.Number(high, 1))
	}
	return fmt.Sprintf(" The clear piece is %s mm across, about x = %s mm, y = %s mm.",
		scale.Number(d.DiameterMM, 1), scale.Number(d.AtMM[0], 1), scale.Number(d.AtMM[1], 1))
}
