package chart

// lineKind is what a line between two areas means; in this order the lines are drawn, later ones on top.
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
	joined               // between grains within the joining angle, where borders are coloured by angle
	angled               // the first of the classes of larger angles, up to the largest there is

	angleClasses = 24
	lineKinds    = int(angled) + angleClasses
)

// line tells the line between two neighbouring areas.
func (k *picture) line(a, b label) lineKind {
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
	}
	return facetLine(a.sector, b.sector)
}

// facetLine tells the line between two sectors of one grain, which labels count from 1.
func facetLine(a, b uint8) lineKind {
	const seed, firstC = seedSector + 1, 5
	switch {
	case a == seed || b == seed:
		return seedLine
	case a < firstC && b < firstC:
		return facetAA
	}
	return facetAC
}

// borders are the lines of a view by kind, marks included, in cells: (0, 0) is the lower left
// corner of the first cell.
func (k *picture) borders(p *view) [lineKinds][][2]point {
	var lines [lineKinds][][2]point
	for v := 0; v <= p.nv; v++ {
		for u := 0; u <= p.nu; u++ {
			k.cross(p, u, v, &lines)
		}
	}
	k.marks(p, &lines)
	return lines
}

// point is a place in a view, in cells.
type point = [2]float64

// cross adds the lines near the corner between the cells (u-1, v-1) and (u, v): from the middle of each edge that
// parts two areas to the corner, or straight to the middle of the other edge where the corner is bevelled.
func (k *picture) cross(p *view, u, v int, lines *[lineKinds][][2]point) {
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
