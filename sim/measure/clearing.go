package measure

import (
	"math"
	"sort"

	"onegrain/sim/body"
)

// clearing is the body from above with its clear columns, in cells: the centre of column (0, 0) is
// the origin.
type clearing struct {
	nx, ny       int
	clear        []bool
	inBody       func(u int) bool
	away         []int32 // per column: steps to the nearest clear one, sideways or across; 0 in a clear one
	block        squares // columns of the body that are not clear, but for those that have only such around them
	rim          body.Rim
	cellMM       float64
	axisX, axisY float64 // where the axis of the body is
}

// newClearing finds what stands in the way: every column of the body that is not clear, and the
// rim.
func newClearing(g *body.Grid, clear []bool, inBody func(u int) bool) *clearing {
	c := &clearing{nx: g.N[0], ny: g.N[1], clear: clear, inBody: inBody, rim: g.Rim(), cellMM: g.CellMM}
	c.block = make(squares, g.N[1]+2)
	c.away = stepsTo(clear, c.nx)
	c.axisX, c.axisY = -g.Origin[0]/g.CellMM, -g.Origin[1]/g.CellMM
	for j := range c.ny {
		for i := range c.nx {
			if c.isBlocked(i, j) && c.beside(i, j, func(x, y int) bool { return !c.isBlocked(x, y) }) {
				c.block[j+1] = append(c.block[j+1], int32(i))
			}
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
func (c *clearing) isBlocked(i, j int) bool {
	return c.on(i, j) && !c.clear[j*c.nx+i] && c.inBody(j*c.nx+i)
}

// beside tells whether one of the eight columns around is of a kind.
func (c *clearing) beside(i, j int, kind func(x, y int) bool) bool {
	for y := j - 1; y <= j+1; y++ {
		for x := i - 1; x <= i+1; x++ {
			if (x != i || y != j) && kind(x, y) {
				return true
			}
		}
	}
	return false
}

// reach is the half width of the largest shape about (x, y) that meets nothing blocked. Where there
// is none it is 0, or below 0 by how far (in the shape's norm, at least) the next place with one is
// away.
func (c *clearing) reach(s shape, x, y float64) float64 {
	best := c.within(s, x, y)
	i, j := int(math.Round(x)), int(math.Round(y))
	if best <= 0 || !c.isClear(i, j) && !c.beside(i, j, c.isClear) {
		return math.Min(0, -float64(c.farFromClear(i, j))*s.diagonal())
	}
	return c.block.reach(s, x, y, best)
}

// within is the half width of the largest shape about (x, y) that stays within the rim; 0 or less
// outside.
func (c *clearing) within(s shape, x, y float64) float64 {
	x, y = x-c.axisX, y-c.axisY
	r := &c.rim
	if p := r.Picture; p != nil {
		if !p.At(x*c.cellMM, y*c.cellMM) {
			return 0
		}
		pixel := p.MMPerPixel / c.cellMM
		return pixel * squares(r.Edge).reach(s, x/pixel+float64(p.Columns-1)/2, y/pixel+float64(p.Rows-1)/2, math.Inf(1))
	}
	if r.OuterMM == 0 {
		return math.Min(r.HalfMM[0]/c.cellMM-math.Abs(x), r.HalfMM[1]/c.cellMM-math.Abs(y)) / s.stretch()
	}
	best := s.within(x, y, r.OuterMM/c.cellMM)
	if r.InnerMM > 0 {
		best = math.Min(best, s.outside(x, y, r.InnerMM/c.cellMM))
	}
	return best
}

// farFromClear is a number of cells that lie, along x or y, between a place in column (i, j) and
// every centre that has a reach; such centres lie in clear columns or, under the rim, in the next
// ones.
func (c *clearing) farFromClear(i, j int) int {
	if !c.on(i, j) {
		return 0
	}
	return max(0, int(c.away[j*c.nx+i])-2)
}

// squares are squares of edge 1: row j+1 holds, ascending, the places along x of those whose
// centres lie at y = j.
type squares [][]int32

// reach is the half width of the largest shape about (x, y) that meets none of them, at most
// `best`.
func (q squares) reach(s shape, x, y, best float64) float64 {
	j := int(math.Round(y))
	for d := 0; (float64(d)-1)/s.stretch() < best && d < len(q); d++ {
		best = q.row(s, x, y, j+d, best)
		best = q.row(s, x, y, j-d, best)
	}
	return best
}

// row looks at row j, from x outwards until none can matter.
func (q squares) row(s shape, x, y float64, j int, best float64) float64 {
	if j < -1 || j+1 >= len(q) {
		return best
	}
	row, dy := q[j+1], float64(j)-y
	right := sort.Search(len(row), func(n int) bool { return float64(row[n]) >= x })
	for n := right; n < len(row) && float64(row[n])-x-0.5 < best*s.stretch(); n++ {
		best = math.Min(best, s.cell(float64(row[n])-x, dy))
	}
	for n := right - 1; n >= 0 && x-float64(row[n])-0.5 < best*s.stretch(); n-- {
		best = math.Min(best, s.cell(float64(row[n])-x, dy))
	}
	return best
}

// longestRun is, in a vertical section, the middle and half the length of the longest way along x
// that holds a clear column and nothing blocked.
func (c *clearing) longestRun() (x, half float64) {
	until := make([]float64, c.nx+1) // where the next blocked column begins
	until[c.nx] = math.Inf(1)
	for i := c.nx - 1; i >= 0; i-- {
		if until[i] = until[i+1]; c.isBlocked(i, 0) {
			until[i] = float64(i) - 0.5
		}
	}
	from := math.Inf(-1)
	for i := range c.nx {
		if c.isClear(i, 0) {
			low, high := c.rim.Across((float64(i) - c.axisX) * c.cellMM)
			low, high = math.Max(low/c.cellMM+c.axisX, from), math.Min(high/c.cellMM+c.axisX, until[i])
			if high-low > 2*half {
				x, half = (low+high)/2, (high-low)/2
			}
		} else if c.isBlocked(i, 0) {
			from = float64(i) + 0.5
		}
	}
	return x, half
}
