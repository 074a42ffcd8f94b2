package body

// point is a cell of the outline.
type point struct{ x, y int64 }

// cross is twice the area of the triangle a, b, c: above zero where c lies left of the line from a
// to b. Exact, since whole numbers below 2³¹ in a grid of fewer than 2³¹ cells cannot overflow it.
func cross(a, b, c point) int64 { return (b.x-a.x)*(c.y-a.y) - (b.y-a.y)*(c.x-a.x) }

// hull is the convex hull of the centres of the body's cells, counter-clockwise, by the monotone
// chain of A. M. Andrew, Inf. Process. Lett. 9 (1979) 216. Centres, not corners: the staircase of a
// slanting or round edge is no notch then.
func (g *Grid) hull() []point {
	var low, high []point
	nx, ny, _ := g.Layer()
	for x := range nx { // only the ends of each column can be corners
		first, last := -1, -1
		for y := range ny {
			if g.outline[y*nx+x] == Inside {
				if first < 0 {
					first = y
				}
				last = y
			}
		}
		if first >= 0 {
			low = chain(low, point{int64(x), int64(first)}, 1)
			high = chain(high, point{int64(x), int64(last)}, -1)
		}
	}
	for i := len(high) - 1; i >= 0; i-- {
		low = append(low, high[i])
	}
	return low
}

// chain adds a point and drops those before it that are no corners; turn is 1 for the lower side
// and −1 for the upper.
func chain(c []point, p point, turn int64) []point {
	for len(c) > 1 && turn*cross(c[len(c)-2], c[len(c)-1], p) <= 0 {
		c = c[:len(c)-1]
	}
	return append(c, p)
}

// depth tells whether a point lies in the hull, and whether it is at least one cell away from every
// edge of it.
func depth(hull []point, p point) (in, deep bool) {
	deep = true
	for i, a := range hull {
		b := hull[(i+1)%len(hull)]
		if a == b {
			continue
		}
		c := cross(a, b, p)
		if c < 0 {
			return false, false
		}
		if long := (b.x-a.x)*(b.x-a.x) + (b.y-a.y)*(b.y-a.y); float64(c)*float64(c) < float64(long) {
			deep = false
		}
	}
	return true, deep
}

// obstruct marks as Obstacle what lies in the hull and not in the body. A pocket that nowhere
// reaches a cell deep is left Outside: a straight edge that went through the pixels of a picture
// has such notches, and none of them is a shape.
func (g *Grid) obstruct() {
	nx, ny, _ := g.Layer()
	hull := g.hull()
	pocket, deep := make([]bool, nx*ny), make([]bool, nx*ny)
	for u, s := range g.outline {
		if s == Inside {
			continue
		}
		pocket[u], deep[u] = depth(hull, point{int64(u % nx), int64(u / nx)})
	}
	label, n := flood(nx, ny, false, func(u int) bool { return pocket[u] })
	obstacle := make([]bool, n)
	for u, l := range label {
		if l >= 0 && deep[u] {
			obstacle[l] = true
		}
	}
	for u, l := range label {
		if l >= 0 && obstacle[l] {
			g.outline[u] = Obstacle
		}
	}
}
