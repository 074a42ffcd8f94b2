package scene

import (
	"math"

	"onegrain/analysis/chart/tint"
)

// lineKind is what a line between two areas means; in this order the lines are drawn, later ones on
// top.
type lineKind uint8

const (
	noLine      lineKind = iota
	facetAA              // between two a sectors of a grain: a facet line
	facetAC              // between an a and a c sector, or the two c sectors
	seedLine             // around the seed or nucleus
	lowAngle             // between grains of nearly equal orientation
	highAngle            // between other grains
	front                // between a grain and the liquid
	outline              // between the body and what is not of it
	seedPatch            // around the contact patch of a seed; in a section, along it
	clearRim             // around the clear piece
	contourLine          // of equal arrival time; drawn by itself
	joined               // between grains within the joining angle, where boundaries are coloured by angle
	angled               // the first of the classes of larger angles, up to the largest there is

	angleClasses = 24
	lineKinds    = int(angled) + angleClasses
)

// style is how a line looks. Its core, the inner part, makes it stand out on every ground; width 0
// for none.
type style struct {
	width float64 // points
	ink   tint.Tint
	core  float64
	inner tint.Tint
}

// style of a kind. Joined grains and seeds have hollow lines, so that they are apart without colour
// too.
func (k lineKind) style() style {
	if k >= angled {
		return style{width: 2.4, ink: tint.Angle(float64(k-angled) / (angleClasses - 1))}
	}
	ink, paper := tint.Ink(), tint.Paper()
	return [angled]style{
		facetAA:     {width: 0.8, ink: ink},
		facetAC:     {width: 1.1, ink: paper},
		seedLine:    {width: 1, ink: ink},
		lowAngle:    {width: 0.6, ink: ink},
		highAngle:   {width: 1.5, ink: ink},
		front:       {width: 0.9, ink: ink},
		outline:     {width: 1, ink: tint.Grey()},
		seedPatch:   {2.6, ink, 0.9, paper},
		clearRim:    {3.2, paper, 1.6, ink},
		contourLine: {width: 0.7, ink: ink},
		joined:      {2.4, tint.LowAngle(), 0.9, paper},
	}[k]
}

// strokeKind draws lines of a kind.
func (s *Scene) strokeKind(k lineKind, lines ...[][2]float64) {
	how := k.style()
	s.Stroke(how.ink, how.width, lines...)
	if how.core > 0 {
		s.Stroke(how.inner, how.core, lines...)
	}
}

// widestDeg is the largest disorientation of tetragonal crystals (point group 422): 98.42 degrees.
const widestDeg = 98.43

// angleKind is the line of a boundary with a disorientation.
func (s Sheet) angleKind(deg float64) lineKind {
	if deg <= s.JoinDeg {
		return joined
	}
	share := math.Min(1, (deg-s.JoinDeg)/(widestDeg-s.JoinDeg))
	return angled + lineKind(math.Round(share*(angleClasses-1)))
}

// line is that between two neighbouring areas.
func (k *picture) line(a, b label) lineKind {
	const seed, firstC = seedSector + 1, 5 // sectors of labels count from 1
	switch {
	case a == b:
		return noLine
	case a.grain == outside || b.grain == outside:
		return outline
	case a.grain == liquid || b.grain == liquid:
		return front
	case a.grain != b.grain && k.byAngle:
		return k.sheet.angleKind(k.sheet.AngleDeg(min(a.grain, b.grain), max(a.grain, b.grain)))
	case a.grain != b.grain && k.sheet.LowAngle != nil && k.sheet.LowAngle(a.grain, b.grain):
		return lowAngle
	case a.grain != b.grain:
		return highAngle
	case a.sector == seed || b.sector == seed:
		return seedLine
	case a.sector < firstC && b.sector < firstC:
		return facetAA
	}
	return facetAC
}

// kindLines are pieces of lines by their kind, in cells: (0, 0) is the lower left corner of the
// first cell of a view.
type kindLines [lineKinds][][2]point

// point is a place in a view, in cells, or on the page, in points.
type point = [2]float64

// linesOf are those of a view, with the marks.
func (k *picture) linesOf(p *view) (lines kindLines) {
	for v := 0; v <= p.v.n; v++ {
		for u := 0; u <= p.u.n; u++ {
			k.cross(p, u, v, &lines)
		}
	}
	k.marks(p, &lines)
	return lines
}

// cross adds the lines near the corner between the cells (u-1, v-1) and (u, v): from the middle of
// each edge that parts two areas to the corner, or straight to the middle of the other edge where
// the corner is bevelled.
func (k *picture) cross(p *view, u, v int, lines *kindLines) {
	quads := [4][2]int{{u, v}, {u - 1, v}, {u - 1, v - 1}, {u, v - 1}} // counter-clockwise
	x, y := float64(u), float64(v)
	mids := [4]point{{x, y + 0.5}, {x - 0.5, y}, {x, y - 0.5}, {x + 0.5, y}} // between quads i and i+1
	var kinds [4]lineKind
	for i, q := range quads {
		next := quads[(i+1)%4]
		kinds[i] = k.line(k.label(p, q[0], q[1]), k.label(p, next[0], next[1]))
	}
	for i, q := range quads {
		before := (i + 3) % 4
		su, sv := 2*(u-q[0])-1, 2*(v-q[1])-1
		if kinds[i] != noLine && kinds[before] != noLine && k.bevelled(p, q[0], q[1], su, sv) {
			lines[kinds[i]] = append(lines[kinds[i]], [2]point{mids[before], mids[i]})
			return
		}
	}
	for i, kind := range kinds {
		if kind != noLine {
			lines[kind] = append(lines[kind], [2]point{mids[i], {x, y}})
		}
	}
}
