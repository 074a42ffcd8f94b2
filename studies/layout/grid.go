package layout

import (
	"slices"

	"onegrain/sim"
	"onegrain/sim/body"
	"onegrain/sim/furnace"
	"onegrain/sim/nucleation"
)

// Grid makes the cells of the body. The error says that there is no cell in the outline.
func (b *Body) Grid() (g *body.Grid, err error) {
	flat := map[string]int{"": body.Solid, "ab": body.FromAbove, "ac": body.VerticalSection}[b.plane]
	switch b.kind {
	case "disc":
		g, err = body.Disc(b.size[0], b.size[2], b.CellMM, flat)
	case "ring":
		g, err = body.Ring(b.size[0], 2*b.inner, b.size[2], b.CellMM, flat)
	case "mask":
		g, err = body.Mask(*b.outline, b.size[2], b.CellMM, flat)
	default:
		g, err = body.Block(b.size, b.CellMM, flat, b.periodic)
	}
	if err == nil {
		g.FlatMM = b.flatMM
	}
	return g, err
}

// Span are the least and greatest offsets of the cells of a grid, K.
func Span(g *body.Grid, gradient furnace.Gradient) (lowest, highest float64) {
	return nucleation.NewOdds(nucleation.Model{}, g, furnace.Cooling{Gradient: gradient}).Span()
}

// Unseeded is the first piece of a body that has no seed, from 1; 0 for none. There are n pieces.
func Unseeded(g *body.Grid, seeds []sim.Seed) (piece, n int) {
	pieces, n := g.Pieces()
	seeded := make([]bool, n)
	for _, s := range seeds {
		if u := outlineCell(g, s.AtMM); u >= 0 && pieces[u] >= 0 {
			seeded[pieces[u]] = true
		}
	}
	return slices.Index(seeded, false) + 1, n
}

// outlineCell is the index in the outline of the cell under a point of the top face, -1 beside it.
func outlineCell(g *body.Grid, at [2]float64) int {
	nx, ny, _ := g.Layer()
	c := g.Nearest([3]float64{at[0], at[1], 0})
	i, j := c[0], c[1]
	if g.Flat == body.VerticalSection {
		for j = ny - 1; j > 0 && g.State(i, 0, j) != body.Inside; j-- {
		}
	}
	if i < 0 || j < 0 || i >= nx || j >= ny {
		return -1
	}
	return j*nx + i
}
