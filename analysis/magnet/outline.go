package magnet

import "math"

// Outlines are the lines, in mm, between columns of different grains, voids and the outside, as
// short pieces whose ends are the same numbers where they meet: through the middles of the edges of
// cells, so that lines at 45° are straight. The outline of a round body is its true one. For
// drawing over a map.
func (m *Map) Outlines() [][2][2]float64 {
	if m.check() != nil {
		return nil
	}
	var lines [][2][2]float64
	for y := range m.NY + 1 {
		for x := range m.NX + 1 {
			lines = m.meet(lines, x, y)
		}
	}
	return circle(circle(lines, m.OuterMM), m.InnerMM)
}

// circle adds a circle about x = y = 0.
func circle(lines [][2][2]float64, r float64) [][2][2]float64 {
	const pieces = 180
	at := func(k int) [2]float64 {
		s, c := math.Sincos(2 * math.Pi * float64(k%pieces) / pieces)
		return [2]float64{r * c, r * s}
	}
	for k := 0; r > 0 && k < pieces; k++ {
		lines = append(lines, [2][2]float64{at(k), at(k + 1)})
	}
	return lines
}

// meet adds the lines near the corner of cells (x-1, y-1) and (x, y).
func (m *Map) meet(lines [][2][2]float64, x, y int) [][2][2]float64 {
	around := [4]int32{m.grain(x, y), m.grain(x-1, y), m.grain(x-1, y-1), m.grain(x, y-1)} // counter-clockwise
	sides := [4][2]float64{{0, 0.5}, {-0.5, 0}, {0, -0.5}, {0.5, 0}}                       // between each and the next
	place := func(s [2]float64) [2]float64 {
		return [2]float64{m.OriginMM[0] + (float64(x)+s[0]-0.5)*m.CellMM, m.OriginMM[1] + (float64(y)+s[1]-0.5)*m.CellMM}
	}
	var ends [][2]float64
	for k, s := range sides {
		a, b := around[k], around[(k+1)%4]
		if a != b && (m.OuterMM == 0 || a != Outside && b != Outside) {
			ends = append(ends, place(s))
		}
	}
	if len(ends) == 2 {
		return append(lines, [2][2]float64{ends[0], ends[1]})
	}
	for _, e := range ends {
		lines = append(lines, [2][2]float64{e, place([2]float64{})})
	}
	return lines
}
