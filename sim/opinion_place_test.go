package sim_test

import (
	"math"

	"onegrain/sim/body"
)

// room is the body as the second opinion sees it: points that ways may touch, and what ways may not
// cross. An outline of cells is made of closed squares; the bore of a ring is a true circle. What
// is Outside is beyond a convex outline, where no shortest way goes.
type room struct {
	g      *body.Grid
	across [2]int  // axes of the outline
	bore   float64 // mm; 0 = none
	holes  bool
	points [][3]float64
	cells  map[[3]int]int // point at the centre of a cell
	fine   int
	index  map[[3]int32]int // point by its place in the lattice of points
}

// newRoom makes points at the centres of cells, for fine = 2, 4 … also 1/fine cell apart, the
// surface included, and at the bends round which ways may go, on 2·bends levels a cell.
func newRoom(g *body.Grid, fine, bends int) *room {
	r := &room{g: g, across: [2]int{0, 1}, cells: map[[3]int]int{}, fine: fine, index: map[[3]int32]int{}}
	if g.Flat == 1 {
		r.across[1] = 2
	}
	r.bore = g.Rim().InnerMM
	for k := range g.N[2] {
		for j := range g.N[1] {
			for i := range g.N[0] {
				switch g.State(i, j, k) {
				case body.Inside:
					r.lattice([3]int{i, j, k})
				case body.Obstacle:
					r.holes = true
				}
			}
		}
	}
	r.bends(bends)
	return r
}

func (r *room) lattice(cell [3]int) {
	x, y, z := r.g.Centre(cell[0], cell[1], cell[2])
	add := func(d [3]int) {
		if r.g.Flat >= 0 && d[r.g.Flat] != 0 {
			return
		}
		h := r.g.CellMM / float64(r.fine)
		p := [3]float64{x + h*float64(d[0]), y + h*float64(d[1]), z + h*float64(d[2])}
		key := r.key(p)
		if _, there := r.index[key]; there {
			return
		}
		o, far := r.g.Rim().OuterMM, math.Hypot(p[0], p[1])
		if o > 0 && r.g.Flat != 1 && d != [3]int{} && (far > o || far < r.bore) {
			return
		}
		r.index[key] = len(r.points)
		r.points = append(r.points, p)
	}
	add([3]int{})
	r.cells[cell] = r.index[r.key([3]float64{x, y, z})]
	for c := -r.fine / 2; c <= r.fine/2; c++ {
		for b := -r.fine / 2; b <= r.fine/2; b++ {
			for a := -r.fine / 2; a <= r.fine/2; a++ {
				add([3]int{a, b, c})
			}
		}
	}
}

// key is the place of the nearest point in the lattice of points.
func (r *room) key(p [3]float64) (key [3]int32) {
	for a := range key {
		key[a] = int32(math.Round((p[a] - r.g.Origin[a]) / r.g.CellMM * float64(r.fine)))
	}
	return key
}

// bends adds the points where ways turn: corners of obstacles between two cells of the body, or a
// polygon that goes round the bore.
func (r *room) bends(levels int) {
	n := 32 * r.fine
	if r.g.Flat >= 0 {
		n *= 4
	}
	for i := range n {
		if r.bore > 0 {
			sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.25) / float64(n))
			far := r.bore / math.Cos(math.Pi/float64(n)) * (1 + 1e-7)
			r.column(far*cos, far*sin, levels)
		}
	}
	if r.bore > 0 {
		return
	}
	nx, ny, _ := r.g.Layer()
	for j := range ny {
		for i := range nx {
			for side := 0; side < 4 && r.state(i, j) == body.Obstacle; side++ {
				bx, by := side%2*2-1, side/2*2-1
				if r.state(i+bx, j) == body.Inside && r.state(i, j+by) == body.Inside {
					h := r.g.CellMM
					r.column(r.g.Origin[0]+h*(float64(i)+float64(bx)/2), r.g.Origin[r.across[1]]+h*(float64(j)+float64(by)/2), levels)
				}
			}
		}
	}
}

func (r *room) column(x, y float64, levels int) {
	if r.g.Flat >= 0 {
		p := r.g.Origin
		p[0], p[r.across[1]] = x, y
		r.points = append(r.points, p)
		return
	}
	for k := range 2*levels*r.g.N[2] + 1 {
		r.points = append(r.points, [3]float64{x, y, float64(k) / float64(2*levels) * r.g.CellMM})
	}
}

// state is that of a cell of the outline; a slot goes on beyond its mouth, so that no way leads
// round it.
func (r *room) state(i, j int) body.State {
	nx, ny, _ := r.g.Layer()
	i, j = max(0, min(i, nx-1)), max(0, min(j, ny-1))
	if r.g.Flat == 1 {
		return r.g.State(i, 0, j)
	}
	return r.g.State(i, j, 0)
}

// free tells whether a straight way stays clear of the holes. Ways may touch walls and corners; two
// obstacles side by side leave no way between them.
func (r *room) free(p, q [3]float64) bool {
	if !r.holes {
		return true
	}
	x0, y0, x1, y1 := p[0], p[r.across[1]], q[0], q[r.across[1]]
	if r.bore > 0 {
		dx, dy := x1-x0, y1-y0
		s := 0.0
		if l := dx*dx + dy*dy; l > 0 {
			s = math.Min(1, math.Max(0, -(x0*dx+y0*dy)/l))
		}
		return math.Hypot(x0+s*dx, y0+s*dy) >= r.bore*(1-1e-6)
	}
	h := r.g.CellMM
	a, b := [2]float64{(x0 - r.g.Origin[0]) / h, (y0 - r.g.Origin[r.across[1]]) / h}, [2]float64{}
	b[0], b[1] = (x1-r.g.Origin[0])/h, (y1-r.g.Origin[r.across[1]])/h
	return freeIn(a, b, r.state) &&
		freeIn([2]float64{a[1], a[0]}, [2]float64{b[1], b[0]}, func(j, i int) body.State { return r.state(i, j) })
}

// freeIn looks at a way column by column, in units of cells.
func freeIn(a, b [2]float64, state func(i, j int) body.State) bool {
	const touch = 1e-6
	if a[0] > b[0] {
		a, b = b, a
	}
	rows := func(y0, y1 float64) (int, int) {
		return int(math.Ceil(math.Min(y0, y1) - 0.5 + touch)), int(math.Floor(math.Max(y0, y1) + 0.5 - touch))
	}
	if line := math.Floor(a[0]) + 0.5; b[0]-a[0] < touch && math.Abs(a[0]-line) < touch { // along the edge of two columns
		low, high := rows(a[1], b[1])
		for j := low; j <= high; j++ {
			if state(int(line-0.5), j) == body.Obstacle && state(int(line+0.5), j) == body.Obstacle {
				return false
			}
		}
	}
	y := func(x float64) float64 {
		if b[0]-a[0] < 1e-12 {
			return a[1]
		}
		return a[1] + (b[1]-a[1])*(x-a[0])/(b[0]-a[0])
	}
	for i := int(math.Round(a[0])) - 1; i <= int(math.Round(b[0]))+1; i++ {
		left, right := math.Max(a[0], float64(i)-0.5+touch), math.Min(b[0], float64(i)+0.5-touch)
		if left > right {
			continue
		}
		low, high := rows(y(left), y(right))
		if b[0]-a[0] < 1e-12 {
			low, high = rows(a[1], b[1])
		}
		for j := low; j <= high; j++ {
			if state(i, j) == body.Obstacle {
				return false
			}
		}
	}
	return true
}

// entry is a point with an hour, queue the earliest first.
type entry struct {
	hour  float64
	point int
}

type queue []entry

func (q queue) Len() int           { return len(q) }
func (q queue) Less(i, j int) bool { return q[i].hour < q[j].hour }
func (q queue) Swap(i, j int)      { q[i], q[j] = q[j], q[i] }
func (q *queue) Push(e any)        { *q = append(*q, e.(entry)) }
func (q *queue) Pop() any {
	last := (*q)[len(*q)-1]
	*q = (*q)[:len(*q)-1]
	return last
}
