package chart

import (
	"fmt"
	"io"
	"math"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/scale"
	"onegrain/analysis/chart/tint"
)

const (
	turnDeg, riseDeg = -52.0, 32.0 // where the eye stands: about the vertical from x, and above the horizontal
	cornerWide       = 430.0       // most room for the body, points
	cornerHigh       = 380.0
	triadRoom        = 70.0 // for the arrows of the axes, left of the body
)

// Corner draws a three-dimensional body as it is seen from a corner, from +x and −y and above, in parallel projection; the quarter
// before the (nearest) seed is cut out, so that the seed and the inside are seen. Grains, or growth sectors with their facet lines
// where `sectors` is true. The body must be extruded, of one outline from bottom to top, as all bodies of a study are. Text and errors as
// of Grains; a two-dimensional body has no corner and is an error as well.
func Corner(w io.Writer, c *Cells, s Sheet, sectors bool) (alt string, err error) {
	if err := s.fits(c); err != nil {
		return "", err
	}
	if c.Flat >= 0 {
		return "", fmt.Errorf("chart: Flat = %d: a two-dimensional body cannot be seen from a corner; draw Grains or Sectors", c.Flat)
	}
	letters, err := paper.NewLetters()
	if err != nil {
		return "", err
	}
	s = s.finished(c)
	k := grainPicture(c, s, nil)
	if sectors {
		k = sectorPicture(c, s, nil)
		k.compass = nil
	}
	k.heading += ", seen from a corner, a quarter cut out"
	e := newEye(c, s.until())
	scale, wide, high := e.fit()
	img := e.look(k, scale, int(math.Ceil(wide*paper.DotsPerPoint)), int(math.Ceil(high*paper.DotsPerPoint)))
	k.explain(e.sight, s.Clear)
	legend := k.leastLegend(letters)
	width := math.Ceil(math.Max(narrowest, margin+triadRoom+wide+gap+legend+margin))
	top := k.header(nil, letters, width)
	p := paper.New(s.Format, width, math.Ceil(top+math.Max(high+30, k.legendHeight(letters, legend))+margin), letters)
	k.header(p, letters, width)
	p.Picture(margin+triadRoom, top+4, img)
	e.triad(p, margin+8, top+4+high-6, scale)
	k.drawLegend(p, margin+triadRoom+wide+gap, top+4, legend)
	return k.said(c, nil), p.Encode(w)
}

// eye sees the body in parallel projection. Lengths are in cells, from the corner of the first cell.
type eye struct {
	*solid
	right, up, toward vector // on the picture to the right and upwards, and towards the eye
	centre            vector // what stands in the middle of the picture
	sight             sight  // what was seen
	last              label  // of the last ray
}

type vector [3]float64

func (a vector) dot(b vector) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

// along is a place some way from a.
func (a vector) along(b vector, way float64) vector {
	return vector{a[0] + way*b[0], a[1] + way*b[1], a[2] + way*b[2]}
}

func newEye(c *Cells, untilH float64) *eye {
	sin, cos := math.Sincos(turnDeg * math.Pi / 180)
	sinRise, cosRise := math.Sincos(riseDeg * math.Pi / 180)
	return &eye{solid: newSolid(c, untilH), sight: sight{}, last: label{grain: outside},
		right: vector{-sin, cos, 0}, up: vector{-sinRise * cos, -sinRise * sin, cosRise}, toward: vector{cosRise * cos, cosRise * sin, sinRise}}
}

// fit finds the largest scale, in points per cell, at which the body has room, and the size of the picture in points; the eye then
// looks at the middle of the body as it is seen.
func (e *eye) fit() (scale, wide, high float64) {
	n := e.cells.N
	least, most := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	see := func(p vector) {
		for i, at := range [2]float64{e.right.dot(p), e.up.dot(p)} {
			least[i], most[i] = math.Min(least[i], at), math.Max(most[i], at)
		}
	}
	for j := range n[1] {
		for i := range n[0] {
			if e.cells.Grain[e.cells.at(i, j, n[2]-1)] != outside {
				for corner := range 8 {
					see(vector{float64(i + corner&1), float64(j + corner>>1&1), float64(n[2] * (corner >> 2))})
				}
			}
		}
	}
	if least[0] > most[0] { // no body: as large as its box
		see(vector{})
		see(vector{float64(n[0]), float64(n[1]), float64(n[2])})
	}
	e.centre = vector{}.along(e.right, (least[0]+most[0])/2).along(e.up, (least[1]+most[1])/2)
	across, upward := most[0]-least[0], most[1]-least[1]
	scale = math.Min(widestCell, math.Min(cornerWide/math.Max(across, 0.5), cornerHigh/math.Max(upward, 0.5)))
	return scale, math.Ceil(across*scale) + 6, math.Ceil(upward*scale) + 6
}

// triad draws arrows along x, y and z with a round length at the scale of the body, foreshortened as it is.
func (e *eye) triad(p *paper.Page, x, y, cell float64) {
	const most = 34.0
	h := e.cells.CellMM
	lengths, decimals := scale.RoundSteps(0, most/cell*h, 1)
	mm := lengths[len(lengths)-1]
	if mm > most/cell*h*1.01 || mm == 0 {
		mm = most / cell * h
	}
	ink := tint.Ink().Color()
	ox, oy := x+14, y-22
	for axis, name := range []string{"x", "y", "z"} {
		dx, dy := e.right[axis]*mm/h*cell, -e.up[axis]*mm/h*cell
		long := math.Hypot(dx, dy)
		nx, ny := dx/long, dy/long
		ex, ey := ox+dx, oy+dy
		p.Stroke(ink, 0.9, [][2]float64{{ox, oy}, {ex, ey}})
		p.Shape(ink, [][2]float64{{ex + 4*nx, ey + 4*ny}, {ex - 2*ny, ey + 2*nx}, {ex + 2*ny, ey - 2*nx}})
		p.Text(ex+10*nx, ey+10*ny+3, 8.5, 0.5, ink, name)
	}
	p.Text(x, y+14, 8, 0, tint.Grey().Color(), "arrows: "+scale.Number(mm, decimals)+" mm")
}
