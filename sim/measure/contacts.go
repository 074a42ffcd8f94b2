package measure

import (
	"cmp"
	"math"
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
// axis. See patches for the areas.
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

// Patches of two cells are joined to four and then to eight, each time only where the joined one is
// flat.
const (
	coarsenings = 2
	flatness    = 0.88 // a joined patch whose vector is this part of its pieces' areas, or more, is flat
)

// patch is a pair of grains, a < b, and a block.
type patch struct {
	a, b    int32
	i, j, k int32
}

// facet is what a boundary has in a patch.
type facet struct {
	sum  [3]int32 // faces across x, y, z, signed
	area float64  // in faces of a cell
}

// patches are boundaries in patches of one size. The faces of a patch add up to its vector area,
// which does not depend on the staircase that the cells make of it: the length of the vector is the
// area of a flat patch, whatever its turn, where counting faces would give up to √3 times as much.
// Large patches have less of a ragged rim, small ones cut off less at an edge; so patches grow
// where the boundary is flat. 0.88 was chosen by trial between planes, spheres and boxes: planes
// come out within 4 %, spheres of 6 cells radius and more and boxes of 12 cells edge and more
// within 5 % (the tests hold it to that).
type patches = byKey[patch, facet]

// surface is the patches with their areas, joined where flat.
func (c *contacts) surface() patches {
	s := patches{keys: c.keys, values: slices.Clone(c.values)}
	for n := range s.values {
		s.values[n].area = length(s.values[n].sum)
	}
	for range coarsenings {
		s = coarser(s)
	}
	return s
}

// coarser joins patches eight by eight.
func coarser(s patches) (big patches) {
	for n, p := range s.keys {
		f := big.at(patch{p.a, p.b, p.i >> 1, p.j >> 1, p.k >> 1})
		for a, v := range s.values[n].sum {
			f.sum[a] += v
		}
		f.area += s.values[n].area
	}
	for n := range big.values {
		f := &big.values[n]
		if l := length(f.sum); l > flatness*f.area {
			f.area = l
		}
	}
	return big
}

func length(v [3]int32) float64 {
	x, y, z := float64(v[0]), float64(v[1]), float64(v[2])
	return math.Sqrt(float64(x*x) + float64(y*y) + float64(z*z))
}

// Boundary is a pair of grains with a common face.
type Boundary struct {
	Grain1, Grain2    int     // indices in Outcome.Grains, Grain1 < Grain2
	AreaMM2           float64 // good to a few per cent, see contacts; in a plane a length × its thickness, or × 1 mm
	DisorientationDeg float64 // under 422
	CAxisAngleDeg     float64 // between the c axes
	LowAngle          bool    // disorientation within the joinDeg of Look, which makes one domain of seeded grains
}

// Boundaries are all touching pairs in the order of their grains.
func (s *Survey) Boundaries() []Boundary {
	face := s.on.Grid.CellVolume() / s.on.Grid.CellMM
	var list []Boundary
	for _, p := range s.contacts.pairs() {
		a, b := s.grains[p.a].Orientation, s.grains[p.b].Orientation
		d := a.DisorientationDeg(b)
		list = append(list, Boundary{p.a, p.b, p.faces * face, d, a.CAxisAngleDeg(b), d <= s.joinDeg})
	}
	return list
}
