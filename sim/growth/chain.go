package growth

import (
	"math"
	"math/bits"
)

// holds tests condition (2) for a block.
func (c *certifier) holds(b uint32) bool {
	id := c.winner[b] - 1
	r := c.spanAt(b)
	if c.crowded && !c.lit(b, r, id) {
		return false
	}
	early, _ := c.bounds(r, id)
	for _, d := range c.steps {
		if c.backed(b, id, d) && c.leadsIn(r, id, early, d) && c.supported(b, d) {
			return true
		}
	}
	if c.tries[b]++; c.tries[b] > certifyTries {
		return false
	}
	return c.eachHolds(b, id)
}

// lit tests condition (3): the blocks that straight ways from the cells of a block to the origin enter next.
func (c *certifier) lit(b uint32, r *span, id uint32) bool {
	at := &c.grains[c.boxes[id].grain].root.At
	var far, most float64
	for a := range at {
		far = larger(far, math.Abs(at[a]-r.at[a]))
	}
	var step [3]int
	for a := range at {
		v, half := at[a]-r.at[a], r.half[a]-float64(c.rim[a])
		edge := 2*half + 1
		// a way that starts half a cell from the side leaves by it if it leans more than this before it is through the block
		most = far - half
		if math.Abs(v) <= half+1 || math.Abs(v)+half < most*0.5/(edge-0.5) {
			continue
		}
		step[a] = 1
		if v < 0 {
			step[a] = -1
		}
	}
	return c.backed(b, id, step)
}

// leadsIn tells whether step d leads into the box from every cell of a span at the key the box reaches the cell.
func (c *certifier) leadsIn(r *span, id uint32, early float64, d [3]int) bool {
	b := &c.boxes[id]
	f := &c.frames[b.frame]
	y0, y1, y2 := f.coordinates(r.at[0], r.at[1], r.at[2])
	for a, y := range [3]float64{y0, y1, y2} {
		e := f.axes[3*a : 3*a+3]
		h := f.extent(a, r)
		s := float64(e[0]*float64(d[0])) + float64(e[1]*float64(d[1])) + float64(e[2]*float64(d[2]))
		if math.Abs(y) >= h+math.Abs(s) && (s == 0 || s < 0 == (y > 0)) {
			continue
		}
		need := math.Abs(y) + h + math.Abs(s) - b.faces[2*a]
		if a == 2 {
			need = c.clock.fromC(need)
		}
		if need > early {
			return false
		}
	}
	return true
}

// backed tells whether the blocks that a step leads into from block b are certified for the same box.
func (c *certifier) backed(b, id uint32, d [3]int) bool {
	for k := 1; k < 8; k++ {
		e := [3]int{d[0] * (k & 1), d[1] * (k >> 1 & 1), d[2] * (k >> 2)}
		if n := c.beside(b, e); n != b && c.blocks[n].in != 0 && c.blocks[n].proof != id+1 {
			return false
		}
	}
	return true
}

// supported tells whether the step leads from every cell of block b to a cell of the body.
func (c *certifier) supported(b uint32, d [3]int) bool {
	full := c.blocks[b].in == math.MaxUint64
	for k := 1; k < 8 && full; k++ {
		full = c.blocks[c.beside(b, [3]int{d[0] * (k & 1), d[1] * (k >> 1 & 1), d[2] * (k >> 2)})].in == math.MaxUint64
	}
	if full {
		return true
	}
	x, y, z := c.corner(b)
	for m := c.blocks[b].in; m != 0; m &= m - 1 {
		i, j, k := c.place(uint32(bits.TrailingZeros64(m)))
		w := c.number(x+i+d[0], y+j+d[1], z+k+d[2])
		if c.blocks[w>>6].in>>(w&63)&1 == 0 {
			return false
		}
	}
	return true
}

// eachHolds tests condition (2) cell by cell, for blocks at the start: a cell is one of the first, or some neighbour that
// lies nearer the origin supports it.
func (c *certifier) eachHolds(b, id uint32) bool {
	x, y, z := c.corner(b)
	for m := c.blocks[b].in; m != 0; m &= m - 1 {
		i, j, k := c.place(uint32(bits.TrailingZeros64(m)))
		if !c.cellHolds([3]int{x + i, y + j, z + k}, b, id) {
			return false
		}
	}
	return true
}

func (c *certifier) cellHolds(at [3]int, b, id uint32) bool {
	bx := &c.boxes[id]
	f := &c.frames[bx.frame]
	y0, y1, y2 := f.coordinates(float64(at[0]), float64(at[1]), float64(at[2]))
	if c.isFirst(&c.grains[bx.grain], at, y0, y1, y2) {
		return true
	}
	t, _ := c.clock.claim(bx, y0, y1, y2)
	for _, d := range c.steps {
		w := c.number(at[0]+d[0], at[1]+d[1], at[2]+d[2])
		if c.blocks[w>>6].in>>(w&63)&1 == 0 || (w>>6 != b && c.blocks[w>>6].proof != id+1) {
			continue
		}
		z0, z1, z2 := f.coordinates(float64(at[0]+d[0]), float64(at[1]+d[1]), float64(at[2]+d[2]))
		if u, _ := c.clock.claim(bx, z0, z1, z2); u <= t && math.Abs(z0)+math.Abs(z1)+math.Abs(z2) < math.Abs(y0)+math.Abs(y1)+math.Abs(y2)-0.01 {
			return true
		}
	}
	return false
}

// isFirst tells whether a cell is claimed at birth: in or next to a seed that the mesh resolves, or a neighbour of the
// cell that holds a nucleus. A seed may be flat along c, lying on the face of the body.
func (c *certifier) isFirst(g *grain, at [3]int, y0, y1, y2 float64) bool {
	h := &g.root.Half
	if g.root.Seed {
		return min(h[0], h[1]) >= 1 && g.within(1, y0, y1, y2)
	}
	x, y, z := c.coordinates(g.home)
	return max(x-at[0], at[0]-x, y-at[1], at[1]-y, z-at[2], at[2]-z) <= 1
}
