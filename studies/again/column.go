package again

import "onegrain/analysis/magnet"

// block is the cells of a box around a body, and the domain of each grain.
type block struct {
	n      [3]int // cells along x, y, z
	grain  []int32
	domain []int
}

// columns gives each column of cells what judge says of its cells, from the bottom to the top;
// Outside where it is not of the body.
func (b block) columns(judge func(column []int32) int32) []int32 {
	layer := b.n[0] * b.n[1]
	out, column := make([]int32, layer), make([]int32, b.n[2])
	for u := range out {
		inside := false
		for k := range column {
			column[k] = b.grain[k*layer+u]
			inside = inside || column[k] >= -1
		}
		out[u] = magnet.Outside
		if inside {
			out[u] = judge(column)
		}
	}
	return out
}

// stray tells whether a cell is of no domain.
func (b block) stray(grain int32) bool { return grain < 0 || b.domain[grain] < 0 }

// clear are the columns of one domain from bottom to top, named by their top grain. All others are
// void.
func (b block) clear() []int32 {
	return b.columns(func(column []int32) int32 {
		top := column[len(column)-1]
		for _, g := range column {
			if b.stray(g) || b.domain[g] != b.domain[top] {
				return magnet.Void
			}
		}
		return top
	})
}

// seeded are the columns of seeded grains from bottom to top, named by the grain that has most of
// their cells, of equals the higher one. So a boundary that slants through the body is a line, and
// no band without current.
func (b block) seeded() []int32 {
	count := make([]int, len(b.domain))
	return b.columns(func(column []int32) int32 {
		most := magnet.Void
		for _, g := range column {
			if b.stray(g) {
				most = magnet.Void
				break
			}
			count[g]++
			if most < 0 || count[g] >= count[most] {
				most = g
			}
		}
		for _, g := range column {
			if g >= 0 {
				count[g] = 0
			}
		}
		return most
	})
}

// shown are the seeded columns with, where there is no current, what stops it: the uppermost stray,
// or liquid.
func (b block) shown() []int32 {
	shown := b.columns(func(column []int32) int32 {
		for k := len(column) - 1; k >= 0; k-- {
			if g := column[k]; g >= 0 && b.stray(g) {
				return g
			}
		}
		return magnet.Void
	})
	for u, g := range b.seeded() {
		if g >= 0 {
			shown[u] = g
		}
	}
	return shown
}

// renamed is the same map with other names of the grains.
func renamed(m *magnet.Map, name func(grain int32) int32) *magnet.Map {
	other := *m
	other.Grain = make([]int32, len(m.Grain))
	for u, g := range m.Grain {
		other.Grain[u] = name(g)
	}
	return &other
}

// turned is the map with x and y exchanged.
func turned(m *magnet.Map) *magnet.Map {
	t := *m
	t.NX, t.NY, t.OriginMM = m.NY, m.NX, [2]float64{m.OriginMM[1], m.OriginMM[0]}
	t.Grain = make([]int32, len(m.Grain))
	for j := range m.NY {
		for i := range m.NX {
			t.Grain[i*m.NY+j] = m.Grain[j*m.NX+i]
		}
	}
	return &t
}
