package measure

import (
	"cmp"
	"slices"

	"onegrain/sim/growth"
)

// byKey holds values under keys, in the order in which the keys first came.
type byKey[K comparable, V any] struct {
	index  map[K]int
	keys   []K
	values []V
	now    int // the key asked for last, to save looking it up
}

// at is the value of a key, zero at first.
func (m *byKey[K, V]) at(k K) *V {
	if len(m.keys) == 0 || m.keys[m.now] != k {
		n, ok := m.index[k]
		if !ok {
			if n = len(m.keys); n == 0 {
				m.index = map[K]int{}
			}
			m.index[k] = n
			var none V
			m.keys, m.values = append(m.keys, k), append(m.values, none)
		}
		m.now = n
	}
	return &m.values[m.now]
}

// contacts collects the faces between cells of different grains, as vectors from the lower grain to
// the higher one, summed over patches: what of a boundary lies in a block of two cells along each
// axis. See surface.go for the areas.
type contacts struct{ patches }

// row meets a row with itself, the row before and the row below, whose owners it replaces by its
// own.
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
	c.at(patch{low, high, int32(i >> 1), int32(j >> 1), int32(k >> 1)}).sum[axis] += sign
}

// wrap meets the joined faces of a periodic body.
func (c *contacts) wrap(field rows, n [3]int) {
	low, high := make([]growth.Cell, n[0]), make([]growth.Cell, n[0])
	meet := func(high, low growth.Cell, axis, i, j, k int) {
		if a, b := high.Grain, low.Grain; a != b && a >= 0 && b >= 0 {
			c.face(a, b, axis, i, j, k)
		}
	}
	across := func(axis, j, k, farJ, farK int) {
		field.Row(j, k, low)
		field.Row(farJ, farK, high)
		for i := range low {
			meet(high[i], low[i], axis, i, j, k)
		}
	}
	for k := range n[2] {
		for j := range n[1] {
			field.Row(j, k, low)
			meet(low[n[0]-1], low[0], 0, 0, j, k)
		}
		across(1, 0, k, n[1]-1, k)
	}
	for j := range n[1] {
		across(2, j, 0, j, n[2]-1)
	}
}

// pair is two touching grains, a < b, and the area between them in faces of a cell.
type pair struct {
	a, b  int
	faces float64
}

// pairs are all touching pairs in the order of their grains.
func (c *contacts) pairs() []pair {
	var areas byKey[[2]int32, float64]
	s := c.surface()
	for n, p := range s.keys {
		*areas.at([2]int32{p.a, p.b}) += s.values[n].area
	}
	list := make([]pair, len(areas.keys))
	for n, ab := range areas.keys {
		list[n] = pair{int(ab[0]), int(ab[1]), areas.values[n]}
	}
	slices.SortFunc(list, func(p, q pair) int { return cmp.Or(cmp.Compare(p.a, q.a), cmp.Compare(p.b, q.b)) })
	return list
}
