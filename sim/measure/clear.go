package measure

import "math"

// clearPiece is what can be cut out of the largest domain: diameter (mm) of the largest disc, side
// (mm) of the largest square along a and b of the domain's largest grain, and volume (mm³) of all
// its clear columns.
//
// Convention: disc and square hold no part of a column that is not clear, and stay within the true
// outline of the body, wherever its cells end. So a body that is clear everywhere gives its own
// size, short by 0 … 0.04 cell of the search. A contaminated edge is a staircase of cells. Where it
// runs along the cells the size is that of the cells, which is the true one to half a cell at each
// edge; where it slants or bends, corners stand out by up to 0.7 cell, so the size comes out short
// by 0 … 1.4 cells. In a vertical section columns stand side by side along x, and both sizes are
// the longest clear run.
func (s *Survey) clearPiece() (diameter, square, volume float64) {
	if s.largest < 0 {
		return 0, 0, 0
	}
	g, c := s.on.Grid, s.clearing()
	cells := 0
	for u, ok := range c.clear {
		if ok {
			cells += int(s.columns.cells[u])
		}
	}
	_, diameter = s.disc(c)
	if square = diameter; g.Flat != 1 {
		_, _, half := c.widest(s.alongGrain())
		square = 2 * half * g.CellMM
	}
	return diameter, square, float64(cells) * g.CellVolume()
}

// ClearDisc is the disc whose diameter Run tells: x and y of its axis, and the diameter, in mm. Of
// several that are as large it is one; in a vertical section it is the longest clear run along x.
// Where there is none the diameter is 0.
func (s *Survey) ClearDisc() (atMM [2]float64, diameterMM float64) {
	if s.largest < 0 {
		return atMM, 0
	}
	return s.disc(s.clearing())
}

func (s *Survey) disc(c *clearing) (atMM [2]float64, diameterMM float64) {
	g := s.on.Grid
	var x, y, half float64
	if g.Flat == 1 {
		x, half = c.longestRun()
	} else {
		x, y, half = c.widest(roundShape{})
	}
	return [2]float64{g.Origin[0] + float64(x*g.CellMM), g.Origin[1] + float64(y*g.CellMM)}, 2 * half * g.CellMM
}

// clearing is the body with the clear columns of the largest domain.
func (s *Survey) clearing() *clearing {
	return newClearing(s.on.Grid, s.columns.clear(s.domains, s.largest),
		func(u int) bool { return s.columns.cells[u] > 0 })
}

// alongGrain is a square along a and b of the largest domain's largest grain, seen from above:
// along the one of its a and b axes that lies flatter.
func (s *Survey) alongGrain() turnedShape {
	axes := s.grains[s.largestGrain()].Orientation.Axes()
	x, y := axes[0], axes[1]
	if math.Abs(axes[5]) < math.Abs(axes[2]) {
		x, y = axes[3], axes[4]
	}
	long := math.Sqrt(float64(x*x) + float64(y*y))
	return turnedShape{x / long, y / long}
}
