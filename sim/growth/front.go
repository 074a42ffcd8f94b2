package growth

import (
	"math"
	"math/bits"
)

// Root is the start of a grain: a seed, or a nucleus with zero half widths.
type Root struct {
	At    [3]float64 // cells, from the centre of cell (0, 0, 0)
	Half  [3]float64 // half widths along its own a, b, c, cells; +Inf along a flat axis
	Axes  [9]float64 // rows: unit vectors a, b, c
	BornH float64
	Seed  bool
	Cell  [3]int // of a nucleus: the cell that holds it
}

type cell struct {
	key   float32
	owner uint32 // pending: box·8 + sector; solid: grain·8 + sector
}

type grain struct {
	root Root
	key  float64 // at birth
	box  uint32  // the root box
	home uint32  // the cell of a nucleus, solid at birth
}

// block is what is known of 64 cells, in one cache line. Most blocks meet one or two grains: for those, the cells that are
// solid in the grain or pending with its root box can be passed over without a look at the cells.
type block struct {
	in      uint64    // cells of the body
	claimed uint64    // with a claim, or solid
	solid   uint64    // solid
	held    [2]uint64 // cells of the grains whose root boxes are lead
	lead    [2]uint32 // root box + 1; 0 = nobody yet
	proof   uint32    // root box + 1 where the certificate holds; then nothing else is stored
	_       [3]uint32
}

// of gives the cells held by root box id.
func (b *block) of(id uint32) uint64 {
	switch id + 1 {
	case b.lead[0]:
		return b.held[0]
	case b.lead[1]:
		return b.held[1]
	}
	return 0
}

// knows tells whether every cell of root box id's grain is among those held.
func (b *block) knows(id uint32) bool {
	return b.lead[0] == id+1 || b.lead[1] == id+1 || b.lead[1] == 0
}

// hold adds a cell to those of root box id, if there is room for its grain.
func (b *block) hold(id uint32, bit uint64) {
	for i := range b.lead {
		if b.lead[i] == 0 {
			b.lead[i] = id + 1
		}
		if b.lead[i] == id+1 {
			b.held[i] |= bit
			return
		}
	}
}

func (b *block) drop(bit uint64) {
	b.held[0] &^= bit
	b.held[1] &^= bit
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
	clock      *clock
	queue      *calendar
	cells      []cell
	blocks     []block
	proved     []uint32 // in a run that inspects: what was certified
	grains     []grain
	frames     []frame
	boxes      []box
	free       []uint32
	images     map[image]int32  // frames of periodic images
	imageRoots map[int32]uint32 // root boxes by such a frame
	shifts     [][3]int8        // per frame: bodies away
	scratch    [32]candidate
	captured   int // cells captured one by one, a figure for the benchmark
}

func newFront(l *lattice, k *clock, bucket float64) *front {
	s := &front{lattice: l, clock: k, queue: newCalendar(bucket), blocks: make([]block, l.size())}
	l.fill(s.blocks)
	return s
}

// plant adds a grain with its root box and returns its index.
func (s *front) plant(r Root, key float64) int {
	l := s.clock.lengths(key)
	b := box{grain: int32(len(s.grains)), frame: int32(len(s.frames)), own: uint32(len(s.boxes)), root: true, resolved: key}
	for f := range b.faces {
		b.faces[f] = r.Half[f/2] - l[f/2]
		need := thick - b.faces[f]
		if f >= sectorC {
			need = s.clock.fromC(need)
		}
		b.resolved = math.Max(b.resolved, need+slack)
	}
	s.addFrame(newFrame(r.Axes, r.At), [3]int8{})
	g := grain{root: r, key: key, box: uint32(len(s.boxes)), home: math.MaxUint32}
	if !r.Seed {
		g.home = s.number(r.Cell[0], r.Cell[1], r.Cell[2])
	}
	s.grains = append(s.grains, g)
	s.boxes = append(s.boxes, b)
	return len(s.grains) - 1
}

// start claims the first cells of grain g at its birth: the cell of a nucleus, or the cells in and next to a seed.
// It returns false for a nucleus in a cell that is solid.
func (s *front) start(g int) bool {
	gr := &s.grains[g]
	key := float32(gr.key)
	if !gr.root.Seed {
		return s.startNucleus(gr, key)
	}
	b := &s.boxes[gr.box]
	s.around(gr, func(u uint32, y0, y1, y2 float64) {
		if q := &s.blocks[u>>6]; q.proof != 0 || q.solid>>(u&63)&1 != 0 {
			return
		}
		t, sector := s.clock.claim(b, y0, y1, y2)
		if t <= gr.key {
			t, sector = gr.key, sectorSeed
		}
		s.offer(&candidate{cell: u, key: t, sector: sector, y: [3]float64{y0, y1, y2}}, gr.box, key)
	})
	return true
}

func (s *front) startNucleus(gr *grain, key float32) bool {
	if s.blocks[gr.home>>6].proof == gr.box+1 {
		return true
	}
	if s.isSolid(gr.home, key) {
		return false
	}
	s.take(gr.home, key, gr.box, sectorSeed)
	return true
}

// around visits the cells of the body within one cell of a seed's box.
func (s *front) around(gr *grain, visit func(u uint32, y0, y1, y2 float64)) {
	f := &s.frames[s.boxes[gr.box].frame]
	lo, hi := gr.reach(s.grid.N, 1)
	for z := lo[2]; z <= hi[2]; z++ {
		for y := lo[1]; y <= hi[1]; y++ {
			for x := lo[0]; x <= hi[0]; x++ {
				u := s.number(x, y, z)
				y0, y1, y2 := f.coordinates(float64(x), float64(y), float64(z))
				if s.blocks[u>>6].in>>(u&63)&1 != 0 && gr.within(1, y0, y1, y2) {
					visit(u, y0, y1, y2)
				}
			}
		}
	}
}

// within tells whether a point of its frame lies in the grain's first box enlarged by a margin.
func (g *grain) within(margin, y0, y1, y2 float64) bool {
	h := &g.root.Half
	return math.Abs(y0) <= h[0]+margin && math.Abs(y1) <= h[1]+margin && math.Abs(y2) <= h[2]+margin
}

// reach is the range of cells, within the grid, that the first box with a margin can touch.
func (g *grain) reach(n [3]int, margin float64) (lo, hi [3]int) {
	for a := range n {
		r := 0.0
		for i := 0; i < 3; i++ {
			if h := g.root.Half[i] + margin; !math.IsInf(h, 1) {
				r += float64(math.Abs(g.root.Axes[3*i+a]) * h)
			}
		}
		lo[a] = max(0, int(math.Floor(g.root.At[a]-r)))
		hi[a] = min(n[a]-1, int(math.Ceil(g.root.At[a]+r)))
	}
	return lo, hi
}

// isSolid tells whether a cell is solid at a key.
func (s *front) isSolid(u uint32, key float32) bool {
	b := &s.blocks[u>>6]
	if b.proof != 0 {
		t, _ := s.arrival(u, b.proof-1)
		return t <= key
	}
	return b.solid>>(u&63)&1 != 0
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

// take gives a liquid cell to a box whatever claims it had.
func (s *front) take(u uint32, key float32, id, sector uint32) {
	b, bit := &s.blocks[u>>6], uint64(1)<<(u&63)
	if b.claimed&bit != 0 {
		s.release(s.cells[u].owner >> 3)
		b.drop(bit)
	}
	s.assign(b, bit, id)
	s.cells[u] = cell{key, id<<3 | sector}
	s.queue.push(key, u)
}

// assign books a claim of box id on a cell that has none.
func (s *front) assign(b *block, bit uint64, id uint32) {
	b.claimed |= bit
	if s.boxes[id].root {
		b.hold(id, bit)
	} else {
		s.boxes[id].claims++
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
	g := s.boxes[id].grain
	b.solid |= 1 << (v & 63)
	if !s.boxes[id].root {
		b.hold(s.boxes[id].own, 1<<(v&63))
	}
	c.owner = uint32(g)<<3 | c.owner&7
	s.captured++
	s.spread(v, key, id)
}

// spread claims the neighbours of v for a box: here the common case, a root box and neighbours nobody else has touched.
func (s *front) spread(v uint32, key float32, id uint32) {
	bx := &s.boxes[id]
	if !bx.root {
		s.contest(v, key, id)
		return
	}
	home, n := v>>6, 0
	var x0, y0, z0 int
	near := s.near[v&63]
	for i := range near {
		g := &near[i]
		nb := uint32(int32(home) + g.block)
		b := &s.blocks[nb]
		m := g.mask & b.in &^ b.of(id)
		if m&b.claimed != 0 || (s.grid.Periodic && b.in == 0) || (s.hole != nil && s.hole[nb]&g.mask != 0) {
			s.contest(v, key, id)
			return
		}
		if m == 0 {
			continue
		}
		if n == 0 {
			x0, y0, z0 = s.corner(home)
		}
		n = s.reachable(m, nb, [3]int{x0 + int(g.step[0])<<s.shift[0], y0 + int(g.step[1])<<s.shift[1], z0 + int(g.step[2])<<s.shift[2]}, bx, n)
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

// reachable lists the cells m of block nb with the keys that a box gives them, from place n of the scratch list on.
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
