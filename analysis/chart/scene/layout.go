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

// plan is the layout of a sheet.
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
	const left = margin + axisLeft
	n, least, first := len(k.views), k.leastLegend(), k.views[0]
	var p *plan
	var right, bottom float64
	if k.elongated() {
		right = widest - margin
		p, _, bottom = k.place(math.Min(widestCell, (right-left-8)/float64(first.u.n)))
		p.legendX, p.legendY, p.legendW = left, math.Ceil(bottom)+8, right-left-8
	} else if n == 3 {
		second, third := k.views[1], k.views[2]
		p, right, bottom = k.place(largest(2, first.u.n+max(second.u.n, third.u.n), max(first.v.n, second.v.n+third.v.n), 0))
		p.legendX, p.legendY, p.legendW = left, bottom+8, math.Max(least, right-left)
		right = math.Max(right, left+p.legendW)
	} else {
		across, up := 0, 1
		for _, v := range k.views {
			across, up = across+v.u.n, max(up, v.v.n)
		}
		p, right, bottom = k.place(largest(n, across, up, 0))
		last := p.boxes[n-1]
		p.legendX, p.legendY, p.legendW = last.x, last.y+last.h+axisBottom+14, right-last.x
		_, _, high := k.legendSize(p.legendW)
		if n == 1 || least > p.legendW+14 || p.legendY+high > bottom {
			p, right, bottom = k.place(largest(n, across, up, least+gap))
			p.legendX, p.legendY, p.legendW = right+gap, panelTop, least
			right = p.legendX + least
		}
	}
	p.width = math.Ceil(math.Max(right+margin, narrowest))
	_, top := k.headed(p.width)
	_, _, high := k.legendSize(p.legendW)
	p.height = math.Ceil(math.Max(bottom, p.legendY+high) + margin + top)
	p.legendY += top
	for i := range p.boxes {
		p.boxes[i].y += top
	}
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
	p := k.plan
	s, _ := k.headed(p.width)
	s.Height = p.height
	for i, v := range k.views {
		k.panel(s, v, k.lines[i], p.boxes[i])
	}
	for _, v := range k.views[1:] {
		if k.views[0].fromAbove() && !v.fromAbove() {
			cutMarks(s, p.boxes[0], k.views[0], v)
		}
	}
	k.drawLegend(s, p.legendX, p.legendY, p.legendW)
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
			s.Text(margin, y, part.size, 0, part.ink, line)
			y += 4
		}
	}
	return s, math.Round(y + 4)
}

// Wrapped cuts s into lines no wider than width, in points; a single word longer than that is cut
// where it must be.
func (m Measure) Wrapped(size, width float64, s string) (lines []string) {
	line := ""
	for _, word := range strings.Fields(s) {
		if whole := strings.TrimSpace(line + " " + word); m(size, whole) <= width {
			line = whole
			continue
		}
		if line != "" {
			lines, line = append(lines, line), ""
		}
		for _, r := range word {
			if line != "" && m(size, line+string(r)) > width {
				lines, line = append(lines, line), ""
			}
			line += string(r)
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}
