package body

import "fmt"

// Picture is an outline in pixels. Body has Columns·Rows values, columns fastest, the far side (+y;
// in a vertical section the top) first. Its middle is the axis.
type Picture struct {
	Columns, Rows int
	MMPerPixel    float64
	Body          []bool // true where the pixel is body
}

// Mask is a body with the outline of a picture; a cell takes the pixel its centre lies in. Cells
// around the body are cut away, so the grid is as small as it can be and need not be symmetric. In
// a vertical section the picture is the section itself and its lowest body pixel stands on z = 0;
// seen from above there is no height to look at.
func Mask(p Picture, heightMM, cellMM float64, flat int) (*Grid, error) {
	if err := (length{"mm_per_pixel", p.MMPerPixel}).positive(); err != nil {
		return nil, err
	}
	if p.Columns < 1 || p.Rows < 1 || p.Columns > mostCells/p.Rows || len(p.Body) != p.Columns*p.Rows {
		return nil, fmt.Errorf("picture of %d × %d pixels with %d values: give columns × rows values, at least one",
			p.Columns, p.Rows, len(p.Body))
	}
	wide := length{"width of the picture", float64(p.Columns) * p.MMPerPixel}
	deep := length{"height of the picture", float64(p.Rows) * p.MMPerPixel}
	size := [3]length{wide, deep, {"height_mm", heightMM}}
	if flat == VerticalSection {
		size[2] = deep
	}
	g, err := newGrid(size, cellMM, flat)
	if err != nil {
		return nil, err
	}
	g.rim = drawn(p, flat)
	nx, ny, _ := g.Layer()
	for u := range g.outline {
		if !p.At(fromAxis(u%nx, nx)/2*cellMM, fromAxis(u/nx, ny)/2*cellMM) {
			g.outline[u] = Outside
		}
	}
	if g.Cells() == 0 {
		return nil, fmt.Errorf("cell_mm = %v: no cell's centre lies in the outline; "+
			"choose smaller cells or look at the picture", cellMM)
	}
	g.crop()
	g.obstruct()
	return g, nil
}

// At tells whether the point lies in a body pixel; x to the right and y up from the middle of the
// picture, mm.
func (p Picture) At(x, y float64) bool {
	column := x/p.MMPerPixel + float64(p.Columns)/2
	row := float64(p.Rows)/2 - y/p.MMPerPixel
	if column < 0 || row < 0 || column >= float64(p.Columns) || row >= float64(p.Rows) {
		return false
	}
	return p.Body[int(row)*p.Columns+int(column)]
}

// crop cuts away empty margins of the outline.
func (g *Grid) crop() {
	nx, ny, _ := g.Layer()
	x0, y0, x1, y1 := nx, ny, -1, -1
	for u, s := range g.outline {
		if s == Inside {
			x0, x1 = min(x0, u%nx), max(x1, u%nx)
			y0, y1 = min(y0, u/nx), max(y1, u/nx)
		}
	}
	cut := make([]State, 0, (x1-x0+1)*(y1-y0+1))
	for j := y0; j <= y1; j++ {
		cut = append(cut, g.outline[j*nx+x0:j*nx+x1+1]...)
	}
	g.outline = cut
	g.N[0] = x1 - x0 + 1
	g.Origin[0] += float64(x0) * g.CellMM
	if g.Flat == VerticalSection { // the lowest row stands on z = 0 again
		g.N[2] = y1 - y0 + 1
		return
	}
	g.N[1] = y1 - y0 + 1
	g.Origin[1] += float64(y0) * g.CellMM
}
