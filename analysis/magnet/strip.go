package magnet

import (
	"errors"
	"math"
)

// Cut is the weakest way across a strip: no more current than this can pass along it.
type Cut struct {
	Share    float64      // of what a strip of one grain over the whole width would carry, 0 to 1
	PathMM   [][2]float64 // the way, from the lower to the upper edge, in the frame of the map
	GrainsMM float64      // length of it through grains, where all the critical current passes, mm
	SeamsMM  float64      // length along boundaries that pass a share, mm
	VoidsMM  float64      // length through voids and along the edges, mm
}

// Strip finds the cut that limits the current along x, which enters at the left end of the map over its whole width and leaves
// at the right one. What is void or outside carries nothing.
//
// The largest flow through a plane network is the cost of the cheapest way across it. Ways go from corner to corner of the cells,
// up to three cells at a time, and cost their length times the share that passes: 1 within a grain. Along a boundary, which
// the cells render in steps, a way may go straight where it keeps within 0.75 cell of the steps. Slanting cuts come out up to 1.3 % too
// long by that (32 directions), those along or across the cells and at 45° exact, so Share may be that much too high; where a
// boundary turns, corners are cut by up to a cell (strip_test.go measures both). Steps along the cells alone, as in common networks of cells, would
// be up to 41 % too long.
func Strip(m *Map) (*Cut, error) { return strip(m, 3) }

// strip takes moves of up to reach cells; 1 without diagonals is the network of cells with four neighbours.
func strip(m *Map, reach int) (*Cut, error) {
	if err := m.check(); err != nil {
		return nil, err
	}
	if m.NX < 2 {
		return nil, errors.New("magnet: a strip of one cell along x: wanted at least two, for current to run along it")
	}
	c := newCorners(m)
	if c.err != nil {
		return nil, c.err
	}
	c.clear(reach)
	end := c.walk(moves(reach))
	return c.cut(end), nil
}

// corners is the network of the corners of cells and of the edges between them, with the share that passes each edge.
type corners struct {
	on     *Map
	w, h   int       // corners along x, y
	across []float32 // of the edge from corner u to the next along x
	up     []float32 // … along y
	plain  []bool    // all edges within reach pass everything
	cost   []float64 // in cells
	before []int32
	err    error
}

func newCorners(m *Map) *corners {
	c := &corners{on: m, w: m.NX + 1, h: m.NY + 1}
	n := c.w * c.h
	c.across, c.up, c.cost, c.before = make([]float32, n), make([]float32, n), make([]float64, n), make([]int32, n)
	s := newShares(m)
	for y := range c.h {
		for x := range c.w {
			u := y*c.w + x
			c.cost[u], c.before[u] = math.Inf(1), -1
			c.across[u] = float32(s.of(m.grain(x, y-1), m.grain(x, y)))
			c.up[u] = float32(s.of(m.contact(x-1, y, x), m.contact(x, y, x-1)))
		}
	}
	c.err = s.err
	return c
}

// grain is the grain of a cell; Outside off the map.
func (m *Map) grain(i, j int) int32 {
	if i < 0 || j < 0 || i >= m.NX || j >= m.NY {
		return Outside
	}
	return m.Grain[j*m.NX+i]
}

// contact is the grain of cell (i, j) beside column beside. The ends are soldered: beyond them every grain goes on.
func (m *Map) contact(i, j, beside int) int32 {
	if i < 0 || i >= m.NX {
		i = beside
	}
	return m.grain(i, j)
}

// clear marks the corners with nothing but whole grains within reach.
func (c *corners) clear(reach int) {
	c.plain = make([]bool, len(c.cost))
	rows := make([]int32, len(c.cost)) // per corner, the distance to the left-hand or right-hand nearest special one, up to reach
	for y := range c.h {
		for x := range c.w {
			rows[y*c.w+x] = int32(reach + 1)
			for d := range reach + 1 {
				if x-d >= 0 && c.special(x-d, y) || x+d < c.w && c.special(x+d, y) {
					rows[y*c.w+x] = int32(d)
					break
				}
			}
		}
	}
	for y := range c.h {
		for x := range c.w {
			plain := true
			for v := max(0, y-reach); v <= min(c.h-1, y+reach); v++ {
				plain = plain && rows[v*c.w+x] > int32(reach)
			}
			c.plain[y*c.w+x] = plain
		}
	}
}

// special tells whether an edge that starts at a corner does not pass everything. The edges of the map are special.
func (c *corners) special(x, y int) bool {
	u := y*c.w + x
	return c.across[u] < 1 || c.up[u] < 1
}

// walk finds the cheapest ways from the lower edge until one has come to the upper edge, and tells where.
func (c *corners) walk(all []move) int {
	var q queue
	for x := range c.w {
		c.cost[x] = 0
		q.push(0, int32(x))
	}
	for {
		next, ok := q.pop()
		u := int(next.at)
		if !ok || u >= (c.h-1)*c.w {
			return u
		}
		if next.cost > c.cost[u] {
			continue // out of date
		}
		x, y := u%c.w, u/c.w
		for k := range all {
			m := &all[k]
			if x+m.dx < 0 || x+m.dx >= c.w || y+m.dy < 0 || y+m.dy >= c.h {
				continue
			}
			v := u + m.dy*c.w + m.dx
			if next.cost >= c.cost[v] {
				continue
			}
			cost := next.cost + m.length
			if !c.plain[u] {
				cost = next.cost + m.length*c.share(u, m)
			}
			if cost < c.cost[v]-1e-12 {
				c.cost[v], c.before[v] = cost, int32(u)
				q.push(cost, int32(v))
			}
		}
	}
}

// share is that of a move: of its flights of steps the weakest, of a flight the strongest step, so that no way gets the
// share of a boundary without going along it.
func (c *corners) share(u int, m *move) float64 {
	weakest := float32(1)
	for _, flight := range m.flights {
		strongest, x := float32(0), u
		for _, s := range flight {
			y := x + s[1]*c.w + s[0]
			from := min(x, y)
			if s[0] != 0 {
				strongest = max(strongest, c.across[from])
			} else {
				strongest = max(strongest, c.up[from])
			}
			x = y
		}
		weakest = min(weakest, strongest)
	}
	return float64(weakest)
}

// cut walks back from a corner on the upper edge.
func (c *corners) cut(end int) *Cut {
	m := c.on
	cut := &Cut{Share: c.cost[end] / float64(m.NY)}
	place := func(u int) [2]float64 {
		return [2]float64{m.OriginMM[0] + (float64(u%c.w)-0.5)*m.CellMM, m.OriginMM[1] + (float64(u/c.w)-0.5)*m.CellMM}
	}
	for u := end; u >= 0; u = int(c.before[u]) {
		cut.PathMM = append(cut.PathMM, place(u))
		v := int(c.before[u])
		if v < 0 {
			break
		}
		length := math.Hypot(float64(u%c.w-v%c.w), float64(u/c.w-v/c.w))
		switch share := (c.cost[u] - c.cost[v]) / length; {
		case share > 1-1e-6:
			cut.GrainsMM += length * m.CellMM
		case share > 1e-12:
			cut.SeamsMM += length * m.CellMM
		default:
			cut.VoidsMM += length * m.CellMM
		}
	}
	for a, b := 0, len(cut.PathMM)-1; a < b; a, b = a+1, b-1 {
		cut.PathMM[a], cut.PathMM[b] = cut.PathMM[b], cut.PathMM[a]
	}
	return cut
}
