package growth

import "math"

// What dim may return besides a number of cells.
const (
	bright = 0
	dark   = -1
)

// dim tells how far from block b, in cells along the longest axis of the way to the origin of root
// box id, a straight way may meet something that is not the box's: bright if all cells of the block
// see the origin for sure, dark if none does. All ways lie in the hull of block and origin, which
// is walked from the origin in steps of a block.
func (c *certifier) dim(b, id uint32) float64 {
	r := c.spanAt(b)
	at := &c.grains[c.boxes[id].grain].root.At
	var way [3]float64
	far, edge := 0.0, 1.0
	for a := range way {
		way[a] = at[a] - r.at[a]
		far = larger(far, math.Abs(way[a]))
		edge = larger(edge, float64(int(1)<<c.shift[a]))
	}
	steps := int(math.Ceil(far / edge))
	part := 1 / float64(max(steps, 1))
	found := float64(bright)
	for k := steps; k >= 0; k-- {
		s := float64(k) * part
		thick := 1 - larger(0, s-0.5*part)
		var lo, hi [3]int
		for a := range way {
			p := r.at[a] + float64(s*way[a]) + 0.5
			w := float64(thick*r.half[a]) + float64(0.5*part*math.Abs(way[a]))
			lo[a], hi[a] = c.layer(a, int(math.Floor(p-w))), c.layer(a, int(math.Floor(p+w)))
		}
		all, none := c.own(lo, hi, id)
		if none {
			return dark
		}
		if !all && found == bright {
			found = float64(k+2) * edge
		}
	}
	return found
}

// own tells whether all blocks from lo to hi are root box id's or empty, and whether all are other
// grains' or holes.
func (c *certifier) own(lo, hi [3]int, id uint32) (all, none bool) {
	all, none = true, true
	for z := lo[2]; z <= hi[2]; z++ {
		for y := lo[1]; y <= hi[1]; y++ {
			row := (z*c.count[1] + y) * c.count[0]
			for x := lo[0]; x <= hi[0] && (all || none); x++ {
				switch w := c.winner[row+x]; {
				case w == nobody || (w == id+1 && (c.hole == nil || c.wall[row+x] == 0)):
					none = false
				case w == id+1, w == 0 && (c.hole == nil || c.hole[row+x] != math.MaxUint64):
					all, none = false, false
				default:
					all = false
				}
			}
		}
	}
	return all, none
}

// layer is the block of a cell coordinate along axis a, that of the rim for what lies outside.
func (c *certifier) layer(a, x int) int {
	return min(max(x>>c.shift[a]+c.rim[a], 0), c.count[a]-1)
}

// each certifies those cells of an area that see the origin, near ones first. Further than `far`
// nothing is in the way.
func (c *certifier) each(a *area, far float64) {
	if c.cells == nil {
		c.cells = make([]cell, c.size()*64)
	}
	p := &c.blocks[a.block]
	g := &c.grains[c.boxes[a.box].grain]
	x0, y0, z0 := c.corner(a.block)
	flip := c.flip([3]int{x0, y0, z0}, &g.root.At)
	for n := range uint32(64) {
		k := n ^ flip
		if a.cells>>k&1 == 0 {
			continue
		}
		i, j, l := c.place(k)
		if far != bright && !c.sees([3]int{x0 + i, y0 + j, z0 + l}, g, a.box, far) {
			continue
		}
		u := a.block<<6 | k
		if c.winner[a.block] != 0 {
			t, sector := c.arrivalAt(u, x0+i, y0+j, z0+l, a.box)
			if float64(t) > c.clock.end {
				continue
			}
			c.cells[u] = cell{t, uint32(c.boxes[a.box].grain)<<3 | sector}
		}
		p.known |= 1 << k
		c.last = larger(c.last, float64(c.cells[u].key))
	}
}

// flip turns the order of a block's cells so that those on the side of a point come first.
func (c *certifier) flip(corner [3]int, to *[3]float64) (flip uint32) {
	at := uint(0)
	for a := range corner {
		edge := 1 << c.shift[a]
		if to[a] > float64(corner[a])+0.5*float64(edge-1) {
			flip |= uint32(edge-1) << at
		}
		at += c.shift[a]
	}
	return flip
}

// sees walks from a cell towards the origin of grain g with root box id, in steps of one cell along
// the longest axis, for `far` of them at most, and tells whether the cell nearest to the way is the
// grain's every time. Where the cells on either side of the first step are known to see the origin,
// there is no need to walk.
func (c *certifier) sees(at [3]int, g *grain, id uint32, far float64) bool {
	const one = 1 << 32
	long, axis := 1.0, 0
	for a := range at {
		if d := math.Abs(g.root.At[a] - float64(at[a])); d > long {
			long, axis = d, a
		}
	}
	var p, way [3]int64
	for a := range at {
		way[a] = int64((g.root.At[a] - float64(at[a])) / long * one)
		p[a] = int64(at[a]+c.rim[a]<<c.shift[a])<<32 + one/2
	}
	if c.beforeSees(p, way, axis, id) {
		return true
	}
	last := uint32(nobody)
	for range int(math.Min(long, far+2)) {
		p[0], p[1], p[2] = p[0]+way[0], p[1]+way[1], p[2]+way[2]
		u := c.fromRim(int(p[0]>>32), int(p[1]>>32), int(p[2]>>32))
		b := u >> 6
		if b == last {
			continue
		}
		if w := c.winner[b]; (w == id+1 && (c.hole == nil || c.wall[b] == 0)) || w == nobody {
			last = b
			continue
		}
		if !c.takes(u, id) && !c.passes(p, u, id) {
			return false
		}
	}
	return g.root.Seed || c.takes(g.home, id)
}

// beforeSees tells whether all cells next to the way, one step on, are known to see the origin.
func (c *certifier) beforeSees(p, way [3]int64, axis int, id uint32) bool {
	p[axis] += way[axis]
	var side [2]int
	n := 0
	for a := range way {
		if a == axis || way[a] == 0 {
			continue
		}
		side[n], n = a, n+1
		way[a] = way[a]>>63 | 1
	}
	for s := range 1 << n {
		q := p
		for i := range n {
			q[side[i]] += way[side[i]] * int64(s>>i&1) << 32
		}
		u := c.fromRim(int(q[0]>>32), int(q[1]>>32), int(q[2]>>32))
		b := u >> 6
		if c.blocks[b].known>>(u&63)&1 == 0 || (c.winner[b] != id+1 &&
			(c.winner[b] != 0 || int32(c.cells[u].owner>>3) != c.boxes[id].grain)) {
			return false
		}
	}
	return true
}

// passes tells whether a way that comes near cell u of another grain goes by on root box id's side
// of the boundary, as ways along a boundary do. Point p is in cells · 2³², from the corner of the
// rim.
func (c *certifier) passes(p [3]int64, u, id uint32) bool {
	other := c.winner[u>>6]
	if q := &c.blocks[u>>6]; other == 0 && q.claimed>>(u&63)&1 != 0 {
		other = c.grains[c.cells[u].owner>>3].box + 1
	}
	if other == 0 || c.hole != nil {
		return false
	}
	var y [3]float64
	for a := range y {
		y[a] = float64(p[a])/(1<<32) - 0.5 - float64(c.rim[a]<<c.shift[a])
	}
	return c.ahead(id, other-1, &y, slack)
}

// takes tells whether condition (1) gives a cell to root box id; a cell outside is in nobody's way,
// one at a hole in everybody's.
func (c *certifier) takes(u, id uint32) bool {
	p, bit := &c.blocks[u>>6], uint64(1)<<(u&63)
	switch {
	case c.hole != nil && c.wall[u>>6]&bit != 0:
		return false
	case p.in&bit == 0:
		return true
	case c.winner[u>>6] != 0:
		return c.winner[u>>6] == id+1
	}
	return p.claimed&bit != 0 && int32(c.cells[u].owner>>3) == c.boxes[id].grain
}
