package scene

import (
	"image"
	"image/color"
	"math"

	"onegrain/analysis/chart/scale"
	"onegrain/analysis/chart/tint"
)

const (
	turnDeg, riseDeg = -52.0, 32.0 // the viewer: about the vertical from x, and above the horizontal
	cornerWide       = 430.0       // most room for the body, points
	cornerHigh       = 380.0
	arrowRoom        = 70.0 // for the arrows of the axes, left of the body
	finer            = 2    // rays to a pixel, along each side
)

// corner draws the body as it is seen from +x and −y and above, in parallel projection. The body
// must be extruded, of one outline from bottom to top, as all bodies of a study are.
func (k *picture) corner() *Scene {
	k.heading += ", seen from a corner, a quarter cut out"
	k.views, k.compass = nil, nil
	c := newCamera(k)
	img := c.render()
	k.explain()
	wide, high := c.size[0], c.size[1]
	legend := k.leastLegend()
	_, _, legendHigh := k.legendSize(legend)
	s, top := k.headed(math.Ceil(math.Max(narrowest, margin+arrowRoom+wide+gap+legend+margin)))
	s.Height = math.Ceil(top + math.Max(high+30, legendHigh) + margin)
	s.pixels(margin+arrowRoom, top+4, img)
	c.arrows(s, margin+8, top+4+high-6)
	k.drawLegend(s, margin+arrowRoom+wide+gap, top+4, legend)
	return s
}

// camera sees the body in parallel projection. Lengths are in cells, from the corner of the first
// cell.
type camera struct {
	*solid
	k                 *picture
	right, up, toward vector     // on the picture to the right and upwards, and towards the viewer
	centre            vector     // what stands in the middle of the picture
	scale             float64    // points per cell
	size, fine        [2]float64 // of the picture, in points and in quarter pixels
	img               *image.RGBA
}

type vector [3]float64

func (a vector) dot(b vector) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

// along is a place some way from a.
func (a vector) along(b vector, way float64) vector {
	return vector{a[0] + way*b[0], a[1] + way*b[1], a[2] + way*b[2]}
}

// newCamera finds the largest scale at which the body has room, and looks at the middle of the body
// as it is seen.
func newCamera(k *picture) *camera {
	sin, cos := math.Sincos(turnDeg * math.Pi / 180)
	sinRise, cosRise := math.Sincos(riseDeg * math.Pi / 180)
	c := &camera{solid: newSolid(k.cells), k: k, right: vector{-sin, cos, 0},
		up: vector{-sinRise * cos, -sinRise * sin, cosRise}, toward: vector{cosRise * cos, cosRise * sin, sinRise}}
	n := k.cells.N
	least, most := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	see := func(p vector) {
		for i, at := range [2]float64{c.right.dot(p), c.up.dot(p)} {
			least[i], most[i] = math.Min(least[i], at), math.Max(most[i], at)
		}
	}
	for i := range n[0] * n[1] {
		if k.cells.Grain[k.cells.at(i%n[0], i/n[0], n[2]-1)] != outside {
			for corner := range 8 {
				see(vector{float64(i%n[0] + corner&1), float64(i/n[0] + corner>>1&1), float64(n[2] * (corner >> 2))})
			}
		}
	}
	if least[0] > most[0] { // no body: as large as its box
		see(vector{})
		see(vector{float64(n[0]), float64(n[1]), float64(n[2])})
	}
	c.centre = vector{}.along(c.right, (least[0]+most[0])/2).along(c.up, (least[1]+most[1])/2)
	wide, high := most[0]-least[0], most[1]-least[1]
	c.scale = math.Min(widestCell, math.Min(cornerWide/math.Max(wide, 0.5), cornerHigh/math.Max(high, 0.5)))
	c.size = [2]float64{math.Ceil(wide*c.scale) + 6, math.Ceil(high*c.scale) + 6}
	return c
}

// arrows along x, y and z have a round length at the scale of the body, foreshortened as it is.
func (c *camera) arrows(s *Scene, x, y float64) {
	const most = 34.0
	h := c.cells.CellMM
	lengths, decimals := scale.RoundSteps(0, most/c.scale*h, 1)
	mm := lengths[len(lengths)-1]
	if mm > most/c.scale*h*1.01 || mm == 0 {
		mm = most / c.scale * h
	}
	from := point{x + 14, y - 22}
	for axis, name := range []string{"x", "y", "z"} {
		dx, dy := c.right[axis]*mm/h*c.scale, -c.up[axis]*mm/h*c.scale
		long := math.Hypot(dx, dy)
		tip, along := point{from[0] + dx, from[1] + dy}, point{dx / long, dy / long}
		s.arrow(from, tip, along, 0.9, 4, 2)
		s.Text(tip[0]+10*along[0], tip[1]+10*along[1]+3, 8.5, 0.5, tint.Ink(), name)
	}
	s.Text(x, y+14, 8, 0, tint.Grey(), "arrows: "+scale.Number(mm, decimals)+" mm")
}

// hit is what one ray meets.
type hit struct {
	label label
	face  face
}

// render draws the body: one ray for each quarter of a pixel, then the lines between what differs
// from one ray to the next, then the mean of each four.
func (c *camera) render() *image.RGBA {
	w, h := int(math.Ceil(c.size[0]*DotsPerPoint)), int(math.Ceil(c.size[1]*DotsPerPoint))
	hits := make([]hit, 0, w*h*finer*finer)
	c.fine = [2]float64{float64(w * finer), float64(h * finer)}
	c.img = Painted(w*finer, h*finer, func(x, y int) color.RGBA {
		met, ink := c.ray(x, y)
		hits = append(hits, met)
		return ink
	})
	c.lines(hits)
	c.marks()
	return Painted(w, h, c.mean)
}

// finePerCell is the number of quarter pixels to a cell.
func (c *camera) finePerCell() float64 { return c.scale * DotsPerPoint * finer }

// ray follows the ray of a quarter pixel to what it meets, and its colour.
func (c *camera) ray(x, y int) (hit, color.RGBA) {
	across := (float64(x) + 0.5 - c.fine[0]/2) / c.finePerCell()
	upward := (c.fine[1]/2 - float64(y) - 0.5) / c.finePerCell()
	p := c.centre.along(c.right, across).along(c.up, upward)
	top := float64(c.cells.N[2])
	p = p.along(c.toward, (top-p[2])/c.toward[2])
	p[2] = top // exactly
	away := vector{}.along(c.toward, -1)
	q, f := c.meet(p, away)
	if f == noFace {
		return hit{label{grain: outside}, noFace}, tint.Paper().Color()
	}
	q = q.along(away, 1e-6)
	view, u, v, light := c.cellAt(q, f)
	if f != sideFace || c.block {
		du, dv := q[view.u.of]-float64(u)-0.5, q[view.v.of]-float64(v)-0.5
		if n := c.k.nearest(view, u, v, du, dv); view.grain(n, v) != outside {
			u = n
		}
	}
	met := hit{c.k.note(view, u, v), f}
	ink := c.k.paint(view, u, v).pixel(x/finer, y/finer)
	for _, part := range []*uint8{&ink.R, &ink.G, &ink.B} {
		*part = uint8(float64(*part) * light)
	}
	return met, ink
}

// cellAt is the cell at a place of a face, in the plane that is seen there, and how light that is.
func (c *camera) cellAt(q vector, f face) (p *view, u, v int, light float64) {
	var at [3]int
	for i := range at {
		at[i] = max(0, min(c.cells.N[i]-1, int(math.Floor(q[i]))))
	}
	along := [...]int{topFace: 2, cutXFace: 0, cutYFace: 1, sideFace: 1}[f]
	light = [...]float64{topFace: 1, cutXFace: 0.86, cutYFace: 0.95, sideFace: 0}[f]
	if f == sideFace {
		sx, sy := c.slope(q)
		light = 0.80 + 0.13*math.Max(0, -0.25*sx-0.97*sy)
		if math.Abs(sx) > math.Abs(sy) {
			along = 0
		}
	}
	at = c.inside(at)
	p = planeAt(c.cells, along, at[along], c.k.sheet.untilH())
	return p, at[p.u.of], at[p.v.of], light
}

// lines draws a line wherever neighbouring rays see different areas, faces, or no body; later kinds
// over earlier ones.
func (c *camera) lines(hits []hit) {
	w, h := c.img.Bounds().Dx(), c.img.Bounds().Dy()
	var places [lineKinds][]image.Point
	compare := func(i, next int) {
		a, b, kind := hits[i], hits[next], outline // also where an edge of the body is seen
		if a.face == b.face {
			kind = c.k.line(a.label, b.label)
		}
		if kind != noLine {
			places[kind] = append(places[kind], image.Pt(i%w, i/w))
			c.k.seen[sign{line: kind}] = true
		}
	}
	for i := range hits {
		if i%w+1 < w {
			compare(i, i+1)
		}
		if i/w+1 < h {
			compare(i, i+w)
		}
	}
	for kind, list := range places {
		how := lineKind(kind).style()
		for _, at := range list {
			c.dot(at, how.width*finer, how.ink.Color()) // two pixels a point, half of the width
		}
	}
}

// marks draws what stands on the top face, as far as that is not cut out: each kind first in its
// whole width, then its core.
func (c *camera) marks() {
	var lines kindLines
	c.k.marks(planeAt(c.cells, 2, c.cells.N[2]-1, c.k.sheet.untilH()), &lines)
	for _, kind := range []lineKind{seedPatch, clearRim} {
		how := kind.style()
		for _, piece := range lines[kind] {
			c.piece(piece, how.width*finer, how.ink.Color(), kind)
		}
		for _, piece := range lines[kind] {
			c.piece(piece, how.core*finer, how.inner.Color(), kind)
		}
	}
}

// piece draws a straight piece of a line on the top face with dots of a radius, in fine pixels.
func (c *camera) piece(line [2]point, radius float64, ink color.RGBA, kind lineKind) {
	a, b := line[0], line[1]
	dots := max(1, int(math.Hypot(b[0]-a[0], b[1]-a[1])*c.finePerCell()))
	for n := range dots + 1 {
		t := float64(n) / float64(dots)
		q := vector{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1]), float64(c.cells.N[2])}
		if !c.away(q[0], q[1]) {
			off := q.along(c.centre, -1)
			x, y := c.fine[0]/2+c.right.dot(off)*c.finePerCell(), c.fine[1]/2-c.up.dot(off)*c.finePerCell()
			c.dot(image.Pt(int(x), int(y)), radius, ink)
			c.k.seen[sign{line: kind}] = true
		}
	}
}

// dot stamps a disc.
func (c *camera) dot(at image.Point, radius float64, ink color.RGBA) {
	n := int(math.Ceil(radius))
	for dy := -n; dy <= n; dy++ {
		for dx := -n; dx <= n; dx++ {
			if p := at.Add(image.Pt(dx, dy)); float64(dx*dx+dy*dy) <= radius*radius && p.In(c.img.Bounds()) {
				c.img.SetRGBA(p.X, p.Y, ink)
			}
		}
	}
}

// mean is that of a square of fine pixels.
func (c *camera) mean(x, y int) color.RGBA {
	const n = finer * finer
	var sum [3]int
	for i := range n {
		fine := c.img.RGBAAt(x*finer+i%finer, y*finer+i/finer)
		sum[0], sum[1], sum[2] = sum[0]+int(fine.R), sum[1]+int(fine.G), sum[2]+int(fine.B)
	}
	return color.RGBA{uint8(sum[0] / n), uint8(sum[1] / n), uint8(sum[2] / n), 255}
}
