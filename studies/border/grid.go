package border

import (
	"fmt"

	"onegrain/sim"
	"onegrain/sim/body"
	"onegrain/studies/strict"
)

// build makes the grid of cells of a document that was checked.
func build(d *strict.Document, o *Outline) (*body.Grid, error) {
	cell, flat := d.Number("body.cell_mm"), body.Solid
	switch d.Text("body.plane") {
	case "ab":
		flat = body.FromAbove
	case "ac":
		flat = body.VerticalSection
	}
	height := d.Number("body.height_mm")
	switch d.Text("body.shape") {
	case "disc":
		return body.Disc(d.Number("body.diameter_mm"), height, cell, flat)
	case "ring":
		return body.Ring(d.Number("body.outer_diameter_mm"), d.Number("body.inner_diameter_mm"), height, cell, flat)
	case "mask":
		return body.Mask(body.Picture{Columns: o.Width, Rows: o.Height, MMPerPixel: d.Number("body.mm_per_pixel"), Body: o.Body}, height, cell, flat)
	}
	size := d.Numbers("body.size_mm")
	extent := [3]float64{size[0], size[1], 0}
	if flat == body.VerticalSection {
		extent = [3]float64{size[0], 0, size[1]}
	} else if flat == body.Solid {
		extent[2] = size[2]
	}
	return body.Block(extent, cell, flat, d.Flag("body.periodic"))
}

// checkPieces refuses a body with a piece that nothing could ever solidify.
func checkPieces(d *strict.Document, c *sim.Case) strict.Problems {
	pieces, n := c.Grid.Pieces()
	if n < 2 || strays(c) {
		return nil
	}
	seeded := make([]bool, n)
	for _, s := range c.Seeds {
		if u := outlineCell(c.Grid, s.AtMM); u >= 0 && pieces[u] >= 0 {
			seeded[pieces[u]] = true
		}
	}
	for i, ok := range seeded {
		if !ok {
			return strict.Problems{d.Problem("body.file", fmt.Sprintf("the body is in %d pieces and piece %d has no seed, so it can never become solid", n, i+1),
				"give it a [[seed]], or a nucleation law, or join the pieces")}
		}
	}
	return nil
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
