package chart

import "math"

// solid is an extruded body with a quarter cut out, as rays meet it. Lengths are in cells, from the corner of the first cell.
type solid struct {
	cells  *Cells
	untilH float64
	cut    [2]float64 // the quarter x > cut[0], y < cut[1] is away
	body   []float64  // share of each column and its neighbours that is of the body: its outline is where this passes a half
	block  bool       // every column is of the body
	planes [3][]*view // planes of cells, made when first seen
}

func newSolid(c *Cells, untilH float64) *solid {
	s := &solid{cells: c, untilH: untilH, cut: nearestSeed(c), block: true}
	nx, ny := c.N[0], c.N[1]
	column := make([]float64, nx*ny)
	for j := range ny {
		for i := range nx {
			if c.Grain[c.at(i, j, c.N[2]-1)] != outside {
				column[j*nx+i] = 1
			} else {
				s.block = false
			}
		}
	}
	s.body = smoothed(smoothed(column, nx, ny), nx, ny)
	if s.block {
		s.body = column
	}
	for axis := range s.planes {
		s.planes[axis] = make([]*view, c.N[axis])
	}
	return s
}

// nearestSeed is the seed nearest to the eye, in cells; the middle of the body without one.
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
	for j := range ny {
		for i := range nx {
			sum := 0.0
			for dj := j - 2; dj <= j+2; dj++ {
				for di := i - 2; di <= i+2; di++ {
					if di >= 0 && dj >= 0 && di < nx && dj < ny {
						sum += column[dj*nx+di]
					}
				}
			}
			out[j*nx+i] = sum / 25
		}
	}
	return out
}

// share is how much of the surroundings of a place is of the body, linear between the middles of columns.
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

// meet follows a ray from p on the plane of the top face away from the eye and finds where it first meets the body.
func (s *solid) meet(p, away vector) (vector, face) {
	if s.filled(p) {
		return p, topFace
	}
	const step = 0.8
	depth := float64(s.cells.N[2]) / -away[2]
	for way := s.entry(p, away) + step; way <= depth+step; way += step {
		q := p.along(away, math.Min(way, depth))
		if s.filled(q) {
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

// plane is the layer of cells that looks along an axis and holds a place on it.
func (s *solid) plane(axis, index int) *view {
	if s.planes[axis][index] == nil {
		s.planes[axis][index] = planeAt(s.cells, axis, index, s.untilH)
	}
	return s.planes[axis][index]
}

// slope is how a side lies: the unit vector across the outline, outwards.
func (s *solid) slope(p vector) (x, y float64) {
	const reach = 1.5
	clamp := func(v float64, n int) float64 { return math.Max(0, math.Min(float64(n), v)) }
	f := func(dx, dy float64) float64 {
		x, y := p[0]+dx, p[1]+dy
		if s.block {
			if x < 0 || y < 0 || x > float64(s.cells.N[0]) || y > float64(s.cells.N[1]) {
				return 0
			}
			return 1
		}
		return s.share(clamp(x, s.cells.N[0]), clamp(y, s.cells.N[1]))
	}
	x, y = f(-reach, 0)-f(reach, 0), f(0, -reach)-f(0, reach)
	if long := math.Hypot(x, y); long > 0 {
		return x / long, y / long
	}
	return 0, -1
}
