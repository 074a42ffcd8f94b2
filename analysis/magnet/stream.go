package magnet

import "math"

// What a place of the lattice is.
const (
	nothing uint8 = iota
	metal         // centre of a cell that belongs to a grain
	void          // centre of a cell without current: a way through it costs nothing
	seam          // middle of the edge between two cells that do not pass all current
)

// lattice holds the places between which ways are sought, half a cell apart: cell centres at even, even; edges of cells at
// odd, even and even, odd. One ring of cells is added around the map. Costs are in half cells.
//
// From a cell the way goes on straight from where the last straight part began (its source), so distances are those of
// straight lines, not of steps along the lattice. Every way that is found exists, so a cost is never too low; with sources handed
// from neighbour to neighbour a cheaper one is missed by less than a tenth of a cell, and seldom (stream_test.go).
type lattice struct {
	on     *Map
	w, h   int
	kind   []uint8
	pass   []float32 // share of a seam
	cost   []float64
	source []int32 // where the last straight part of the way began
	queue  queue
	hole   float64 // cost of the hole of a round body with a true inner radius
}

// stream is, for every cell, the largest current stream function over the critical current density, in mm. It is 0 outside,
// one value in each hole and void.
func (m *Map) stream() ([]float64, error) {
	l := newLattice(m)
	s := newShares(m)
	for y := range l.h {
		for x := range l.w {
			l.place(x, y, s)
		}
	}
	if s.err != nil {
		return nil, s.err
	}
	if m.OuterMM > 0 {
		l.startAtRim()
	} else {
		l.reach(0, 0, 0)
	}
	l.run()
	return l.read(), nil
}

func newLattice(m *Map) *lattice {
	l := &lattice{on: m, w: 2*(m.NX+2) - 1, h: 2*(m.NY+2) - 1, hole: math.Inf(1)}
	n := l.w * l.h
	l.kind, l.pass, l.cost, l.source = make([]uint8, n), make([]float32, n), make([]float64, n), make([]int32, n)
	for u := range l.cost {
		l.cost[u] = math.Inf(1)
	}
	return l
}

// grain is the grain of the cell at an even, even place; Outside off the map.
func (l *lattice) grain(x, y int) int32 {
	i, j := x/2-1, y/2-1
	if i < 0 || j < 0 || i >= l.on.NX || j >= l.on.NY {
		return Outside
	}
	return l.on.Grain[j*l.on.NX+i]
}

func (l *lattice) place(x, y int, s *shares) {
	u := y*l.w + x
	if x%2 == 1 && y%2 == 1 {
		return
	}
	dx, dy := x%2, y%2
	a, b := l.grain(x-dx, y-dy), l.grain(x+dx, y+dy)
	switch round := l.on.OuterMM > 0; {
	case round && (a == Outside || b == Outside):
	case dx+dy == 0 && a >= 0:
		l.kind[u] = metal
	case dx+dy == 0:
		l.kind[u] = void
	case a >= 0 || b >= 0:
		if p := s.of(a, b); p < 1 {
			l.kind[u], l.pass[u] = seam, float32(p)
		}
	}
}

// radius is the distance of a place from the axis in half cells.
func (l *lattice) radius(x, y int) float64 {
	m := l.on
	return radius(float64(x)-2+2*m.OriginMM[0]/m.CellMM, float64(y)-2+2*m.OriginMM[1]/m.CellMM)
}

// startAtRim gives every place its distance to the true outline. Seams and voids that end at it are at no distance.
func (l *lattice) startAtRim() {
	half := l.on.CellMM / 2
	outer := l.on.OuterMM / half
	if l.on.InnerMM > 0 {
		l.hole = outer - l.on.InnerMM/half
	}
	for y := range l.h {
		for x := range l.w {
			u := y*l.w + x
			switch l.kind[u] {
			case metal: // needs no turn in the queue: its neighbours have their own distance
				l.cost[u], l.source[u] = max(0, outer-l.radius(x, y)), int32(u)
			case void, seam:
				cost := max(0, outer-l.radius(x, y))
				if l.touches(x, y, false) {
					cost = 0
				}
				l.reach(u, cost, u)
			}
		}
	}
}

// touches tells whether a place lies at the hole or at the outer rim of a round body.
func (l *lattice) touches(x, y int, hole bool) bool {
	for dy := -2; dy <= 2; dy++ {
		for dx := -2; dx <= 2; dx++ {
			if (x+dx)%2 != 0 || (y+dy)%2 != 0 || l.grain(x+dx, y+dy) != Outside {
				continue
			}
			if l.inHole(x+dx, y+dy) == hole {
				return true
			}
		}
	}
	return false
}

// inHole tells whether a place outside a round body lies in its hole.
func (l *lattice) inHole(x, y int) bool {
	return l.on.InnerMM > 0 && l.radius(x, y)*l.on.CellMM < l.on.OuterMM+l.on.InnerMM
}

// reach notes a way to place u if it is cheaper than what is known.
func (l *lattice) reach(u int, cost float64, source int) {
	if cost < l.cost[u]-1e-9 {
		l.cost[u], l.source[u] = cost, int32(source)
		l.queue.push(cost, int32(u))
	}
}

func (l *lattice) run() {
	for {
		next, ok := l.queue.pop()
		if !ok {
			return
		}
		u := int(next.at)
		if next.cost > l.cost[u] {
			continue // out of date
		}
		x, y := u%l.w, u/l.w
		switch l.kind[u] {
		case metal:
			l.fromMetal(x, y)
		case seam:
			l.source[u] = next.at
			l.fromSeam(x, y)
		case void:
			l.fromVoid(x, y)
		}
	}
}

// around calls f for the places up to a cell away.
func (l *lattice) around(x, y int, f func(v, dx, dy int)) {
	for dy := max(-2, -y); dy <= min(2, l.h-1-y); dy++ {
		for dx := max(-2, -x); dx <= min(2, l.w-1-x); dx++ {
			if v := (y+dy)*l.w + x + dx; l.kind[v] != nothing {
				f(v, dx, dy)
			}
		}
	}
}

func (l *lattice) fromMetal(x, y int) {
	u := y*l.w + x
	p := int(l.source[u])
	px, py := p%l.w, p/l.w
	base := l.cost[u] - math.Sqrt(float64((x-px)*(x-px)+(y-py)*(y-py)))
	l.around(x, y, func(v, dx, dy int) {
		if l.kind[v] != void {
			ex, ey := x+dx-px, y+dy-py
			l.reach(v, base+math.Sqrt(float64(ex*ex+ey*ey)), p)
		}
	})
	l.toHole(x, y, base+max(0, l.radius(px, py)-2*l.on.InnerMM/l.on.CellMM))
}

// fromSeam leaves a seam into the cells around, or goes on along it: seams that meet at a corner of cells are one line.
func (l *lattice) fromSeam(x, y int) {
	u := y*l.w + x
	cost := l.cost[u]
	l.around(x, y, func(v, dx, dy int) {
		far := math.Sqrt(float64(dx*dx + dy*dy))
		switch l.kind[v] {
		case metal:
			l.reach(v, cost+far, u)
		case void:
			if far == 1 {
				l.reach(v, cost, v)
			}
		case seam:
			if far < 2 || far == 2 && (dx == 0 && x%2 == 1 || dy == 0 && y%2 == 1) {
				l.reach(v, cost+far*float64(l.pass[u]+l.pass[v])/2, v)
			}
		}
	})
	l.toHole(x, y, cost)
}

func (l *lattice) fromVoid(x, y int) {
	cost := l.cost[y*l.w+x]
	l.around(x, y, func(v, dx, dy int) {
		near := dx*dx+dy*dy == 1
		if near && l.kind[v] == seam || dx*dy == 0 && !near && l.kind[v] == void {
			l.reach(v, cost, v)
		}
	})
	l.toHole(x, y, cost)
}

// toHole goes through the hole of a round body from a place at its rim: from there every place is as far as its true distance
// to the hole.
func (l *lattice) toHole(x, y int, cost float64) {
	if l.on.InnerMM == 0 || !(cost < l.hole-1e-9) || !l.touches(x, y, true) {
		return
	}
	l.hole = cost
	inner := 2 * l.on.InnerMM / l.on.CellMM
	for y := range l.h {
		for x := range l.w {
			if u := y*l.w + x; l.kind[u] != nothing {
				l.reach(u, cost+max(0, l.radius(x, y)-inner), u)
			}
		}
	}
}

// read gives the costs of the cells of the map in mm.
func (l *lattice) read() []float64 {
	m := l.on
	g := make([]float64, m.NX*m.NY)
	for j := range m.NY {
		for i := range m.NX {
			x, y := 2*(i+1), 2*(j+1)
			switch u := y*l.w + x; {
			case l.kind[u] != nothing:
				g[j*m.NX+i] = l.cost[u] * m.CellMM / 2
			case l.inHole(x, y):
				g[j*m.NX+i] = l.hole * m.CellMM / 2
			}
		}
	}
	return g
}
