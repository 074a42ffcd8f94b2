package border

import (
	"fmt"
	"slices"

	"onegrain/sim"
	"onegrain/sim/body"
	"onegrain/studies/laws"
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
	i, n := unseeded(c)
	if i == 0 || n < 2 || laws.Any(c.Nuclei) {
		return nil
	}
	wanted := fmt.Sprintf("the body is in %d pieces and piece %d has no seed, so it can never become solid", n, i)
	return strict.Problems{d.Problem("body.file", wanted, "give it a [[seed]], or a nucleation law, or join the pieces")}
}

// unseeded is the first piece of a body that has no seed, from 1; 0 for none. There are n pieces.
func unseeded(c *sim.Case) (piece, n int) {
	pieces, n := c.Grid.Pieces()
	seeded := make([]bool, n)
	for _, s := range c.Seeds {
		if u := outlineCell(c.Grid, s.AtMM); u >= 0 && pieces[u] >= 0 {
			seeded[pieces[u]] = true
		}
	}
	return slices.Index(seeded, false) + 1, n
}

// UnseededPiece is the first piece of the body of a checked document that has no seed, from 1; 0 for none, and where there is but
// one piece. There are n pieces.
func (c *Converter) UnseededPiece(d *strict.Document) (piece, n int) {
	if c.Outline == nil {
		return 0, 1
	}
	one, found := c.Case(d)
	if len(found) > 0 {
		return 0, 1
	}
	if piece, n = unseeded(one); n < 2 {
		piece = 0
	}
	return piece, n
}

// Longest is the greatest length of the body of a checked document, mm, and the key it comes from.
func (c *Converter) Longest(d *strict.Document) (key string, mm float64) {
	s, _ := c.shape(d)
	if s == nil {
		return "", 0
	}
	for axis, length := range s.size {
		if length > mm {
			key, mm = s.lengthKey(axis), length
		}
	}
	return key, mm
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
