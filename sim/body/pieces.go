package body

import "math"

// Pieces numbers the parts of the outline that hang together, corners included, as growth goes
// round corners. piece has one value per cell of the outline, x fastest (see Layer): the number of
// its piece from 0, or -1 outside the body. A body may have several pieces; one without a seed
// stays liquid unless a nucleus appears in it.
func (g *Grid) Pieces() (piece []int, n int) {
	nx, ny, _ := g.Layer()
	return flood(nx, ny, true, func(u int) bool { return g.outline[u] == Inside })
}

// Nearest is the cell whose centre is nearest to a point in mm. It may lie off the grid or outside
// the body.
func (g *Grid) Nearest(atMM [3]float64) (cell [3]int) {
	for a, x := range atMM {
		if a != g.Flat {
			cell[a] = int(math.Round(math.Max(-mostCells, math.Min(mostCells, (x-g.Origin[a])/g.CellMM))))
		}
	}
	return cell
}

// flood numbers the connected parts of the cells that belong, in the order of their first cells.
func flood(nx, ny int, corners bool, belongs func(u int) bool) (label []int, n int) {
	label = make([]int, nx*ny)
	for u := range label {
		label[u] = -1
	}
	var open []int
	for start := range label {
		if label[start] >= 0 || !belongs(start) {
			continue
		}
		label[start] = n
		open = append(open[:0], start)
		for len(open) > 0 {
			u := open[len(open)-1]
			open = open[:len(open)-1]
			for k := range 9 {
				dx, dy := k%3-1, k/3-1
				x, y := u%nx+dx, u/nx+dy
				if x < 0 || y < 0 || x >= nx || y >= ny || !corners && dx != 0 && dy != 0 {
					continue
				}
				if v := y*nx + x; label[v] < 0 && belongs(v) {
					label[v] = n
					open = append(open, v)
				}
			}
		}
		n++
	}
	return label, n
}
