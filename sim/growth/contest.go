package growth

import (
	"math"
	"math/bits"
)

// contest claims the neighbours of v where other grains, cut boxes or holes are near. Neighbours
// that the box already contained and that are not the grain's are overdue: then v goes on with a
// copy of the box, cut on their side.
func (s *front) contest(v uint32, key float32, id uint32) {
	list, late := s.neighbours(v, key, id)
	if late {
		whole := id
		id = s.cut(v, key, whole, list)
		s.release(whole) // v's own claim
	}
	b := s.boxes[id]
	for i := range list {
		c := &list[i]
		if c.foreign {
			continue
		}
		if late {
			c.key, c.sector = s.clock.claim(&b, c.y[0], c.y[1], c.y[2])
		}
		switch {
		case c.key > s.clock.end:
		case c.shift != [3]int8{}:
			s.offerAcross(c, id, key)
		default:
			s.offer(c, id, key)
		}
	}
	s.release(id)
}

// neighbours lists the neighbours of v that are not the grain's, with the keys that box id gives
// them.
func (s *front) neighbours(v uint32, key float32, id uint32) (list []candidate, late bool) {
	bx := &s.boxes[id]
	f := &s.frames[bx.frame]
	x0, y0, z0 := s.corner(v >> 6)
	overdue := float64(key) - slack
	own := bx.own
	n := 0
	for _, g := range s.near[v&63] {
		nb, shift := uint32(int32(v>>6)+g.block), [3]int8{}
		if s.grid.Periodic {
			nb, shift = s.wrap(v>>6, g.step)
		}
		b := &s.blocks[nb]
		m := g.mask & b.in
		switch {
		case bx.root && shift == [3]int8{}:
			m &^= b.of(id)
		case b.proof == own+1:
			m = 0
		default:
			m &^= b.of(own) & b.solid
		}
		holes := uint64(0)
		if s.hole != nil {
			holes = g.mask & s.hole[nb]
		}
		x1, y1, z1 := x0+int(g.step[0])<<s.shift[0], y0+int(g.step[1])<<s.shift[1], z0+int(g.step[2])<<s.shift[2]
		for m |= holes; m != 0; m &= m - 1 {
			c := uint32(bits.TrailingZeros64(m))
			q := &s.scratch[n&31]
			q.cell, q.overdue, q.foreign, q.shift = nb<<6|c, false, holes>>c&1 != 0, shift
			if !q.foreign && !s.open(q, b, bx, id) {
				continue
			}
			i, j, k := s.place(c)
			q.y[0], q.y[1], q.y[2] = f.coordinates(float64(x1+i), float64(y1+j), float64(z1+k))
			q.key, q.sector = s.clock.claim(bx, q.y[0], q.y[1], q.y[2])
			q.overdue = q.key < overdue && (q.foreign || q.key > bx.resolved)
			if q.foreign && !q.overdue {
				continue
			}
			late = late || q.overdue
			n++
		}
	}
	return s.scratch[:n], late
}

// open tells whether box id has anything to gain or to respect at a neighbour, and whether that is
// foreign.
func (s *front) open(q *candidate, b *block, bx *box, id uint32) bool {
	bit := uint64(1) << (q.cell & 63)
	switch {
	case b.proof != 0:
		q.foreign = true
		return true
	case b.claimed&bit == 0:
		return true
	case b.solid&bit != 0:
		q.foreign = true
		return (b.knows(bx.own) && !s.grid.Periodic) || int32(s.cells[q.cell].owner>>3) != bx.grain
	}
	return s.cells[q.cell].owner>>3 != id || q.shift != [3]int8{}
}

// cut copies box id for cell v and pulls its faces in: to v's own centre towards liquid that is
// overdue, half way towards what is foreign, and nowhere further than the window.
func (s *front) cut(v uint32, key float32, id uint32, list []candidate) uint32 {
	n := s.newBox(id)
	b := &s.boxes[n]
	x, y, z := s.coordinates(v)
	var at [3]float64
	at[0], at[1], at[2] = s.frames[b.frame].coordinates(float64(x), float64(y), float64(z))
	grown := s.clock.lengths(float64(key))
	for i := range list {
		if list[i].overdue {
			b.pull(&list[i], at, grown)
		}
	}
	for a := range at {
		b.faces[2*a] = math.Min(b.faces[2*a], at[a]+window-grown[a])
		b.faces[2*a+1] = math.Min(b.faces[2*a+1], -at[a]+window-grown[a])
		if s.flatAxis(b, a) {
			b.faces[2*a], b.faces[2*a+1] = s.boxes[id].faces[2*a], s.boxes[id].faces[2*a+1]
			continue
		}
		need := thick - float64(0.5*(b.faces[2*a]+b.faces[2*a+1]))
		if a == 2 {
			need = s.clock.fromC(need)
		}
		b.resolved = math.Max(b.resolved, need)
	}
	return n
}

// flatAxis tells whether crystal axis a of a box stands across a flat body: its faces never move
// there.
func (s *front) flatAxis(b *box, a int) bool {
	return math.IsInf(s.grains[b.grain].root.Half[a], 1)
}

func (b *box) pull(c *candidate, at, grown [3]float64) {
	share := 0.0
	if c.foreign {
		share = 0.5
	}
	for a := range at {
		d, p, f := c.y[a]-at[a], at[a], 2*a
		if math.Abs(d) < sideways {
			continue
		}
		if d < 0 {
			d, p, f = -d, -p, f+1
		}
		b.faces[f] = math.Min(b.faces[f], p+float64(share*d)-grown[a])
	}
}

func (s *front) newBox(src uint32) uint32 {
	if n := len(s.free); n > 0 {
		id := s.free[n-1]
		s.free = s.free[:n-1]
		s.boxes[id] = s.boxes[src]
		s.boxes[id].claims, s.boxes[id].root = 1, false
		return id
	}
	s.boxes = append(s.boxes, s.boxes[src])
	id := len(s.boxes) - 1
	s.boxes[id].claims, s.boxes[id].root = 1, false
	return uint32(id)
}

// release forgets one claim of a cut box; root boxes stay.
func (s *front) release(id uint32) {
	b := &s.boxes[id]
	if b.root {
		return
	}
	if b.claims--; b.claims == 0 {
		s.free = append(s.free, id)
	}
}

// offer gives a liquid cell to box id unless it has a better claim.
func (s *front) offer(c *candidate, id uint32, now float32) {
	t := max(float32(c.key), now)
	if s.blocks[c.cell>>6].claimed>>(c.cell&63)&1 == 0 || s.wins(t, c, id, &s.cells[c.cell]) {
		s.take(c.cell, t, id, c.sector)
	}
}

// wins decides between a new claim and the one a cell has.
func (s *front) wins(t float32, c *candidate, id uint32, old *cell) bool {
	if d := float64(t) - float64(old.key); math.Abs(d) > tieWindow {
		return d < 0
	}
	bx, other := &s.boxes[id], &s.boxes[old.owner>>3]
	if bx.grain == other.grain {
		return t < old.key || (t == old.key && bx.root != other.root && bx.frame == other.frame &&
			s.room(bx, c, t) < s.room(other, c, t))
	}
	x, y, z := s.coordinates(c.cell)
	if d := s.middle(bx, x, y, z) - s.middle(other, x, y, z); math.Abs(d) > tieWindow {
		return d < 0
	}
	d, e := s.distance(bx, x, y, z), s.distance(other, x, y, z)
	if math.Abs(d-e) > 1e-6 {
		return d < e
	}
	return bx.grain < other.grain
}

// middle is when the second of the faces that a cell needs is there.
func (s *front) middle(b *box, x, y, z int) float64 {
	y0, y1, y2 := s.frames[b.frame].coordinates(float64(x), float64(y), float64(z))
	return s.clock.middle(b, y0, y1, y2)
}

// distance squared from a cell to the origin of a box's grain.
func (s *front) distance(b *box, x, y, z int) float64 {
	a := &s.frames[b.frame]
	u, v, w := a.coordinates(float64(x), float64(y), float64(z))
	return float64(u*u) + float64(v*v) + float64(w*w)
}

// room is how much of the window round a cell a box fills; of two boxes of one grain the smaller
// goes on, or the larger would leak along rows of cells.
func (s *front) room(b *box, c *candidate, t float32) float64 {
	grown := s.clock.lengths(float64(t))
	sum := 0.0
	for a := range grown {
		if !s.flatAxis(b, a) {
			sum += math.Min(window, b.faces[2*a]+grown[a]-c.y[a]) + math.Min(window, b.faces[2*a+1]+grown[a]+c.y[a])
		}
	}
	return sum
}
