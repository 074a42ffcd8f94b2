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
			around(u, nx, ny, corners, func(v int) {
				if label[v] < 0 && belongs(v) {
					label[v] = n
					open = append(open, v)
				}
			})
		}
		n++
	}
	return label, n
}

// around visits the neighbours of cell u in a layer of nx·ny cells.
func around(u, nx, ny int, corners bool, visit func(v int)) {
	x, y := u%nx, u/nx
	for dy := -1; dy <= 1; dy++ {
		for dx := -1; dx <= 1; dx++ {
			if !corners && dx != 0 && dy != 0 {
				continue
			}
			if i, j := x+dx, y+dy; (dx != 0 || dy != 0) && i >= 0 && j >= 0 && i < nx && j < ny {
				visit(j*nx + i)
			}
		}
	}
}
