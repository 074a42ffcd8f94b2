package growth

import (
	"math/bits"
)

type cell struct {
	key   float32
	owner uint32 // pending: box·8 + sector; solid: grain·8 + sector
}

type candidate struct {
	cell    uint32
	foreign bool // solid in another grain, or a hole
	overdue bool // should long have been the grain's
	y       [3]float64
	key     float64
	sector  uint32
	needA   float64 // under a gradient: what the faces have still to grow
	needC   float64
	offset  float64 // K
	side    uint32
	shift   [3]int8 // in a periodic body: how many bodies away the neighbour was met
}

// front is the state of a run.
type front struct {
	*lattice
	clock    *clock
	queue    *calendar
	cells    []cell
	blocks   []block // nil where a certificate holds for the whole body
	grains   []grain
	frames   []frame
	boxes    []box
	free     []uint32
	images   map[image]uint32 // root boxes of periodic images
	shifts   [][3]int8        // per frame: bodies away
	scratch  [32]candidate
	captured int // cells captured one by one, a figure for the benchmark
}

func newFront(l *lattice, k *clock, bucket float64) *front {
	return &front{lattice: l, clock: k, queue: newCalendar(bucket)}
}

// settleIn prepares the blocks for what is to be captured.
func (s *front) settleIn() {
	s.blocks = make([]block, s.size())
	for b, in := range s.in {
		s.blocks[b].in = in
	}
}

// arrival is the key and sector that the root box `id` gives a cell.
func (s *front) arrival(u, id uint32) (float32, uint32) {
	x, y, z := s.coordinates(u)
	return s.arrivalAt(u, x, y, z, id)
}

// arrivalAt is arrival for a cell whose coordinates are known.
func (s *front) arrivalAt(u uint32, x, y, z int, id uint32) (float32, uint32) {
	b := &s.boxes[id]
	y0, y1, y2 := s.frames[b.frame].coordinates(float64(x), float64(y), float64(z))
	t, sector := s.clock.claim(b, y0, y1, y2)
	if g := &s.grains[b.grain]; t <= g.key || u == g.home {
		return float32(g.key), sectorSeed
	}
	return float32(t), sector
}

// take gives a liquid cell to a box whatever claim it had.
func (s *front) take(u uint32, key float32, id, sector uint32) {
	b, bit := &s.blocks[u>>6], uint64(1)<<(u&63)
	queued := false
	if b.claimed&bit != 0 {
		old := &s.cells[u]
		s.release(old.owner >> 3)
		b.drop(bit)
		queued = key == old.key
	}
	b.claimed |= bit
	if s.boxes[id].root {
		b.hold(id, bit)
	} else {
		s.boxes[id].claims++
	}
	if s.cells[u] = (cell{key, id<<3 | sector}); !queued {
		s.queue.push(key, u)
	}
}

// capture makes cell v solid and lets it claim its liquid neighbours.
func (s *front) capture(v uint32, key float32) {
	b := &s.blocks[v>>6]
	if b.proof != 0 {
		s.spread(v, key, b.proof-1)
		return
	}
	c := &s.cells[v]
	id := c.owner >> 3
	if b.known>>(v&63)&1 != 0 {
		s.spread(v, key, s.grains[id].box)
		return
	}
	g := s.boxes[id].grain
	b.solid |= 1 << (v & 63)
	if !s.boxes[id].root {
		b.hold(s.boxes[id].own, 1<<(v&63))
	}
	c.owner = uint32(g)<<3 | c.owner&7
	s.captured++
	s.spread(v, key, id)
}

// spread claims the neighbours of v for a box: here the common case, a root box and neighbours
// nobody else has touched.
func (s *front) spread(v uint32, key float32, id uint32) {
	bx := &s.boxes[id]
	if !bx.root {
		s.contest(v, key, id)
		return
	}
	home, n := v>>6, 0
	var x0, y0, z0 int
	met := false // another grain, or a hole
	near := s.near[v&63]
	for i := range near {
		g := &near[i]
		nb := uint32(int32(home) + g.block)
		b := &s.blocks[nb]
		m := g.mask & b.in &^ b.of(id)
		met = met || m&b.claimed != 0 || (s.hole != nil && s.hole[nb]&g.mask != 0)
		if s.grid.Periodic && (met || b.in == 0) {
			s.contest(v, key, id)
			return
		}
		if m &^= b.solid | b.known; m == 0 {
			continue
		}
		if n == 0 {
			x0, y0, z0 = s.corner(home)
		}
		n = s.reachable(m, nb, [3]int{x0 + int(g.step[0])<<s.shift[0], y0 + int(g.step[1])<<s.shift[1],
			z0 + int(g.step[2])<<s.shift[2]}, bx, n)
	}
	if met {
		if s.canGain(n) {
			s.contest(v, key, id)
		}
		return
	}
	overdue := float64(key) - slack
	for i := range s.scratch[:n] {
		if t := s.scratch[i].key; t < overdue && t > bx.resolved {
			s.contest(v, key, id)
			return
		}
	}
	for i := range s.scratch[:n] {
		q := &s.scratch[i]
		if q.key > s.clock.end {
			continue
		}
		t := max(float32(q.key), key)
		b, bit := &s.blocks[q.cell>>6], uint64(1)<<(q.cell&63)
		b.claimed |= bit
		b.hold(id, bit)
		s.cells[q.cell] = cell{t, id<<3 | q.sector}
		s.queue.push(t, q.cell)
	}
}

// canGain tells whether any of the first n cells of the scratch list has no claim that is clearly
// better. Cutting the box would only make the new ones later.
func (s *front) canGain(n int) bool {
	for i := range s.scratch[:n] {
		q := &s.scratch[i]
		if q.key > s.clock.end {
			continue
		}
		if s.blocks[q.cell>>6].claimed>>(q.cell&63)&1 == 0 || q.key <= float64(s.cells[q.cell].key)+2*tieWindow {
			return true
		}
	}
	return false
}

// reachable lists the cells m of block nb with the keys that a box gives them, from place n of the
// scratch list on.
func (s *front) reachable(m uint64, nb uint32, corner [3]int, bx *box, n int) int {
	f := &s.frames[bx.frame]
	for ; m != 0; m &= m - 1 {
		c := uint32(bits.TrailingZeros64(m))
		i, j, k := s.place(c)
		ya, yb, yc := f.coordinates(float64(corner[0]+i), float64(corner[1]+j), float64(corner[2]+k))
		q := &s.scratch[n&31]
		q.key, q.sector = s.clock.claim(bx, ya, yb, yc)
		q.cell = nb<<6 | c
		n++
	}
	return n
}
