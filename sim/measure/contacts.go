package measure

import (
	"sort"

	"onegrain/sim/growth"
)

// contacts collects the faces between cells of different grains, as vectors from the lower grain to the higher one, summed
// over patches: what of a boundary lies in a block of two cells along each axis. See surface for the areas.
type contacts struct {
	index map[patch]int // into sum
	keys  []patch       // in the order met
	sum   [][3]int32    // faces across x, y, z, signed
	now   int           // the patch met last, to save looking it up
}

// patch is a pair of grains, a < b, and a block.
type patch struct {
	a, b    int32
	i, j, k int32
}

// row meets a row with itself, the row before and the row below, whose owners it replaces by its own.
func (c *contacts) row(row []growth.Cell, before, under []int32, j, k int) {
	left := int32(growth.NoBody)
	for i := range row {
		g := row[i].Grain
		if g >= 0 {
			if left != g && left >= 0 {
				c.face(left, g, 0, i, j, k)
			}
			if b := before[i]; b != g && b >= 0 {
				c.face(b, g, 1, i, j, k)
			}
			if u := under[i]; u != g && u >= 0 {
				c.face(u, g, 2, i, j, k)
			}
		}
		left, under[i] = g, g
	}
}

// face adds one face across an axis, on the low side of cell (i, j, k).
func (c *contacts) face(low, high int32, axis, i, j, k int) {
	sign := int32(1)
	if low > high {
		low, high, sign = high, low, -1
	}
	p := patch{low, high, int32(i >> 1), int32(j >> 1), int32(k >> 1)}
	if len(c.keys) == 0 || c.keys[c.now] != p {
		n, ok := c.index[p]
		if !ok {
			n = len(c.keys)
			c.index[p] = n
			c.keys, c.sum = append(c.keys, p), append(c.sum, [3]int32{})
		}
		c.now = n
	}
	c.sum[c.now][axis] += sign
}

// wrap meets the joined faces of a periodic body.
func (c *contacts) wrap(field rows, n [3]int) {
	low, high := make([]growth.Cell, n[0]), make([]growth.Cell, n[0])
	meet := func(axis, j, k int) {
		for i := range low {
			if a, b := high[i].Grain, low[i].Grain; a != b && a >= 0 && b >= 0 {
				c.face(a, b, axis, i, j, k)
			}
		}
	}
	for k := range n[2] {
		for j := range n[1] {
			field.Row(j, k, low)
			if a, b := low[n[0]-1].Grain, low[0].Grain; a != b && a >= 0 && b >= 0 {
				c.face(a, b, 0, 0, j, k)
			}
		}
		field.Row(0, k, low)
		field.Row(n[1]-1, k, high)
		meet(1, 0, k)
	}
	for j := range n[1] {
		field.Row(j, 0, low)
		field.Row(j, n[2]-1, high)
		meet(2, j, 0)
	}
}

// pair is two touching grains, a < b, and the area between them in faces of a cell.
type pair struct {
	a, b  int
	faces float64
}

// pairs are all touching pairs in the order of their grains.
func (c *contacts) pairs() (list []pair) {
	s := surface{keys: c.keys, sum: c.sum, area: make([]float64, len(c.sum))}
	for n, v := range c.sum {
		s.area[n] = length(v)
	}
	for range coarsenings {
		s = s.coarser()
	}
	at := map[[2]int32]int{}
	for n, p := range s.keys {
		ab := [2]int32{p.a, p.b}
		m, ok := at[ab]
		if !ok {
			m = len(list)
			at[ab] = m
			list = append(list, pair{a: int(p.a), b: int(p.b)})
		}
		list[m].faces += s.area[n]
	}
	sort.Slice(list, func(i, j int) bool {
		if list[i].a != list[j].a {
			return list[i].a < list[j].a
		}
		return list[i].b < list[j].b
	})
	return list
}
