package chart

import (
	"math"
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
// along x through the first seed (through the middle, where no grain is seeded).
func views(c *Cells, untilH float64) []*view {
	switch c.Flat {
	case 1:
		return []*view{upright(c, 0, untilH)}
	case 2:
		return []*view{level(c, 0, untilH)}
	}
	return []*view{level(c, c.N[2]-1, untilH), upright(c, sectionRow(c), untilH)}
}

// sectionRow is the row of cells along x that holds the first seed.
func sectionRow(c *Cells) int {
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
