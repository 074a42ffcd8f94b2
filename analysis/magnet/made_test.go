package magnet

import "math"

// made is a map of n × n cells about x = y = 0, width mm wide, whose grains are what grain says of
// the centres of cells.
func made(n int, width float64, grain func(x, y float64) int32) *Map {
	h := width / float64(n)
	m := &Map{NX: n, NY: n, CellMM: h, OriginMM: [2]float64{(h - width) / 2, (h - width) / 2}, Grain: make([]int32, n*n)}
	for u := range m.Grain {
		m.Grain[u] = grain(m.at(u))
	}
	return m
}

func (m *Map) at(u int) (x, y float64) {
	return m.OriginMM[0] + float64(u%m.NX)*m.CellMM, m.OriginMM[1] + float64(u/m.NX)*m.CellMM
}

// square is one grain of half width w, n cells wide, with room beside it.
func square(n int, w float64) *Map {
	room := max(2, n/8)
	all := n + 2*room
	return made(all, 2*w*float64(all)/float64(n), func(x, y float64) int32 {
		if math.Max(math.Abs(x), math.Abs(y)) > w {
			return Outside
		}
		return 0
	})
}

// round is one grain between two radii with true outlines, n cells wide.
func round(n int, outer, inner float64) *Map {
	m := made(n+4, 2*outer*float64(n+4)/float64(n), func(x, y float64) int32 {
		if r := math.Hypot(x, y); r > outer || r < inner {
			return Outside
		}
		return 0
	})
	m.OuterMM, m.InnerMM = outer, inner
	return m
}

// disc is the field on the axis of a disc with even azimuthal current, T: closed form, see
// TestDisc.
func disc(j, a, t, z float64) float64 {
	part := func(q float64) float64 {
		if q == 0 {
			return 0
		}
		return q * math.Asinh(a/q)
	}
	return mu0 * j / 2 * (part(z+t) - part(z)) * 1e-3
}

// length is that of the path of a cut, mm.
func length(c *Cut) (mm float64) {
	for k := range len(c.PathMM) - 1 {
		a, b := c.PathMM[k], c.PathMM[k+1]
		mm += math.Hypot(b[0]-a[0], b[1]-a[1])
	}
	return mm
}
