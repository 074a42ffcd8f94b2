package magnet

import (
	"cmp"
	"errors"
	"math"
	"slices"
)

// Cut is the weakest way across a strip: no more current than this can pass along it.
type Cut struct {
	Share  float64      // of what a strip of one grain over the whole width would carry, 0 to 1
	PathMM [][2]float64 // the way, from the lower to the upper edge, in the frame of the map
}

// Strip finds the cut that limits the current along x, which enters at the left end of the map over
// its whole width and leaves at the right one. What is void or outside carries nothing.
//
// The largest flow through a plane network is the cost of the cheapest way across it. Ways go from
// corner to corner of the cells, up to three cells at a time, and cost their length times the share
// that passes: 1 within a grain. Along a boundary, which the cells render in steps, a way may go
// straight where it keeps within 0.75 cell of the steps. Slanting cuts come out up to 1.3 % too
// long by that (32 directions), those along or across the cells and at 45° exact, so Share may be
// that much too high; where a boundary turns, corners are cut by up to a cell (strip_test.go
// measures both). Steps along the cells alone, as in common networks of cells, would be up to 41 %
// too long.
func Strip(m *Map) (*Cut, error) { return strip(m, 3) }

// strip takes moves of up to reach cells; 1 without diagonals is the network of cells with four
// neighbours.
func strip(m *Map, reach int) (*Cut, error) {
	if err := m.check(); err != nil {
		return nil, err
	}
	if m.NX < 2 {
		return nil, errors.New("magnet: a strip of one cell along x: wanted at least two, for current to run along it")
	}
	c, err := newCorners(m, reach)
	if err != nil {
		return nil, err
	}
	end := c.walk(moves(reach))
	cut := &Cut{Share: c.cost[end] / float64(m.NY)}
	for u := end; u >= 0; u = int(c.from[u]) {
		x, y := float64(u%c.w)-0.5, float64(u/c.w)-0.5
		cut.PathMM = append(cut.PathMM, [2]float64{m.OriginMM[0] + x*m.CellMM, m.OriginMM[1] + y*m.CellMM})
	}
	slices.Reverse(cut.PathMM)
	return cut, nil
}

// corners is the network of the corners of cells and of the edges between them, with the share that
// passes each edge.
type corners struct {
	ways             // cells
	w, h   int       // corners along x, y
	across []float32 // of the edge from corner u to the next along x
	up     []float32 // … along y
	plain  []bool    // all edges within reach pass everything
}

func newCorners(m *Map, reach int) (*corners, error) {
	n := (m.NX + 1) * (m.NY + 1)
	c := &corners{newWays(n, 1e-12), m.NX + 1, m.NY + 1, make([]float32, n), make([]float32, n), make([]bool, n)}
	s := newShares(m)
	contact := func(i, j, beside int) int32 { // the ends are soldered: beyond them every grain goes on
		if i < 0 || i >= m.NX {
			i = beside
		}
		return m.grain(i, j)
	}
	for u := range n {
		x, y := u%c.w, u/c.w
		c.across[u] = float32(s.of(m.grain(x, y-1), m.grain(x, y)))
		c.up[u] = float32(s.of(contact(x-1, y, x), contact(x, y, x-1)))
		c.plain[u] = true
	}
	for u := range n { // an edge that does not pass everything is special; those of the map are
		if c.across[u] == 1 && c.up[u] == 1 {
			continue
		}
		x, y := u%c.w, u/c.w
		for v := max(0, y-reach); v <= min(c.h-1, y+reach); v++ {
			for near := max(0, x-reach); near <= min(c.w-1, x+reach); near++ {
				c.plain[v*c.w+near] = false
			}
		}
	}
	return c, s.err
}

// walk finds the cheapest ways from the lower edge until one has come to the upper edge, and tells
// where.
func (c *corners) walk(all []move) int {
	for x := range c.w {
		c.reach(x, 0, -1)
	}
	for {
		u, ok := c.next()
		if !ok || u >= (c.h-1)*c.w {
			return u
		}
		x, y := u%c.w, u/c.w
		for k := range all {
			m := &all[k]
			if x+m.dx < 0 || x+m.dx >= c.w || y+m.dy < 0 || y+m.dy >= c.h {
				continue
			}
			v := u + m.dy*c.w + m.dx
			switch cost := c.cost[u]; {
			case cost >= c.cost[v]:
			case c.plain[u]:
				c.reach(v, cost+m.length, u)
			default:
				c.reach(v, cost+m.length*c.share(u, m), u)
			}
		}
	}
}

// share is that of a move: of its flights of steps the weakest, of a flight the strongest step, so
// that no way gets the share of a boundary without going along it.
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

// move is a straight part of a way across a strip, from one corner of cells to another.
type move struct {
	dx, dy  int
	length  float64    // in cells
	flights [][][2]int // the flights of steps along cells that stand for it: near the line, and never back
}

// aside is how far steps may lie from the straight line, in cells: those of a line at 45° do by
// 0.71.
const aside = 0.75

// moves are all straight moves of up to reach cells each way that are not two shorter ones. With
// reach 1 only the four steps.
func moves(reach int) []move {
	var all []move
	for dy := -reach; dy <= reach; dy++ {
		for dx := -reach; dx <= reach; dx++ {
			step := abs(dx)+abs(dy) == 1
			if common(abs(dx), abs(dy)) != 1 || reach == 1 && !step {
				continue
			}
			m := move{dx: dx, dy: dy, length: math.Hypot(float64(dx), float64(dy))}
			m.climb(0, 0, nil)
			all = append(all, m)
		}
	}
	return all
}

// climb finds the flights that go on from (x, y) after the steps done.
func (m *move) climb(x, y int, done [][2]int) {
	if x == m.dx && y == m.dy {
		m.flights = append(m.flights, slices.Clone(done))
		return
	}
	for _, s := range [][2]int{{cmp.Compare(m.dx, 0), 0}, {0, cmp.Compare(m.dy, 0)}} {
		p, q := x+s[0], y+s[1]
		if s == [2]int{} || abs(p) > abs(m.dx) || abs(q) > abs(m.dy) || float64(abs(p*m.dy-q*m.dx)) > aside*m.length {
			continue
		}
		m.climb(p, q, append(done, s))
	}
}

func abs(x int) int { return max(x, -x) }

// common is the greatest common divisor.
func common(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
