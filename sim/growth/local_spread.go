package growth

import (
	"math"
	"math/bits"
)

// spreadLocal claims the liquid neighbours of v; where some are overdue, the record's faces are
// pulled in first.
func (s *local) spreadLocal(v uint32, at [3]int, p *form) {
	own := s.grains[p.grain].box
	turned := &s.turned[p.grain]
	n, late := 0, false
	x0, y0, z0 := s.corner(v >> 6)
	near := s.near[v&63]
	for i := range near {
		g := &near[i]
		nb := uint32(int32(v>>6) + g.block)
		b := &s.blocks[nb]
		m, holes := g.mask&b.in&^b.of(own), uint64(0)
		if s.hole != nil {
			holes = g.mask & s.hole[nb]
		}
		if m|holes == 0 {
			continue
		}
		known := b.knows(own)
		x1, y1, z1 := x0+int(g.step[0])<<s.shift[0], y0+int(g.step[1])<<s.shift[1], z0+int(g.step[2])<<s.shift[2]
		for m |= holes; m != 0; m &= m - 1 {
			c := uint32(bits.TrailingZeros64(m))
			i, j, k := s.place(c)
			i, j, k = i+x1, j+y1, k+z1
			q := &s.scratch[n&31]
			q.cell, q.foreign, q.side = nb<<6|c, (holes|b.solid)>>c&1 != 0, uint32(i-at[0]+3*(j-at[1])+9*(k-at[2])+13)
			q.y = turned[q.side]
			if q.foreign && holes>>c&1 == 0 && !known && int32(s.cells[q.cell].owner>>3) == p.grain {
				continue
			}
			q.needA, q.needC = p.needs(&q.y)
			if q.overdue = s.overdue(p, q); q.overdue {
				late = true
			} else if q.foreign {
				continue
			}
			if !q.foreign {
				q.offset = s.offset(i, j, k)
			}
			n++
		}
	}
	if late {
		s.pullIn(p, s.scratch[:n])
	}
	w := s.watch(p)
	for i := range s.scratch[:n] {
		if q := &s.scratch[i]; !q.foreign {
			if late {
				q.needA, q.needC = p.needs(&q.y)
			}
			s.claimLocal(&w, p, q)
		}
	}
}

// overdue tells whether a neighbour lies inside the form though it is not the grain's; late liquid
// counts once the form is thick enough for the mesh.
func (s *local) overdue(p *form, q *candidate) bool {
	if q.needA >= -slack || q.needC >= -slack {
		return false
	}
	if q.foreign {
		return true
	}
	if p.hours <= s.grains[p.grain].key+1e-9 {
		return false
	}
	deep := 2*thick - 2*larger(q.needA, q.needC)
	return p.faces[0]+p.faces[1] > deep && p.faces[2]+p.faces[3] > deep && p.faces[4]+p.faces[5] > deep
}

// needs are how far the a and the c faces have still to go to a point.
func (p *form) needs(y *[3]float64) (a, c float64) {
	a = larger(larger(y[0]-p.faces[0], -y[0]-p.faces[1]), larger(y[1]-p.faces[2], -y[1]-p.faces[3]))
	return a, larger(y[2]-p.faces[4], -y[2]-p.faces[5])
}

func (s *local) pullIn(p *form, list []candidate) {
	p.cut = true
	for i := range list {
		q := &list[i]
		if !q.overdue {
			continue
		}
		share := 0.0
		if q.foreign {
			share = 0.5
		}
		for a, d := range q.y {
			f := 2 * a
			if d < 0 {
				f, d = f+1, -d
			}
			if d >= sideways {
				p.faces[f] = math.Min(p.faces[f], share*d)
			}
		}
	}
	for f := range p.faces {
		if !math.IsInf(p.faces[f], 1) {
			p.faces[f] = math.Min(p.faces[f], window)
		}
	}
}
