package measure

import "math"

// shape is what is to be cut out, as a norm: the half width of the smallest such shape about a
// centre that touches something. Lengths are in cells.
type shape interface {
	cell(dx, dy float64) float64          // touches the cell of edge 1 whose centre lies at (dx, dy); 0 inside it
	diagonal() float64                    // the norm of (1, 1) at worst
	stretch() float64                     // how much further than its half width the shape goes along x or y
	within(x, y, radius float64) float64  // largest shape about (x, y) inside the circle about the origin; < 0 outside
	outside(x, y, radius float64) float64 // smallest shape about (x, y) that touches the circle; 0 in it
}

// roundShape is a disc.
type roundShape struct{}

func (roundShape) cell(dx, dy float64) float64 {
	dx, dy = math.Max(0, math.Abs(dx)-0.5), math.Max(0, math.Abs(dy)-0.5)
	return math.Sqrt(float64(dx*dx) + float64(dy*dy))
}
func (roundShape) diagonal() float64 { return math.Sqrt2 }
func (roundShape) stretch() float64  { return 1 }
func (roundShape) within(x, y, radius float64) float64 {
	return radius - math.Sqrt(float64(x*x)+float64(y*y))
}
func (roundShape) outside(x, y, radius float64) float64 {
	return math.Max(0, math.Sqrt(float64(x*x)+float64(y*y))-radius)
}

// turnedShape is a square whose sides run along (cos, sin) and across it.
type turnedShape struct{ cos, sin float64 }

// own are the coordinates along the sides, signs dropped.
func (q turnedShape) own(x, y float64) (u, v float64) {
	return math.Abs(float64(q.cos*x) + float64(q.sin*y)), math.Abs(float64(q.cos*y) - float64(q.sin*x))
}

// cell: two convex polygons touch when their shadows on the normals of all their sides do (theorem
// of the separating axis).
func (q turnedShape) cell(dx, dy float64) float64 {
	u, v := q.own(dx, dy)
	s := q.stretch()
	t := math.Max(u, v) - s/2
	return math.Max(0, math.Max(t, (math.Max(math.Abs(dx), math.Abs(dy))-0.5)/s))
}
func (q turnedShape) diagonal() float64 { return q.stretch() }
func (q turnedShape) stretch() float64  { return math.Abs(q.cos) + math.Abs(q.sin) }

// within: the far corner (u+t, v+t) lies on the circle.
func (q turnedShape) within(x, y, radius float64) float64 {
	u, v := q.own(x, y)
	root := float64(2*radius*radius) - float64((u-v)*(u-v))
	if root < 0 {
		return -1
	}
	return (math.Sqrt(root) - (u + v)) / 2
}

// outside: the circle is met by a side, or by the near corner (u−t, v−t).
func (q turnedShape) outside(x, y, radius float64) float64 {
	u, v := q.own(x, y)
	if u < v {
		u, v = v, u
	}
	if t := u - radius; t >= v {
		return t
	}
	return math.Max(0, (u+v-math.Sqrt(float64(2*radius*radius)-float64((u-v)*(u-v))))/2)
}
