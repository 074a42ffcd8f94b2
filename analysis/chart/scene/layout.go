package scene

import (
	"math"
	"strings"

	"onegrain/analysis/chart/tint"
)

// Measures of a sheet, in points.
const (
	widest      = 760.0 // of the sheet
	narrowest   = 380.0
	tallest     = 400.0 // of a view
	widestCell  = 60.0
	margin      = 14.0
	axisLeft    = 46.0 // for the numbers and title of the upward axis
	axisBottom  = 36.0 // for those of the axis to the right
	panelTop    = 18.0 // for the title of a view
	gap         = 20.0
	legendWidth = 190.0 // of a legend with a bar or a compass, at least
)

// box is where a view stands on the page: upper left corner and size, in points, and the points per
// cell.
type box struct{ x, y, w, h, cell float64 }

// plan is the layout of a sheet below its heading.
type plan struct {
	width, height    float64
	boxes            []box
	legendX, legendY float64
	legendW          float64
}

// planned sets the views at one scale: one or two side by side, of three the others one above the
// other at the right of the first. The legend goes under the second of two where there is room (the
// section of a flat body is low), under three, else to the right; it never covers data. Views of an
// elongated body, a strip with a row of seeds say, stand one above the other instead, with the
// legend below.
func (k *picture) planned() *plan {
	n, least := len(k.views), k.leastLegend()
	first := k.views[0]
	across, up := 0, 1
	for _, v := range k.views {
		across, up = across+v.u.n, max(up, v.v.n)
	}
	switch {
	case k.elongated():
		room := widest - 2*margin - axisLeft - 8
		p, _, bottom := k.place(math.Min(widestCell, room/float64(first.u.n)))
		return k.under(p, math.Ceil(bottom), room, widest)
	case n == 3:
		across, up = first.u.n+max(k.views[1].u.n, k.views[2].u.n), max(first.v.n, k.views[1].v.n+k.views[2].v.n)
		p, right, bottom := k.place(largest(2, across, up, 0))
		wide := math.Max(least, right-margin-axisLeft)
		return k.under(p, bottom, wide, math.Max(right, margin+axisLeft+wide)+margin)
	case n == 2:
		p, right, bottom := k.place(largest(2, across, up, 0))
		second := p.boxes[1]
		p.legendX, p.legendY, p.legendW = second.x, second.y+second.h+axisBottom+14, right-second.x
		_, high := k.legendRows(p.legendW)
		if p.width, p.height = right+margin, bottom+margin; least <= p.legendW+14 && p.legendY+high <= bottom {
			return p
		}
	}
	p, right, bottom := k.place(largest(n, across, up, least+gap))
	p.legendX, p.legendY, p.legendW = right+gap, panelTop, least
	_, high := k.legendRows(least)
	p.width, p.height = p.legendX+least+margin, math.Max(bottom, panelTop+high)+margin
	return p
}

// largest is the largest scale, in points per cell, at which columns of views have room, of so many
// cells across and upwards; `reserve` points stay free.
func largest(columns, across, up int, reserve float64) float64 {
	n := float64(columns)
	room := widest - 2*margin - reserve - n*(axisLeft+8) - (n-1)*gap
	return math.Min(widestCell, math.Min(room/float64(across), tallest/float64(up)))
}

// place sets the views; right and bottom are where they end.
func (k *picture) place(cell float64) (p *plan, right, bottom float64) {
	p = &plan{}
	x, y := margin+axisLeft, panelTop
	for i, v := range k.views {
		wide, high := float64(v.u.n)*cell, float64(v.v.n)*cell
		b := box{x, y, dots(wide), dots(high), cell}
		if !k.elongated() {
			high = b.h
		}
		p.boxes = append(p.boxes, b)
		right = math.Max(right, x+math.Max(b.w+8, k.measure(9, v.caption())))
		bottom = math.Max(bottom, y+high+axisBottom)
		if k.elongated() || i == 1 {
			y = math.Ceil(y + high + axisBottom + panelTop)
		} else {
			x = math.Ceil(right + gap + axisLeft)
		}
	}
	return p, right, bottom
}

// under sets the legend under the views, which end at the bottom.
func (k *picture) under(p *plan, bottom, wide, width float64) *plan {
	p.legendX, p.legendY, p.legendW, p.width = margin+axisLeft, bottom+8, wide, width
	_, high := k.legendRows(wide)
	p.height = p.legendY + high + margin
	return p
}

// elongated tells whether all views are at least three times as wide as high.
func (k *picture) elongated() bool {
	for _, v := range k.views {
		if v.u.n < 3*v.v.n || v.u.n < 12 {
			return false
		}
	}
	return true
}

// dots rounds a length to whole pixels, at least one.
func dots(points float64) float64 {
	return math.Max(1, math.Round(points*DotsPerPoint)) / DotsPerPoint
}

// scene draws the picture in its layout, which is found unless it is given.
func (k *picture) scene() *Scene {
	if k.plan == nil {
		k.look()
		k.explain()
		k.plan = k.planned()
	}
	width := math.Ceil(math.Max(k.plan.width, narrowest))
	s, top := k.headed(width)
	s.Height = math.Ceil(k.plan.height + top)
	boxes := make([]box, len(k.plan.boxes))
	for i, b := range k.plan.boxes {
		b.y += top
		boxes[i] = b
		k.panel(s, k.views[i], k.lines[i], b)
	}
	for _, v := range k.views[1:] {
		if k.views[0].fromAbove() && !v.fromAbove() {
			cutMarks(s, boxes[0], k.views[0], v)
		}
	}
	k.drawLegend(s, k.plan.legendX, k.plan.legendY+top, k.plan.legendW)
	return s
}

// headed is a scene with what is shown, of which case and under which conditions; top is how far
// down that reaches.
func (k *picture) headed(width float64) (s *Scene, top float64) {
	s = &Scene{Width: width, Alt: k.alt()}
	y := margin + 2
	for _, part := range []struct {
		text string
		size float64
		ink  tint.Tint
	}{{k.heading, 13, tint.Ink()}, {k.sheet.Title, 10, tint.Ink()}, {k.sheet.Note, 8.5, tint.Grey()}} {
		for _, line := range k.measure.Wrapped(part.size, width-2*margin, part.text) {
			y += math.Round(part.size * 1.1)
			s.text(margin, y, part.size, 0, part.ink, line)
			y += 4
		}
	}
	return s, math.Round(y + 4)
}

// Wrapped cuts s into lines no wider than width, in points; a single word longer than that is cut
// where it must be.
func (m Measure) Wrapped(size, width float64, s string) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(s) {
		if line != "" && m(size, line+" "+word) <= width {
			line += " " + word
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for line = word; m(size, line) > width && len([]rune(line)) > 1; {
			head, tail := m.cut(size, width, line)
			lines, line = append(lines, head), tail
		}
	}
	if line == "" {
		return lines
	}
	return append(lines, line)
}

// cut splits a word so that its head is as long as fits, at least one rune.
func (m Measure) cut(size, width float64, word string) (head, tail string) {
	runes := []rune(word)
	n := 1
	for n < len(runes)-1 && m(size, string(runes[:n+1])) <= width {
		n++
	}
	return string(runes[:n]), string(runes[n:])
}
