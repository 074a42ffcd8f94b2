package measure

import "math"

// clearPiece is what can be cut out of the largest domain: diameter (mm) of the largest disc, side (mm) of the largest
// square along a and b of the domain's largest grain, and volume (mm³) of all its clear columns.
//
// Convention: disc and square hold no part of a column that is not clear, and stay within the true outline of a round body
// and the cells of any other. A contaminated edge is a staircase of cells. Where it runs along the cells the size is that of the
// cells, which is the true one to half a cell at each edge; where it slants or bends, corners stand out by up to 0.7 cell, so
// the size comes out short by 0 … 1.4 cells. The search itself adds 0 … 0.04 cell of shortness. In a vertical section columns
// stand side by side along x, and both sizes are the longest clear run.
func (s *Survey) clearPiece() (diameter, square, volume float64) {
	if s.largest < 0 {
		return 0, 0, 0
	}
	g := s.on.Grid
	clear := s.columns.clear(s.domains, s.largest)
	cells := 0
	for u, ok := range clear {
		if ok {
			cells += int(s.columns.cells[u])
		}
	}
	volume = float64(cells) * g.CellVolume()
	c := newClearing(s.on, clear, func(u int) bool { return s.columns.cells[u] > 0 })
	if g.Flat == 1 {
		run := float64(c.longestRun()) * g.CellMM
		return run, run, volume
	}
	disc := c.widest(roundShape{})
	turned := c.widest(s.alongGrain())
	return 2 * disc * g.CellMM, 2 * turned * g.CellMM, volume
}

// alongGrain is a square along a and b of the largest domain's largest grain, seen from above: along the one of its a and b
// axes that lies flatter.
func (s *Survey) alongGrain() turnedShape {
	axes := s.grains[s.largestGrain()].Orientation.Axes()
	x, y := axes[0], axes[1]
	if math.Abs(axes[5]) < math.Abs(axes[2]) {
		x, y = axes[3], axes[4]
	}
	long := math.Sqrt(float64(x*x) + float64(y*y))
	return turnedShape{x / long, y / long}
}
