package measure

import "math"

// Patches of two cells are joined to four and then to eight, each time only where the joined one is flat.
const (
	coarsenings = 2
	flatness    = 0.88 // a joined patch whose vector is this part of its pieces' areas, or more, is flat
)

// surface is boundaries in patches of one size. The faces of a patch add up to its vector area, which does not depend on the
// staircase that the cells make of it: the length of the vector is the area of a flat patch, whatever its turn, where counting
// faces would give up to √3 times as much. Large patches have less of a ragged rim, small ones cut off less at an edge; so
// patches grow where the boundary is flat. 0.88 was chosen by trial between planes, spheres and boxes: planes come out
// within 4 %, spheres of 6 cells radius and more and boxes of 12 cells edge and more within 5 % (the tests hold it to that).
type surface struct {
	keys []patch
	sum  [][3]int32
	area []float64
}

// coarser joins patches eight by eight.
func (s surface) coarser() (big surface) {
	index := map[patch]int{}
	for n, p := range s.keys {
		p.i, p.j, p.k = p.i>>1, p.j>>1, p.k>>1
		m, ok := index[p]
		if !ok {
			m = len(big.keys)
			index[p] = m
			big.keys, big.sum, big.area = append(big.keys, p), append(big.sum, [3]int32{}), append(big.area, 0)
		}
		for a, v := range s.sum[n] {
			big.sum[m][a] += v
		}
		big.area[m] += s.area[n]
	}
	for m, v := range big.sum {
		if l := length(v); l > flatness*big.area[m] {
			big.area[m] = l
		}
	}
	return big
}

func length(v [3]int32) float64 {
	x, y, z := float64(v[0]), float64(v[1]), float64(v[2])
	return math.Sqrt(float64(x*x) + float64(y*y) + float64(z*z))
}
