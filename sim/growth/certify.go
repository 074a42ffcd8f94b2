package growth

import (
	"math"
	"slices"
)

// The certificate. A block is certified for root box g when
//
//	(1) no hole and no other grain can reach it or the cells next to it before g: the latest arrival of g there lies below
//	    the earliest arrival of every other root box by more than slack. Boxes are only ever cut smaller, so a root box
//	    bounds its grain from below; nuclei are known beforehand and count as grains from their birth;
//	(2) every cell u of it has a neighbour w in a certified block (or in the block itself, nearer the start) that the box
//	    contains when it reaches u: then w was solid by then and has claimed u at exactly that key;
//	(3) the straight way from it to the grain's origin leads through certified blocks. Growth along a straight way takes as
//	    long as the box says, while the steps of (2) may run sideways at no cost, which would see round obstacles.
//
// Blocks are certified outwards from the origins, so the chains always end there. In (2) w lies one lattice step d further
// in: along each crystal axis the step leads inwards for the whole block, or the block is so far inside on that axis that
// the step does not matter.
type certifier struct {
	*front
	steps  [][3]int // lattice steps, near ones first
	winner []uint32 // per block: root box + 1 that satisfies (1)
	tries  []uint8  // per block: how often it was tested cell by cell
	queued []uint32
	faces  int // how many of the steps, the first, lead through faces
	// other grains or holes are about
	crowded bool
}

const (
	certifyMost  = 2000 // with more grains than this,
	certifyFew   = 4000 // or fewer cells to a grain, whole blocks are hardly ever clear
	certifyTries = 6    // tests cell by cell are dear
)

// certify marks blocks for the grains planted so far. `seeds` of them are seeds.
func (s *front) certify() {
	if s.grid.Periodic || len(s.grains) > certifyMost || s.grid.Cells() < certifyFew*len(s.grains) {
		return
	}
	c := &certifier{front: s, winner: make([]uint32, s.size()), tries: make([]uint8, s.size()), crowded: len(s.grains) > 1 || s.hole != nil}
	c.fillSteps()
	all := make([]uint32, len(c.grains))
	for g := range c.grains {
		all[g] = c.grains[g].box
	}
	n := 1
	for n < max(c.count[0], c.count[1], c.count[2]) {
		n *= 2
	}
	c.elect([3]int{}, n, all)
	for g := range s.grains {
		c.plantOn(&s.grains[g])
	}
	c.flood()
}

func (c *certifier) fillSteps() {
	for z := -c.rim[2]; z <= c.rim[2]; z++ {
		for y := -c.rim[1]; y <= c.rim[1]; y++ {
			for x := -c.rim[0]; x <= c.rim[0]; x++ {
				if x != 0 || y != 0 || z != 0 {
					c.steps = append(c.steps, [3]int{x, y, z})
				}
			}
		}
	}
	c.faces = 2 * (c.rim[0] + c.rim[1] + c.rim[2])
	slices.SortStableFunc(c.steps, func(p, q [3]int) int { return p[0]*p[0] + p[1]*p[1] + p[2]*p[2] - q[0]*q[0] - q[1]*q[1] - q[2]*q[2] })
}

// span is a box of cells: centre and half extents.
type span struct{ at, half [3]float64 }

// spanOf covers n blocks along each axis from block (i, j, k), rim included, and one more cell all round.
func (c *certifier) spanOf(i [3]int, n int) span {
	var r span
	for a := range i {
		edge := 1 << c.shift[a]
		m := n
		if c.rim[a] == 0 {
			m = 1
		}
		r.half[a] = 0.5*float64(m*edge-1) + float64(c.rim[a])
		r.at[a] = float64((i[a]-c.rim[a])*edge) + 0.5*float64(m*edge-1)
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
	born := c.grains[b.grain].key
	early = larger(larger(early, born), c.clock.fromC(y2-rc-b.faces[4]))
	return early, larger(larger(late, born), c.clock.fromC(y2+rc-b.faces[4]))
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

// elect finds the winner of each block from block `at` to n blocks on along each axis; n is a power of two. Candidates
// that come late everywhere are left out before the part is halved.
func (c *certifier) elect(at [3]int, n int, all []uint32) {
	if at[0] >= c.count[0] || at[1] >= c.count[1] || at[2] >= c.count[2] {
		return
	}
	if n == 1 {
		b := uint32((at[2]*c.count[1]+at[1])*c.count[0] + at[0])
		if c.blocks[b].in != 0 && !c.holeNear(b) {
			c.winner[b] = c.first(at, all)
		}
		return
	}
	ids := c.thin(at, n, all)
	n /= 2
	for k := 0; k < 8; k++ {
		if k&1*(1-c.rim[0]) == 0 && k>>1&1*(1-c.rim[1]) == 0 && k>>2*(1-c.rim[2]) == 0 {
			c.elect([3]int{at[0] + k&1*n, at[1] + k>>1&1*n, at[2] + k>>2*n}, n, ids)
		}
	}
}

// thin keeps the boxes that may come first somewhere in a part of the body.
func (c *certifier) thin(at [3]int, n int, all []uint32) []uint32 {
	if len(all) == 1 {
		return all
	}
	r := c.spanOf(at, n)
	early := make([]float64, len(all))
	first := math.Inf(1)
	for i, id := range all {
		e, late := c.bounds(&r, id)
		early[i] = e
		first = math.Min(first, late)
	}
	few := make([]uint32, 0, len(all))
	for i, id := range all {
		if early[i] <= first+slack {
			few = append(few, id)
		}
	}
	return few
}

// holeNear tells whether a block or one next to it has a hole.
func (c *certifier) holeNear(b uint32) bool {
	if c.hole == nil {
		return false
	}
	for z := -c.rim[2]; z <= c.rim[2]; z++ {
		for y := -c.rim[1]; y <= c.rim[1]; y++ {
			for x := -c.rim[0]; x <= c.rim[0]; x++ {
				if c.hole[int(b)+(z*c.count[1]+y)*c.count[0]+x] != 0 {
					return true
				}
			}
		}
	}
	return false
}

// first is the root box + 1 that reaches a whole block before any other reaches any of it; 0 if none does.
func (c *certifier) first(at [3]int, ids []uint32) uint32 {
	if len(ids) == 1 {
		return ids[0] + 1
	}
	r := c.spanOf(at, 1)
	best, next, id := math.Inf(1), math.Inf(1), uint32(0)
	for _, i := range ids {
		if _, late := c.bounds(&r, i); late < best {
			best, id = late, i
		}
	}
	for _, i := range ids {
		if i != id {
			early, _ := c.bounds(&r, i)
			next = math.Min(next, early)
		}
	}
	if best+slack < next {
		return id + 1
	}
	return 0
}

// plantOn starts the flood with the blocks round the origin of a grain.
func (c *certifier) plantOn(g *grain) {
	lo, hi := g.reach(c.grid.N, 1)
	for z := lo[2]; z <= hi[2]; z++ {
		for y := lo[1]; y <= hi[1]; y++ {
			for x := lo[0]; x <= hi[0]; x++ {
				b := c.number(x, y, z) >> 6
				if n := len(c.queued); c.winner[b] == g.box+1 && (n == 0 || c.queued[n-1] != b) {
					c.queued = append(c.queued, b)
				}
			}
		}
	}
}

// flood certifies blocks outwards; a block is tested again whenever one beside it has been certified.
func (c *certifier) flood() {
	waiting := make([]bool, c.size())
	for at := 0; at < len(c.queued); at++ {
		b := c.queued[at]
		waiting[b] = false
		if c.blocks[b].proof != 0 || !c.holds(b) {
			continue
		}
		p := &c.blocks[b]
		p.proof, p.claimed = c.winner[b], p.in
		p.hold(p.proof-1, p.in)
		for _, d := range c.steps[:c.faces] {
			if n := c.beside(b, d); c.winner[n] == p.proof && c.blocks[n].proof == 0 && !waiting[n] {
				waiting[n] = true
				c.queued = append(c.queued, n)
			}
		}
		if at > 1<<16 && at > len(c.queued)/2 {
			c.queued, at = append(c.queued[:0], c.queued[at+1:]...), -1
		}
	}
}

// beside is the block one step away; steps off the rim stay, where nothing is.
func (c *certifier) beside(b uint32, d [3]int) uint32 {
	n := int(b) + (d[2]*c.count[1]+d[1])*c.count[0] + d[0]
	if n < 0 || n >= c.size() {
		return b
	}
	return uint32(n)
}
