package measure

import (
	"math"
	"slices"
)

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
