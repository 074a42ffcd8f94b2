package magnet

import "math"

// What a place of the lattice is.
const (
	nothing uint8 = iota
	metal         // centre of a cell that belongs to a grain
	void          // centre of a cell without current: a way through it costs nothing
	seam          // middle of the edge between two cells that do not pass all current
)

// lattice holds the places between which ways are sought, half a cell apart: cell centres at even,
// even; edges of cells at odd, even and even, odd. One ring of cells is added around the map. Costs
// are in half cells.
//
// From a cell the way goes on straight from where the last straight part began (its source), so
// distances are those of straight lines, not of steps along the lattice. Every way that is found
// exists, so a cost is never too low; with sources handed from neighbour to neighbour a cheaper one
// is missed by less than a tenth of a cell, and seldom (stream_test.go).
type lattice struct {
	ways // half cells; they come from where their last straight part began
	on   *Map
	w, h int
	kind []uint8
	pass []float32 // share of a seam
	hole float64   // cost of the hole of a round body with a true inner radius
}

// stream is, for every cell, the largest current stream function over the critical current density,
// in mm. It is 0 outside, one value in each hole and void.
func (m *Map) stream() ([]float64, error) {
	l, err := newLattice(m)
	if err != nil {
		return nil, err
	}
	if m.OuterMM > 0 {
		l.startAtRim()
	} else {
		l.reach(0, 0, 0)
	}
	for u, ok := l.next(); ok; u, ok = l.next() {
		l.leave(u)
	}
	return l.read(), nil
}

func newLattice(m *Map) (*lattice, error) {
	l := &lattice{on: m, w: 2*(m.NX+2) - 1, h: 2*(m.NY+2) - 1, hole: math.Inf(1)}
	n := l.w * l.h
	l.ways, l.kind, l.pass = newWays(n, 1e-9), make([]uint8, n), make([]float32, n)
	s := newShares(m)
	for y := range l.h {
		for x := range l.w {
			dx, dy, u := x%2, y%2, y*l.w+x
			a, b := l.grain(x-dx, y-dy), l.grain(x+dx, y+dy)
			switch {
			case dx+dy == 2 || m.OuterMM > 0 && (a == Outside || b == Outside):
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
	}
	return l, s.err
}

// grain is the grain of the cell at an even, even place; Outside off the map.
func (l *lattice) grain(x, y int) int32 { return l.on.grain(x/2-1, y/2-1) }

// radius is the distance of a place from the axis in half cells.
func (l *lattice) radius(x, y int) float64 {
	m := l.on
	return math.Hypot(float64(x)-2+2*m.OriginMM[0]/m.CellMM, float64(y)-2+2*m.OriginMM[1]/m.CellMM)
}

// startAtRim gives every place its distance to the true outline. Seams and voids that end at it are
// at no distance.
func (l *lattice) startAtRim() {
	half := l.on.CellMM / 2
	outer := l.on.OuterMM / half
	if l.on.InnerMM > 0 {
		l.hole = outer - l.on.InnerMM/half
	}
	for u, kind := range l.kind {
		x, y := u%l.w, u/l.w
		cost := max(0, outer-l.radius(x, y))
		switch {
		case kind == metal: // needs no turn in the queue: its neighbours have their own distance
			l.cost[u], l.from[u] = cost, int32(u)
		case kind != nothing && l.touches(x, y, false):
			l.reach(u, 0, u)
		case kind != nothing:
			l.reach(u, cost, u)
		}
	}
}

// touches tells whether a place lies at the hole or at the outer rim of a round body.
func (l *lattice) touches(x, y int, hole bool) bool {
	for dy := -2; dy <= 2; dy++ {
		for dx := -2; dx <= 2; dx++ {
			p, q := x+dx, y+dy
			if p%2 == 0 && q%2 == 0 && l.grain(p, q) == Outside && l.inHole(p, q) == hole {
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

// leave goes from a place to those up to a cell away: straight on through metal, from a seam into
// metal or on along it (seams that meet at a corner of cells are one line), for nothing through
// voids.
func (l *lattice) leave(u int) {
	x, y, here, cost := u%l.w, u/l.w, l.kind[u], l.cost[u]
	p := u
	if here == metal {
		p = int(l.from[u])
	}
	px, py := p%l.w, p/l.w
	base := cost - math.Sqrt(float64((x-px)*(x-px)+(y-py)*(y-py)))
	for dy := max(-2, -y); dy <= min(2, l.h-1-y); dy++ {
		for dx := max(-2, -x); dx <= min(2, l.w-1-x); dx++ {
			v := u + dy*l.w + dx
			far := dx*dx + dy*dy
			switch there := l.kind[v]; {
			case there == nothing:
			case here == metal || here == seam && there == metal:
				if there != void {
					ex, ey := x+dx-px, y+dy-py
					l.reach(v, base+math.Sqrt(float64(ex*ex+ey*ey)), p)
				}
			case here == seam && there == seam:
				if far < 4 || dx == 0 && far == 4 && x%2 == 1 || dy == 0 && far == 4 && y%2 == 1 {
					l.reach(v, cost+math.Sqrt(float64(far))*float64(l.pass[u]+l.pass[v])/2, v)
				}
			case far == 1 && here != there, far == 4 && here == void && there == void:
				l.reach(v, cost, v)
			}
		}
	}
	if here == metal {
		cost = base + max(0, l.radius(px, py)-2*l.on.InnerMM/l.on.CellMM)
	}
	l.toHole(x, y, cost)
}

// toHole goes through the hole of a round body from a place at its rim: from there every place is
// as far as its true distance to the hole.
func (l *lattice) toHole(x, y int, cost float64) {
	if l.on.InnerMM == 0 || !(cost < l.hole-1e-9) || !l.touches(x, y, true) {
		return
	}
	l.hole = cost
	inner := 2 * l.on.InnerMM / l.on.CellMM
	for u, kind := range l.kind {
		if kind != nothing {
			l.reach(u, cost+max(0, l.radius(u%l.w, u/l.w)-inner), u)
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
