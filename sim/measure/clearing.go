package measure

import (
	"math"
	"sort"

	"onegrain/sim"
)

// clearing is the body from above with its clear columns, in cells: the centre of column (0, 0) is the origin.
type clearing struct {
	nx, ny       int
	clear        []bool    // x fastest
	away         []int32   // per column: steps to the nearest clear one, sideways or across; 0 in a clear one
	block        [][]int32 // per row from −1 to ny: blocked columns beside a clear one, ascending
	axisX, axisY float64   // where the axis of the body is
	outer, inner float64   // radii of a round body, 0 = none
}

// newClearing finds what stands in the way. Every column that is not clear does; off a round body it is the true rim, for
// other bodies the cells outside.
func newClearing(on *sim.Case, clear []bool, inBody func(u int) bool) *clearing {
	g := on.Grid
	c := &clearing{nx: g.N[0], ny: g.N[1], clear: clear, block: make([][]int32, g.N[1]+2)}
	c.away = stepsTo(clear, c.nx)
	c.axisX, c.axisY = -g.Origin[0]/g.CellMM, -g.Origin[1]/g.CellMM
	c.outer, c.inner = g.Rim()
	c.outer, c.inner = c.outer/g.CellMM, c.inner/g.CellMM
	for j := -1; j <= c.ny; j++ {
		for i := -1; i <= c.nx; i++ {
			if c.isClear(i, j) || !c.besideClear(i, j) {
				continue
			}
			if c.outer > 0 && !(c.on(i, j) && inBody(j*c.nx+i)) {
				continue
			}
			c.block[j+1] = append(c.block[j+1], int32(i))
		}
	}
	return c
}

// stepsTo counts king's moves to the nearest marked cell; two sweeps are exact for them.
func stepsTo(marked []bool, nx int) []int32 {
	d := make([]int32, len(marked))
	relax := func(u, step int) {
		x, y := u%nx, u/nx
		d[u] = math.MaxInt32 / 2
		if marked[u] {
			d[u] = 0
		}
		for _, v := range [4][2]int{{x + step, y}, {x - 1, y + step}, {x, y + step}, {x + 1, y + step}} {
			if v[0] >= 0 && v[0] < nx && v[1] >= 0 && v[1] < len(marked)/nx {
				d[u] = min(d[u], d[v[1]*nx+v[0]]+1)
			}
		}
	}
	for u := range d {
		relax(u, -1)
	}
	first := append([]int32(nil), d...)
	for u := len(d) - 1; u >= 0; u-- {
		relax(u, 1)
		d[u] = min(d[u], first[u])
	}
	return d
}

// empty tells whether nothing is clear.
func (c *clearing) empty() bool { return len(c.away) == 0 || c.away[0] >= math.MaxInt32/2 }

func (c *clearing) on(i, j int) bool      { return i >= 0 && j >= 0 && i < c.nx && j < c.ny }
func (c *clearing) isClear(i, j int) bool { return c.on(i, j) && c.clear[j*c.nx+i] }

// besideClear tells whether one of the eight columns around is clear.
func (c *clearing) besideClear(i, j int) bool {
	for y := j - 1; y <= j+1; y++ {
		for x := i - 1; x <= i+1; x++ {
			if c.isClear(x, y) {
				return true
			}
		}
	}
	return false
}

// reach is the half width of the largest shape about (x, y) that meets nothing blocked. Where there is none it is 0, or
// below 0 by how far (in the shape's norm, at least) the next place with one is away.
func (c *clearing) reach(s shape, x, y float64) float64 {
	best := math.Inf(1)
	if c.outer > 0 {
		best = s.within(x-c.axisX, y-c.axisY, c.outer)
		if c.inner > 0 {
			best = math.Min(best, s.outside(x-c.axisX, y-c.axisY, c.inner))
		}
	}
	i, j := int(math.Round(x)), int(math.Round(y))
	if best <= 0 || !c.isClear(i, j) && !(c.outer > 0 && c.besideClear(i, j)) {
		return math.Min(0, -float64(c.farFromClear(i, j))*s.diagonal())
	}
	for d := 0; (float64(d)-1)/s.stretch() < best && d < len(c.block); d++ {
		best = c.row(s, x, y, j+d, best)
		best = c.row(s, x, y, j-d, best)
	}
	return best
}

// farFromClear is a number of cells that lie, along x or y, between a place in column (i, j) and every centre that has a
// reach; such centres lie in clear columns or, under the rim, in the next ones.
func (c *clearing) farFromClear(i, j int) int {
	if !c.on(i, j) {
		return 0
	}
	return max(0, int(c.away[j*c.nx+i])-2)
}

// row looks at the blocked columns of row j, from x outwards until none can matter.
func (c *clearing) row(s shape, x, y float64, j int, best float64) float64 {
	if j < -1 || j > c.ny {
		return best
	}
	row, dy := c.block[j+1], float64(j)-y
	right := sort.Search(len(row), func(n int) bool { return float64(row[n]) >= x })
	for n := right; n < len(row) && float64(row[n])-x-0.5 < best*s.stretch(); n++ {
		best = math.Min(best, s.cell(float64(row[n])-x, dy))
	}
	for n := right - 1; n >= 0 && x-float64(row[n])-0.5 < best*s.stretch(); n-- {
		best = math.Min(best, s.cell(float64(row[n])-x, dy))
	}
	return best
}

// longestRun is where the most clear columns in a row along x begin, and how many they are.
func (c *clearing) longestRun() (first, long int) {
	for j := range c.ny {
		run := 0
		for i := range c.nx {
			if run++; !c.clear[j*c.nx+i] {
				run = 0
			}
			if run > long {
				first, long = i+1-run, run
			}
		}
	}
	return first, long
}
