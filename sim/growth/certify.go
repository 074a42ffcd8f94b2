package growth

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
)

// The certificate. A cell is certified for root box g when
//
//	(1) no other grain can reach it before g: the root box of g arrives earlier than every other
//	    root box by more than slack, or together with it but with its second faces that much
//	    earlier. Boxes are only ever cut smaller, so a root box bounds its grain from below; nuclei
//	    are known beforehand and count as grains from their birth;
//	(2) it sees the origin of g: the straight way there leads through cells for which (1) holds
//	    too, and through no hole. Growth along a straight way takes as long as the box says.
//
// Then g takes the cell exactly when its root box says, whatever happens elsewhere. Whole blocks
// are tried first: of most of a body with few grains nothing else is ever looked at. What is left
// are cells in the shadow of a hole or of another grain, and cells that two grains reach together.
type certifier struct {
	*front
	winner []uint32 // per block: root box + 1 that satisfies (1) in all its cells; nobody where there is nothing to take
	areas  []area
	ids    []uint32  // scratch: root boxes that may come first somewhere in a block
	early  []float64 // of each the earliest key there
	last   float64   // latest key of a cell certified by itself
}

// area is a part of a block for which condition (1) holds with one root box.
type area struct {
	cells uint64
	block uint32
	box   uint32
	early float32 // no cell is reached before
}

const (
	nobody     = math.MaxUint32
	together   = 1e-6 // the keys of faces in one plane differ by less, cells
	certifyFew = 100  // with fewer cells to a grain there is little to gain
)

// certify marks blocks and cells for the grains planted so far, and returns a key by which those
// marked cell by cell are solid.
func (s *front) certify() (last float64) {
	if s.grid.Periodic || s.total < certifyFew*len(s.grains) {
		return 0
	}
	c := &certifier{front: s, winner: make([]uint32, s.size())}
	all := make([]uint32, len(c.grains))
	for g := range c.grains {
		all[g] = c.grains[g].box
	}
	n := 1
	for n < max(c.count[0], c.count[1], c.count[2]) {
		n *= 2
	}
	c.elect([3]int{}, n, all)
	c.look()
	c.settle()
	return c.last
}

// alone tells whether the certificate holds for the whole body, one seed with nothing in its way,
// and by which key it is solid.
func (s *front) alone() (last float64, ok bool) {
	if len(s.grains) == 0 || s.hole != nil || s.grid.Periodic || !s.grains[0].root.Seed {
		return 0, false
	}
	last = s.lastOf(func(b int) (id uint32, ok bool) { return s.grains[0].box, s.in[b] != 0 })
	for i := range s.grains[1:] {
		if g := &s.grains[i+1]; g.root.Seed || g.key <= last {
			return 0, false
		}
	}
	return last, true
}

// lastOf is a key by which root boxes have taken the blocks for which they are given, +Inf if the
// programme ends before.
func (s *front) lastOf(box func(b int) (id uint32, ok bool)) (last float64) {
	c := &certifier{front: s}
	for b := range s.in {
		if id, ok := box(b); ok {
			_, late := c.bounds(c.spanAt(uint32(b)), id)
			last = larger(last, late)
		}
	}
	if last > s.clock.end {
		return math.Inf(1)
	}
	return last
}

// look tests condition (2), grain by grain and in each from near to far.
func (c *certifier) look() {
	slices.SortFunc(c.areas, func(p, q area) int {
		switch {
		case p.box != q.box:
			return cmp.Compare(p.box, q.box)
		case p.early != q.early:
			return cmp.Compare(p.early, q.early)
		}
		return cmp.Compare(p.block, q.block)
	})
	crowded := len(c.grains) > 1 || c.hole != nil
	for i := range c.areas {
		a := &c.areas[i]
		far := float64(bright)
		if crowded {
			far = c.dim(a.block, a.box)
		}
		if p := &c.blocks[a.block]; far == bright && c.winner[a.block] != 0 {
			p.proof, p.known = a.box+1, p.in
		} else if far != dark {
			c.each(a, far)
		}
	}
}

// settle turns what is certified into what the events see: cells of which nobody else can take any.
func (c *certifier) settle() {
	for b := range c.blocks {
		p := &c.blocks[b]
		if p.proof != 0 {
			p.claimed = p.in
			p.hold(p.proof-1, p.in)
			continue
		}
		p.claimed, p.solid = p.known, p.known
		for m := p.known; m != 0; m &= m - 1 {
			k := bits.TrailingZeros64(m)
			p.hold(c.grains[c.cells[b<<6|k].owner>>3].box, 1<<k)
		}
	}
}

// span is a box of cells: centre and half extents.
type span struct{ at, half [3]float64 }

// spanOf covers the cells of n blocks along each axis from block (i, j, k), rim included.
func (c *certifier) spanOf(i [3]int, n int) span {
	var r span
	for a := range i {
		edge := 1 << c.shift[a]
		m := n
		if c.rim[a] == 0 {
			m = 1
		}
		r.half[a] = 0.5 * float64(m*edge-1)
		r.at[a] = float64((i[a]-c.rim[a])*edge) + r.half[a]
	}
	return r
}

// spanAt is the span of block b.
func (c *certifier) spanAt(b uint32) *span {
	x, y, z := c.corner(b)
	r := c.spanOf([3]int{x>>c.shift[0] + c.rim[0], y>>c.shift[1] + c.rim[1], z>>c.shift[2] + c.rim[2]}, 1)
	return &r
}

// bounds are the earliest and latest key at which root box id can reach the cells of a span.
func (c *certifier) bounds(r *span, id uint32) (early, late float64) {
	b := &c.boxes[id]
	f := &c.frames[b.frame]
	y0, y1, y2 := f.coordinates(r.at[0], r.at[1], r.at[2])
	ra, rb, rc := f.extent(0, r), f.extent(1, r), f.extent(2, r)
	early = larger(math.Abs(y0)-ra-b.faces[0], math.Abs(y1)-rb-b.faces[2])
	late = larger(math.Abs(y0)+ra-b.faces[0], math.Abs(y1)+rb-b.faces[2])
	y2 = math.Abs(y2)
	g := &c.grains[b.grain]
	born := g.key
	if early = larger(larger(early, born), c.clock.fromC(y2-rc-b.faces[4])); r.holds(g) {
		early = born // its own cell is solid at once, wherever in it the nucleus lies
	}
	return early, larger(larger(late, born), c.clock.fromC(y2+rc-b.faces[4]))
}

// holds tells whether the cell of a nucleus is among those of a span.
func (r *span) holds(g *grain) bool {
	if g.root.Seed {
		return false
	}
	for a, x := range g.root.Cell {
		if math.Abs(float64(x)-r.at[a]) > r.half[a] {
			return false
		}
	}
	return true
}

// extent is half the width of a span seen along crystal axis a.
func (f *frame) extent(a int, r *span) float64 {
	return math.Abs(f.axes[3*a])*r.half[0] + math.Abs(f.axes[3*a+1])*r.half[1] + math.Abs(f.axes[3*a+2])*r.half[2]
}

func larger(a, b float64) float64 {
	if a > b {
		return a
	}
	return b
}

// elect tests condition (1) in each block from block `at` to n blocks on along each axis; n is a
// power of two. Candidates that come late everywhere are left out before the part is halved.
func (c *certifier) elect(at [3]int, n int, all []uint32) {
	if at[0] >= c.count[0] || at[1] >= c.count[1] || at[2] >= c.count[2] {
		return
	}
	r := c.spanOf(at, n)
	if n == 1 {
		b := uint32((at[2]*c.count[1]+at[1])*c.count[0] + at[0])
		p := &c.blocks[b]
		if p.in == 0 {
			if c.hole == nil || c.wall[b] == 0 {
				c.winner[b] = nobody
			}
			return
		}
		if c.thin(&r, all); len(c.ids) == 1 {
			c.winner[b] = c.ids[0] + 1
			c.areas = append(c.areas, area{p.in, b, c.ids[0], float32(c.early[0])})
		} else {
			c.choose(b)
		}
		return
	}
	if len(all) > 1 {
		c.thin(&r, all)
		all = append([]uint32(nil), c.ids...)
	}
	n /= 2
	for k := 0; k < 8; k++ {
		if k&1*(1-c.rim[0]) == 0 && k>>1&1*(1-c.rim[1]) == 0 && k>>2*(1-c.rim[2]) == 0 {
			c.elect([3]int{at[0] + k&1*n, at[1] + k>>1&1*n, at[2] + k>>2*n}, n, all)
		}
	}
}

// thin puts into c.ids the boxes that may come first somewhere in a part of the body, or less than
// slack later, with the earliest keys in c.early.
func (c *certifier) thin(r *span, all []uint32) {
	c.ids, c.early = c.ids[:0], c.early[:0]
	first := math.Inf(1)
	for _, id := range all {
		early, late := c.bounds(r, id)
		if first = math.Min(first, late); early <= first+slack {
			c.ids, c.early = append(c.ids, id), append(c.early, early)
		}
	}
	n := 0
	for i, id := range c.ids {
		if c.early[i] <= first+slack {
			c.ids[n], c.early[n] = id, c.early[i]
			n++
		}
	}
	c.ids, c.early = c.ids[:n], c.early[:n]
}
