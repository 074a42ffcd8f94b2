package nucleation

import (
	"math"

	"onegrain/sim/body"
)

// extent says how much volume or area each cell has for one origin: the weight of every cell of the
// outline (mm³ or mm²; zero where there is none) on the layers first ≤ layer < end.
type extent struct {
	weight     []float64
	first, end int
}

func (x extent) at(index, layer int) float64 {
	if layer < x.first || layer >= x.end {
		return 0
	}
	return x.weight[index]
}

// extentOf weighs the cells for an origin. Melt: the cell's volume. Top and bottom: the face of the
// cells of the last and first layer. Side: see sideWeights. In a vertical section all three are
// lines and count as 1 mm across it whatever its thickness: laws per mm² are taken as they stand. A
// plane seen from above has no top and bottom, and a periodic body no surface at all.
func extentOf(g *body.Grid, o Origin) extent {
	nx, ny, layers := g.Layer()
	x := extent{make([]float64, nx*ny), 0, layers}
	if o == Seed || (g.Periodic && o != Melt) || (g.Flat == 2 && (o == Top || o == Bottom)) {
		return x
	}
	row := -1 // of the outline of a vertical section
	each := float64(g.CellMM * g.CellMM)
	switch {
	case o == Side:
		x.weight = sideWeights(g)
		return x
	case o == Melt:
		each = g.CellVolume()
	case o == Top && g.Flat == 1:
		row, each = ny-1, g.CellMM
	case o == Bottom && g.Flat == 1:
		row, each = 0, g.CellMM
	case o == Top:
		x.first = layers - 1
	case o == Bottom:
		x.end = 1
	}
	for i := range x.weight {
		if inOutline(g, i%nx, i/nx) && (row < 0 || row == i/nx) {
			x.weight[i] = each
		}
	}
	return x
}

// sideWeights gives the lateral area (mm²) of every cell of the outline, one layer of it. In three
// dimensions and in a plane seen from above the outline is measured by marching squares with
// midpoints: every square of four cell centres that the outline crosses adds the chord it cuts (h,
// h/√2 at a corner, √2 h where it crosses twice), shared among its body cells that face an outer
// cell of the square. A straight wall is exact, a right corner 0.29 h short, and a slanted wall
// long by up to 8 % (5.5 % on average over a circle), where counting faces would give 27 % too
// much. In a vertical section walls are counted face by face.
func sideWeights(g *body.Grid) []float64 {
	nx, ny, _ := g.Layer()
	w := make([]float64, nx*ny)
	if g.Flat == 1 {
		for i := range w {
			w[i] = float64(g.CellMM * float64(len(walls(g, i))))
		}
		return w
	}
	unit := g.CellMM // per layer: chord × height of the layer
	if g.Flat < 0 {
		unit = float64(g.CellMM * g.CellMM)
	}
	for b := -1; b < ny; b++ {
		for a := -1; a < nx; a++ {
			shareSquare(g, w, nx, a, b, unit)
		}
	}
	return w
}

// shareSquare adds what the square of cells (a, b) … (a+1, b+1) contributes. Corners go round: each
// has its neighbours before and after.
func shareSquare(g *body.Grid, w []float64, nx, a, b int, unit float64) {
	corner := [4][2]int{{a, b}, {a + 1, b}, {a + 1, b + 1}, {a, b + 1}}
	var in [4]bool
	count := 0
	for c, p := range corner {
		if in[c] = inOutline(g, p[0], p[1]); in[c] {
			count++
		}
	}
	var facing []int
	for c, p := range corner {
		if in[c] && !(in[(c+1)%4] && in[(c+3)%4]) {
			facing = append(facing, p[1]*nx+p[0])
		}
	}
	chord := [5]float64{1: math.Sqrt2 / 2, 2: 1, 3: math.Sqrt2 / 2}[count]
	if count == 2 && in[0] == in[2] {
		chord = math.Sqrt2
	}
	for _, i := range facing {
		w[i] += float64(chord*unit) / float64(len(facing))
	}
}

// walls are the directions (0 +x, 1 −x, 2 and 3 ± the second axis of the outline) in which an
// outline cell has a lateral face: the top and bottom faces of a vertical section are not among
// them.
func walls(g *body.Grid, index int) []int {
	nx, ny, _ := g.Layer()
	a, b := index%nx, index/nx
	if !inOutline(g, a, b) {
		return nil
	}
	var open []int
	for d, step := range [4][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
		na, nb := a+step[0], b+step[1]
		if g.Flat == 1 && (nb < 0 || nb >= ny) {
			continue
		}
		if !inOutline(g, na, nb) {
			open = append(open, d)
		}
	}
	return open
}

// inOutline tells whether cell (a, b) of the outline belongs to the body.
func inOutline(g *body.Grid, a, b int) bool {
	if g.Flat == 1 {
		return g.State(a, 0, b) == body.Inside
	}
	return g.State(a, b, 0) == body.Inside
}
