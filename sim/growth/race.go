package growth

import (
	"math"
	"math/bits"
)

// choose tests condition (1) cell by cell; the keys go to the cells, marked as claimed.
func (c *certifier) choose(b uint32) {
	if c.cells == nil {
		c.cells = make([]cell, c.size()*64)
	}
	var r race
	for k := range r.best {
		r.best[k], r.next[k] = math.Inf(1), math.Inf(1)
	}
	p := &c.blocks[b]
	for n, id := range c.ids {
		c.enter(&r, b, id, c.early[n])
	}
	at := len(c.areas)
	for m := p.in; m != 0; m &= m - 1 {
		k := uint32(bits.TrailingZeros64(m))
		if r.best[k] > c.clock.end || (r.best[k]+slack >= r.next[k] && !c.decide(&r, b, k)) {
			continue
		}
		t := float32(r.best[k])
		c.cells[b<<6|k] = cell{t, r.owner[k]}
		p.claimed |= 1 << k
		id, i := c.grains[r.owner[k]>>3].box, at
		for i < len(c.areas) && c.areas[i].box != id {
			i++
		}
		if i == len(c.areas) {
			c.areas = append(c.areas, area{0, b, id, t})
		}
		a := &c.areas[i]
		a.cells |= 1 << k
		a.early = min(a.early, t)
	}
}

// decide settles cell k of a block where two or more come together: by the second of their faces,
// if that is clear.
func (c *certifier) decide(r *race, b, k uint32) bool {
	x, y, z := c.corner(b)
	i, j, l := c.place(k)
	at := [3]float64{float64(x + i), float64(y + j), float64(z + l)}
	first := c.ids[0]
	for _, id := range c.ids[1:] {
		if c.ahead(id, first, &at, 0) {
			first = id
		}
	}
	for _, id := range c.ids {
		if c.grains[c.boxes[id].grain].home == b<<6|k || (id != first && !c.ahead(first, id, &at, slack)) {
			return false
		}
	}
	t, sector := c.arrivalAt(b<<6|k, x+i, y+j, z+l, first)
	r.best[k], r.owner[k] = float64(t), uint32(c.boxes[first].grain)<<3|sector
	return true
}

// ahead tells whether root box p has a point before root box q, by a margin: it gets there earlier,
// or at the same time and with its second faces earlier.
func (c *certifier) ahead(p, q uint32, at *[3]float64, margin float64) bool {
	s, u := c.reach(p, at)
	t, v := c.reach(q, at)
	if math.Abs(s-t) < together {
		return u+margin < v
	}
	return s+margin < t
}

// reach is the key at which a root box gets to a point, and that of its second faces.
func (c *certifier) reach(id uint32, at *[3]float64) (last, second float64) {
	b := &c.boxes[id]
	y0, y1, y2 := c.frames[b.frame].coordinates(at[0], at[1], at[2])
	t, _ := c.clock.claim(b, y0, y1, y2)
	return larger(t, c.grains[b.grain].key), c.clock.middle(b, y0, y1, y2)
}

// race is who comes first to each cell of a block, and when the next comes.
type race struct {
	best, next [64]float64
	owner      [64]uint32 // grain·8 + sector
}

// enter lets root box id, which comes no earlier than `early`, take part. Keys are those of
// clock.claim, bit by bit; the two faces of an axis stand alike.
func (c *certifier) enter(r *race, b, id uint32, early float64) {
	bx := &c.boxes[id]
	f, g := &c.frames[bx.frame], &c.grains[bx.grain]
	x0, y0, z0 := c.corner(b)
	var part [3][8][3]float64 // of the coordinates, from x, y and z
	for i := range 8 {
		for a := range 3 {
			part[0][i][a] = f.axes[3*a] * float64(x0+i)
			part[1][i][a] = f.axes[3*a+1] * float64(y0+i)
			part[2][i][a] = f.axes[3*a+2] * float64(z0+i)
		}
	}
	own := uint32(bx.grain) << 3
	for k := range uint32(64) {
		if early > r.best[k]+slack {
			continue
		}
		i, j, l := c.place(k)
		x, y, z := &part[0][i&7], &part[1][j&7], &part[2][l&7]
		ya, yb := x[0]+y[0]+z[0]-f.at[0], x[1]+y[1]+z[1]-f.at[1]
		t, sector := math.Abs(ya)-bx.faces[0], sectorOf(ya)
		if u := math.Abs(yb) - bx.faces[2]; u > t {
			t, sector = u, 2+sectorOf(yb)
		}
		home := b<<6|k == g.home // solid at once, wherever in it the nucleus lies
		if t > r.best[k]+slack && !home {
			continue
		}
		yc := x[2] + y[2] + z[2] - f.at[2]
		if u := math.Abs(yc) - bx.faces[4]; u > 0 {
			if u = c.clock.fromC(u); u > t {
				t, sector = u, sectorC+sectorOf(yc)
			}
		}
		if t <= g.key || home {
			t, sector = g.key, sectorSeed
		}
		if t < r.best[k] {
			r.best[k], r.next[k], r.owner[k] = t, r.best[k], own|sector
		} else if t < r.next[k] {
			r.next[k] = t
		}
	}
}

// sectorOf is 0 for the positive face of an axis and 1 for the negative one.
func sectorOf(y float64) uint32 {
	if y < 0 {
		return 1
	}
	return 0
}
