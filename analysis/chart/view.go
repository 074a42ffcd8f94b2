package chart

import (
	"fmt"
	"math"

	"onegrain/analysis/chart/scale"
)

// view is one plane of cells, seen flat: column u to the right, row v upwards.
type view struct {
	cells  *Cells
	title  string
	nu, nv int     // cells to the right, upwards
	u0, v0 float64 // centre of the first cell, mm
	uName  string  // axis titles without unit
	vName  string  //
	uAxis  int     // which axis of the body runs to the right
	vAxis  int     // which runs upwards
	start  int     // index of the first cell in the arrays
	stepU  int     // from a cell to its right neighbour
	stepV  int     // to its upper neighbour
	cutMM  float64 // where this plane stands on the axis that is looked along
	untilH float64 // cells captured later still count as liquid
}

// grain is what cell (u, v) belongs to at the hour of the view; cells off the plane are not of the body.
func (p *view) grain(u, v int) int32 {
	if u < 0 || v < 0 || u >= p.nu || v >= p.nv {
		return outside
	}
	i := p.index(u, v)
	if g := p.cells.Grain[i]; g < 0 || float64(p.cells.TimeH[i]) <= p.untilH {
		return g
	}
	return liquid
}

// sector is the face that captured cell (u, v); ask it of solid cells only.
func (p *view) sector(u, v int) uint8 { return p.cells.Sector[p.index(u, v)] }

// timeH is the arrival time of cell (u, v); ask it of solid cells only.
func (p *view) timeH(u, v int) float64 { return float64(p.cells.TimeH[p.index(u, v)]) }

func (p *view) index(u, v int) int { return p.start + u*p.stepU + v*p.stepV }

// stray tells whether grain g is of spontaneous origin.
func (p *view) stray(g int32) bool { return g >= 0 && !p.cells.Grains[g].Seeded }

// views are the planes a sheet shows: the plane of a two-dimensional body; else the top layer and the upright section
// through the largest stray, or else the first seed.
func views(c *Cells, untilH float64) []*view {
	switch c.Flat {
	case 1:
		return []*view{upright(c, 0, untilH)}
	case 2:
		return []*view{level(c, 0, untilH)}
	}
	return []*view{level(c, c.N[2]-1, untilH), section(c, untilH)}
}

// section is the upright section that is shown where none is asked for: through the largest stray,
// along x or y as more of the body is seen, each where most of the stray is; without strays along x
// through the first seed, or else through the middle.
func section(c *Cells, untilH float64) *view {
	size := make([]int, len(c.Grains))
	largest := int32(-1)
	each := func(do func(i int, g int32)) {
		for i, g := range c.Grain {
			if g >= 0 && !c.Grains[g].Seeded && float64(c.TimeH[i]) <= untilH {
				do(i, g)
			}
		}
	}
	each(func(_ int, g int32) {
		if size[g]++; largest < 0 || size[g] > size[largest] {
			largest = g
		}
	})
	if largest < 0 {
		return upright(c, seedRow(c), untilH)
	}
	columns, rows := make([]int, c.N[0]), make([]int, c.N[1])
	each(func(i int, g int32) {
		if g == largest {
			columns[i%c.N[0]]++
			rows[i/c.N[0]%c.N[1]]++
		}
	})
	p, q := upright(c, most(rows), untilH), across(c, most(columns), untilH)
	if q.bodyCells() > p.bodyCells() {
		p = q
	}
	p.title += " through the largest stray"
	return p
}

// most is the index of the largest number.
func most(counts []int) (at int) {
	for i, n := range counts {
		if n > counts[at] {
			at = i
		}
	}
	return at
}

// bodyCells is how many cells of a plane are of the body.
func (p *view) bodyCells() (n int) {
	for v := range p.nv {
		for u := range p.nu {
			if p.grain(u, v) != outside {
				n++
			}
		}
	}
	return n
}

// seedRow is the row of cells along x that holds the first seed, or the middle one.
func seedRow(c *Cells) int {
	for _, g := range c.Grains {
		if g.Seeded {
			row := math.Round((g.AtMM[1] - c.Origin[1]) / c.CellMM)
			return int(math.Max(0, math.Min(row, float64(c.N[1]-1))))
		}
	}
	return c.N[1] / 2
}

// level is layer k seen from above.
func level(c *Cells, k int, untilH float64) *view {
	return &view{cells: c, nu: c.N[0], nv: c.N[1], u0: c.Origin[0], v0: c.Origin[1], uName: "x", vName: "y", uAxis: 0, vAxis: 1,
		start: c.at(0, 0, k), stepU: 1, stepV: c.N[0], cutMM: c.Origin[2] + float64(k)*c.CellMM, untilH: untilH,
		title: "Seen from above"}
}

// upright is the section along x through row j.
func upright(c *Cells, j int, untilH float64) *view {
	return &view{cells: c, nu: c.N[0], nv: c.N[2], u0: c.Origin[0], v0: c.Origin[2], uName: "x", vName: "z", uAxis: 0, vAxis: 2,
		start: c.at(0, j, 0), stepU: 1, stepV: c.N[0] * c.N[1], cutMM: c.Origin[1] + float64(j)*c.CellMM, untilH: untilH,
		title: "Vertical section"}
}

// across is the section along y through column i.
func across(c *Cells, i int, untilH float64) *view {
	return &view{cells: c, nu: c.N[1], nv: c.N[2], u0: c.Origin[1], v0: c.Origin[2], uName: "y", vName: "z", uAxis: 1, vAxis: 2,
		start: c.at(i, 0, 0), stepU: c.N[0], stepV: c.N[0] * c.N[1], cutMM: c.Origin[0] + float64(i)*c.CellMM, untilH: untilH,
		title: "Vertical section"}
}

// planeAt is the layer of cells that looks along an axis.
func planeAt(c *Cells, axis, index int, untilH float64) *view {
	return [3]func(*Cells, int, float64) *view{across, upright, level}[axis](c, index, untilH)
}

// until are the same planes at an hour.
func until(shown []*view, hour float64) []*view {
	list := make([]*view, len(shown))
	for i, p := range shown {
		then := *p
		then.untilH = hour
		list[i] = &then
	}
	return list
}

// views are the planes a sheet asks for.
func (s Sheet) views(c *Cells) []*view {
	if len(s.Cuts) == 0 {
		return views(c, s.until())
	}
	var list []*view
	for _, cut := range s.Cuts {
		list = append(list, planeAt(c, cut.Axis, cut.index(c), s.until()))
	}
	return list
}

// index is the layer of cells that holds the cut.
func (k Cut) index(c *Cells) int {
	return max(0, min(c.N[k.Axis]-1, int(math.Round((k.AtMM-c.Origin[k.Axis])/c.CellMM))))
}

// checkCuts finds cuts that miss the body.
func (s Sheet) checkCuts(c *Cells) error {
	if len(s.Cuts) > 3 {
		return fmt.Errorf("chart: %d Cuts: wanted at most 3 on a sheet", len(s.Cuts))
	}
	for i, k := range s.Cuts {
		switch {
		case c.Flat >= 0:
			return fmt.Errorf("chart: Cuts[%d]: a two-dimensional body has one plane, which is shown as it is; leave Cuts empty", i)
		case k.Axis < 0 || k.Axis > 2:
			return fmt.Errorf("chart: Cuts[%d].Axis = %d: wanted 0 (x), 1 (y) or 2 (z)", i, k.Axis)
		}
		low := c.Origin[k.Axis] - c.CellMM/2
		high := low + float64(c.N[k.Axis])*c.CellMM
		if !(k.AtMM >= low && k.AtMM <= high) {
			return fmt.Errorf("chart: Cuts[%d] at %c = %v mm: wanted a place within the body, %v to %v mm", i, "xyz"[k.Axis], k.AtMM, scale.Number(low, 2), scale.Number(high, 2))
		}
	}
	return nil
}
