package scene

import (
	"math"
	"slices"

	"onegrain/analysis/chart/scale"
)

// view is one plane of cells, seen flat: column u to the right, row v upwards.
type view struct {
	cells  *Cells
	title  string
	u, v   side
	along  int     // the axis of the body that is looked along
	layer  int     // of cells on that axis
	start  int     // index of the first cell in the arrays
	untilH float64 // cells captured later still count as liquid
}

// side is an axis of the body as it runs along a view.
type side struct {
	of      int     // 0 x, 1 y, 2 z
	n       int     // cells
	step    int     // from a cell to the next in the arrays
	firstMM float64 // centre of the first cell
	cellMM  float64
}

// planeAt is a layer of cells, looked at along an axis.
func planeAt(c *Cells, along, layer int, untilH float64) *view {
	steps := [3]int{1, c.N[0], c.N[0] * c.N[1]}
	along2 := func(axis int) side { return side{axis, c.N[axis], steps[axis], c.Origin[axis], c.CellMM} }
	shown := [3][2]int{{1, 2}, {0, 2}, {0, 1}}[along]
	title := [3]string{"Vertical section", "Vertical section", "Seen from above"}[along]
	return &view{c, title, along2(shown[0]), along2(shown[1]), along, layer, layer * steps[along], untilH}
}

// grain is what cell (u, v) belongs to at the hour of the view; cells off the plane are not of the
// body.
func (p *view) grain(u, v int) int32 {
	if u < 0 || v < 0 || u >= p.u.n || v >= p.v.n {
		return outside
	}
	i := p.index(u, v)
	if g := p.cells.Grain[i]; g < 0 || float64(p.cells.TimeH[i]) <= p.untilH {
		return g
	}
	return liquid
}

// timeH is the arrival time of cell (u, v); ask it of solid cells only.
func (p *view) timeH(u, v int) float64 { return float64(p.cells.TimeH[p.index(u, v)]) }

func (p *view) index(u, v int) int { return p.start + u*p.u.step + v*p.v.step }

// each does something at every cell, row by row from below.
func (p *view) each(do func(u, v int)) {
	for v := range p.v.n {
		for u := range p.u.n {
			do(u, v)
		}
	}
}

// fromAbove tells whether the view looks down.
func (p *view) fromAbove() bool { return p.along == 2 }

// atMM is where the plane stands on the axis that is looked along.
func (p *view) atMM() float64 { return p.cells.Origin[p.along] + float64(p.layer)*p.cells.CellMM }

// caption is the title of a view, with the place of its plane.
func (p *view) caption() string {
	if p.cells.Flat >= 0 {
		return p.title
	}
	return p.title + ", " + "xyz"[p.along:p.along+1] + " = " + scale.Number(p.atMM(), 2) + " mm"
}

// at is where a place in mm stands on a side, in cells from the edge of the view.
func (a side) at(mm float64) float64 { return (mm-a.firstMM)/a.cellMM + 0.5 }

// layerAt is the layer of cells that holds a place on an axis, or the nearest one.
func (c *Cells) layerAt(axis int, mm float64) int {
	layer := math.Round((mm - c.Origin[axis]) / c.CellMM)
	return int(math.Max(0, math.Min(layer, float64(c.N[axis]-1))))
}

// views are the planes that a sheet asks for; else the plane of a two-dimensional body, or the top
// layer and an upright section.
func (s Sheet) views(c *Cells, n count) (list []*view) {
	for _, cut := range s.Cuts {
		list = append(list, planeAt(c, cut.Axis, c.layerAt(cut.Axis, cut.AtMM), s.untilH()))
	}
	switch {
	case len(list) > 0:
		return list
	case c.Flat >= 0:
		return []*view{planeAt(c, c.Flat, 0, s.untilH())}
	}
	return []*view{planeAt(c, 2, c.N[2]-1, s.untilH()), section(c, n.largest, s.untilH())}
}

// section is the upright section that is shown where none is asked for: through the largest stray,
// along x or y as more of the body is seen, each where most of the stray is; without strays along x
// through the first seed, or else through the middle.
func section(c *Cells, largest int32, untilH float64) *view {
	if largest < 0 {
		row := c.N[1] / 2
		if g := slices.IndexFunc(c.Grains, Grain.seeded); g >= 0 {
			row = c.layerAt(1, c.Grains[g].AtMM[1])
		}
		return planeAt(c, 1, row, untilH)
	}
	columns, rows := make([]int, c.N[0]), make([]int, c.N[1])
	for i, g := range c.Grain {
		if g == largest && float64(c.TimeH[i]) <= untilH {
			columns[i%c.N[0]]++
			rows[i/c.N[0]%c.N[1]]++
		}
	}
	most := func(counts []int) int { return slices.Index(counts, slices.Max(counts)) }
	seen := func(p *view) (n int) {
		p.each(func(u, v int) { n += int(min(1, p.grain(u, v)-outside)) })
		return n
	}
	p, q := planeAt(c, 1, most(rows), untilH), planeAt(c, 0, most(columns), untilH)
	if seen(q) > seen(p) {
		p = q
	}
	p.title += " through the largest stray"
	return p
}
