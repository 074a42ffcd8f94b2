package scene

import "math"

// solid is an extruded body with a quarter cut out, as rays meet it. Lengths are in cells, from the
// corner of the first cell.
type solid struct {
	cells *Cells
	cut   [2]float64 // the quarter x > cut[0], y < cut[1] is away
	body  []float64  // share of each column and its neighbours of the body: at a half is the outline
	block bool       // every column is of the body
}

func newSolid(c *Cells) *solid {
	nx, ny := c.N[0], c.N[1]
	s := &solid{cells: c, cut: nearestSeed(c), block: true, body: make([]float64, nx*ny)}
	for i, g := range c.Grain[c.at(0, 0, c.N[2]-1):] {
		if g != outside {
			s.body[i] = 1
		} else {
			s.block = false
		}
	}
	s.body = smoothed(smoothed(s.body, nx, ny), nx, ny)
	return s
}

// nearestSeed is the seed nearest to the viewer, in cells; the middle of the body without one. The
// quarter before it is cut out, so that the seed and the inside are seen.
func nearestSeed(c *Cells) (at [2]float64) {
	at = [2]float64{float64(c.N[0]) / 2, float64(c.N[1]) / 2}
	best := math.Inf(-1)
	for _, g := range c.Grains {
		if near := g.AtMM[0] - g.AtMM[1]; g.Seeded && near > best {
			best = near
			for axis := range at {
				place := (g.AtMM[axis]-c.Origin[axis])/c.CellMM + 0.5
				at[axis] = math.Max(0, math.Min(float64(c.N[axis]), place))
			}
		}
	}
	return at
}

// smoothed is the mean over 5 × 5 columns, so that a round outline is not seen as a staircase.
func smoothed(column []float64, nx, ny int) []float64 {
	out := make([]float64, len(column))
	for n := range out {
		i, j, sum := n%nx, n/nx, 0.0
		for dj := max(j-2, 0); dj <= min(j+2, ny-1); dj++ {
			for di := max(i-2, 0); di <= min(i+2, nx-1); di++ {
				sum += column[dj*nx+di]
			}
		}
		out[n] = sum / 25
	}
	return out
}

// share is how much of the surroundings of a place is of the body, linear between the middles of
// columns.
func (s *solid) share(x, y float64) float64 {
	nx, ny := s.cells.N[0], s.cells.N[1]
	if x < 0 || y < 0 || x > float64(nx) || y > float64(ny) {
		return 0
	}
	if s.block {
		return 1
	}
	i, j := int(math.Floor(x-0.5)), int(math.Floor(y-0.5))
	u, v := x-0.5-float64(i), y-0.5-float64(j)
	at := func(i, j int) float64 {
		if i < 0 || j < 0 || i >= nx || j >= ny {
			return 0
		}
		return s.body[j*nx+i]
	}
	return (1-v)*((1-u)*at(i, j)+u*at(i+1, j)) + v*((1-u)*at(i, j+1)+u*at(i+1, j+1))
}

// away tells whether a place lies in the quarter that is cut out.
func (s *solid) away(x, y float64) bool { return x > s.cut[0] && y < s.cut[1] }

// filled tells whether a place is of what is left of the body.
func (s *solid) filled(p vector) bool {
	return p[2] >= 0 && p[2] <= float64(s.cells.N[2]) && !s.away(p[0], p[1]) && s.share(p[0], p[1]) >= 0.5
}

// face is the side of the body that a ray meets.
type face uint8

const (
	noFace   face = iota
	topFace       // from above
	cutXFace      // a cut across x
	cutYFace      // a cut across y
	sideFace      // the outside
)

// meet follows a ray from p on the plane of the top face away from the viewer and finds where it
// first meets the body.
func (s *solid) meet(p, away vector) (vector, face) {
	if s.filled(p) {
		return p, topFace
	}
	const step = 0.8
	depth := float64(s.cells.N[2]) / -away[2]
	for way := s.entry(p, away) + step; way <= depth+step; way += step {
		if !s.filled(p.along(away, math.Min(way, depth))) {
			continue
		}
		low, high := way-step, math.Min(way, depth)
		for range 8 {
			if mid := (low + high) / 2; s.filled(p.along(away, mid)) {
				high = mid
			} else {
				low = mid
			}
		}
		return p.along(away, high), s.side(p.along(away, low))
	}
	return p, noFace
}

// entry is how far a ray may be followed before it comes over the body's box.
func (s *solid) entry(p, away vector) (way float64) {
	for axis := range 2 {
		size := float64(s.cells.N[axis])
		switch {
		case p[axis] < 0 && away[axis] > 0:
			way = math.Max(way, -p[axis]/away[axis])
		case p[axis] > size && away[axis] < 0:
			way = math.Max(way, (size-p[axis])/away[axis])
		case p[axis] < 0 || p[axis] > size:
			return math.Inf(1)
		}
	}
	return way
}

// side tells by the last free place of a ray, just before the body, what it runs into.
func (s *solid) side(before vector) face {
	if !s.away(before[0], before[1]) || s.share(before[0], before[1]) < 0.5 {
		return sideFace
	}
	if before[0]-s.cut[0] < s.cut[1]-before[1] {
		return cutXFace
	}
	return cutYFace
}

// slope is how a side lies: the unit vector across the outline, outwards.
func (s *solid) slope(p vector) (x, y float64) {
	const reach = 1.5
	share := func(dx, dy float64) float64 {
		x, y := p[0]+dx, p[1]+dy
		if !s.block {
			x, y = math.Max(0, math.Min(float64(s.cells.N[0]), x)), math.Max(0, math.Min(float64(s.cells.N[1]), y))
		}
		return s.share(x, y)
	}
	x, y = share(-reach, 0)-share(reach, 0), share(0, -reach)-share(0, reach)
	if long := math.Hypot(x, y); long > 0 {
		return x / long, y / long
	}
	return 0, -1
}

// inside is the cell, or the nearest one of the body: a smooth outline reaches a little beyond the
// cells.
func (s *solid) inside(at [3]int) [3]int {
	c := s.cells
	if c.Grain[c.at(at[0], at[1], at[2])] != outside {
		return at
	}
	best, found := math.MaxInt, at
	for j := max(at[1]-3, 0); j <= min(at[1]+3, c.N[1]-1); j++ {
		for i := max(at[0]-3, 0); i <= min(at[0]+3, c.N[0]-1); i++ {
			di, dj := i-at[0], j-at[1]
			if far := di*di + dj*dj; far < best && c.Grain[c.at(i, j, at[2])] != outside {
				best, found = far, [3]int{i, j, at[2]}
			}
		}
	}
	return found
}
