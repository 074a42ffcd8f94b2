package chart

import (
	"image"
	"image/color"
	"math"

	"onegrain/analysis/chart/tint"
)

const finer = 2 // rays to a pixel, along each side

// glimpse is what one ray sees.
type glimpse struct {
	label label
	face  face
	ink   color.RGBA
}

// look renders the body into w × h pixels, `scale` points a cell: one ray for each quarter of a pixel, then the lines between what
// differs from one ray to the next, then the mean of each four.
func (e *eye) look(k *picture, scale float64, w, h int) *image.RGBA {
	rays := make([]glimpse, w*h*finer*finer)
	for y := range h * finer {
		for x := range w * finer {
			rays[y*w*finer+x] = e.glimpse(k, scale, w, h, x, y)
		}
	}
	fine := image.NewRGBA(image.Rect(0, 0, w*finer, h*finer))
	for i, g := range rays {
		fine.SetRGBA(i%(w*finer), i/(w*finer), g.ink)
	}
	e.lines(k, rays, fine)
	e.marks(k, scale, fine)
	return shrunk(fine, w, h)
}

// glimpse follows the ray of a quarter pixel.
func (e *eye) glimpse(k *picture, scale float64, w, h, x, y int) glimpse {
	pixel := scale * 2 * finer // quarter pixels a cell: two pixels a point
	across, upward := (float64(x)+0.5-float64(w*finer)/2)/pixel, (float64(h*finer)/2-float64(y)-0.5)/pixel
	p := e.centre.along(e.right, across).along(e.up, upward)
	top := float64(e.cells.N[2])
	p = p.along(e.toward, (top-p[2])/e.toward[2])
	p[2] = top // exactly
	back := vector{-e.toward[0], -e.toward[1], -e.toward[2]}
	q, f := e.meet(p, back)
	if f == noFace {
		return glimpse{label{grain: outside}, noFace, tint.Paper().Color()}
	}
	return e.seen(k, q.along(back, 1e-6), f, x/finer, y/finer)
}

// seen is what stands at a place of a face.
func (e *eye) seen(k *picture, q vector, f face, x, y int) glimpse {
	var at [3]int
	for i := range at {
		at[i] = max(0, min(e.cells.N[i]-1, int(math.Floor(q[i]))))
	}
	axis := [5]int{topFace: 2, cutXFace: 0, cutYFace: 1}[f]
	light := [5]float64{topFace: 1, cutXFace: 0.86, cutYFace: 0.95}[f]
	if f == sideFace {
		sx, sy := e.slope(q)
		light = 0.80 + 0.13*math.Max(0, -0.25*sx-0.97*sy)
		if axis = 1; math.Abs(sx) > math.Abs(sy) {
			axis = 0
		}
	}
	at = e.inside(at)
	p := e.plane(axis, at[axis])
	u, v := at[p.uAxis], at[p.vAxis]
	if f != sideFace || e.block {
		if n := k.nearest(p, u, v, q[p.uAxis]-float64(u)-0.5, q[p.vAxis]-float64(v)-0.5); p.grain(n, v) != outside {
			u = n
		}
	}
	here := k.label(p, u, v)
	if here != e.last {
		k.note(e.sight, p, u, v)
		e.last = here
	}
	return glimpse{here, f, shadedBy(k.pixel(p, u, v, x, y), light)}
}

// inside is the cell, or the nearest one of the body: a smooth outline reaches a little beyond the cells.
func (e *eye) inside(at [3]int) [3]int {
	c := e.cells
	if c.Grain[c.at(at[0], at[1], at[2])] != outside {
		return at
	}
	best, found := math.MaxInt, at
	for dj := -3; dj <= 3; dj++ {
		for di := -3; di <= 3; di++ {
			i, j := at[0]+di, at[1]+dj
			if far := di*di + dj*dj; far < best && i >= 0 && j >= 0 && i < c.N[0] && j < c.N[1] && c.Grain[c.at(i, j, at[2])] != outside {
				best, found = far, [3]int{i, j, at[2]}
			}
		}
	}
	return found
}

func shadedBy(c color.RGBA, light float64) color.RGBA {
	return color.RGBA{uint8(float64(c.R) * light), uint8(float64(c.G) * light), uint8(float64(c.B) * light), 255}
}

// lines draws a line wherever neighbouring rays see different areas, faces, or no body; later kinds over earlier ones.
func (e *eye) lines(k *picture, rays []glimpse, fine *image.RGBA) {
	w, h := fine.Bounds().Dx(), fine.Bounds().Dy()
	var places [lineKinds][]image.Point
	note := func(x, y int, a, b glimpse) {
		if kind := e.between(k, a, b); kind != noLine {
			places[kind] = append(places[kind], image.Pt(x, y))
		}
	}
	for y := range h {
		for x := range w {
			here := rays[y*w+x]
			if x+1 < w {
				note(x, y, here, rays[y*w+x+1])
			}
			if y+1 < h {
				note(x, y, here, rays[(y+1)*w+x])
			}
		}
	}
	for kind, list := range places {
		if len(list) > 0 {
			e.sight[sign{line: lineKind(kind)}] = true
		}
		radius := lineKind(kind).width() * finer // two pixels a point, half of the width
		ink := lineKind(kind).color()
		for _, at := range list {
			dot(fine, at, radius, ink)
		}
	}
}

// marks draws what stands on the top face, as far as that is not cut out.
func (e *eye) marks(k *picture, scale float64, fine *image.RGBA) {
	var lines [lineKinds][][2]point
	k.marks(e.plane(2, e.cells.N[2]-1), &lines)
	for _, kind := range []lineKind{seedPatch, clearRim} {
		ink, width := kind.color(), kind.width()
		core, inner := kind.core()
		for range 2 { // first the whole width, then the core
			for _, piece := range lines[kind] {
				e.piece(fine, piece, scale, width*finer, ink, kind)
			}
			ink, width = core, inner
		}
	}
}

// piece draws a straight piece of a line on the top face with dots of a radius, in fine pixels.
func (e *eye) piece(fine *image.RGBA, line [2]point, scale, radius float64, ink color.RGBA, kind lineKind) {
	pixel := scale * 2 * finer
	dots := max(1, int(math.Hypot(line[1][0]-line[0][0], line[1][1]-line[0][1])*pixel))
	for n := range dots + 1 {
		t := float64(n) / float64(dots)
		q := vector{line[0][0] + t*(line[1][0]-line[0][0]), line[0][1] + t*(line[1][1]-line[0][1]), float64(e.cells.N[2])}
		if !e.away(q[0], q[1]) {
			off := q.along(e.centre, -1)
			x := float64(fine.Bounds().Dx())/2 + e.right.dot(off)*pixel
			y := float64(fine.Bounds().Dy())/2 - e.up.dot(off)*pixel
			dot(fine, image.Pt(int(x), int(y)), radius, ink)
			e.sight[sign{line: kind}] = true
		}
	}
}

// between is the line between what two rays see: edges of the body as outlines, else as in the other pictures.
func (e *eye) between(k *picture, a, b glimpse) lineKind {
	if a.face != b.face {
		return outline
	}
	if a.face == noFace {
		return noLine
	}
	return k.line(a.label, b.label)
}

// dot stamps a disc.
func dot(img *image.RGBA, at image.Point, radius float64, ink color.RGBA) {
	n := int(math.Ceil(radius))
	for dy := -n; dy <= n; dy++ {
		for dx := -n; dx <= n; dx++ {
			if float64(dx*dx+dy*dy) <= radius*radius {
				if p := at.Add(image.Pt(dx, dy)); p.In(img.Bounds()) {
					img.SetRGBA(p.X, p.Y, ink)
				}
			}
		}
	}
}

// shrunk takes the mean of each square of fine pixels.
func shrunk(fine *image.RGBA, w, h int) *image.RGBA {
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			var sum [3]int
			for i := range finer * finer {
				c := fine.RGBAAt(x*finer+i%finer, y*finer+i/finer)
				sum[0], sum[1], sum[2] = sum[0]+int(c.R), sum[1]+int(c.G), sum[2]+int(c.B)
			}
			const n = finer * finer
			out.SetRGBA(x, y, color.RGBA{uint8(sum[0] / n), uint8(sum[1] / n), uint8(sum[2] / n), 255})
		}
	}
	return out
}
