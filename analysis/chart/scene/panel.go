package scene

import (
	"math"

	"onegrain/analysis/chart/scale"
	"onegrain/analysis/chart/tint"
	"onegrain/analysis/trace"
)

const axisSize = 8.0 // type of the axes, points

// panel draws one view with its lines, axes and title.
func (k *picture) panel(s *Scene, v *view, all kindLines, b box) {
	s.pixels(b.x, b.y, k.areas(v, int(math.Round(b.w*DotsPerPoint)), int(math.Round(b.h*DotsPerPoint))))
	for _, level := range k.contours { // light on the dark half of the ramp and dark on the light half
		ink := tint.Ink()
		if k.bar.share(level) > 0.55 {
			ink = tint.Tint{Lightness: 0.93, Chroma: 0.02, HueDeg: 250}
		}
		s.Stroke(ink, contourLine.style().width, b.chained(contour(v, level))...)
	}
	for kind, pieces := range all {
		s.strokeKind(lineKind(kind), b.chained(pieces)...)
	}
	k.drawTags(s, v, b)
	k.drawAxes(s, v, b)
	s.Text(b.x, b.y-7, 9, 0, tint.Ink(), v.caption())
}

// onPage carries a place from cells to points of the page.
func (b box) onPage(at point) point { return point{b.x + at[0]*b.cell, b.y + b.h - at[1]*b.cell} }

// chained joins pieces of lines and carries them to the page.
func (b box) chained(pieces [][2]point) [][]point {
	lines := trace.Chains(pieces)
	for _, line := range lines {
		for i := range line {
			line[i] = b.onPage(line[i])
		}
	}
	return lines
}

// drawTags writes the hours on the contours, each on a little ground of its own, with the
// undercooling then where the programme is known.
func (k *picture) drawTags(s *Scene, v *view, b box) {
	const size = 7.5
	texts, widest := map[float64]string{}, 0.0
	for _, level := range k.contours {
		text := scale.Number(level, k.decimals) + " h"
		if k.sheet.Programme != nil {
			text += ", " + k.sheet.Programme.kelvin(level)
		}
		texts[level], widest = text, math.Max(widest, k.measure(size, text))
	}
	for _, t := range tags(v, k.contours, (widest+5)/b.cell, (size+3)/b.cell) {
		at, w := b.onPage(t.at), k.measure(size, texts[t.level])
		s.Shape(tint.Paper(), scale.Frame(at[0]-w/2-2, at[1]-size/2-1, w+4, size+2)[:4]...)
		s.Text(at[0], at[1]+size*0.36, size, 0.5, tint.Ink(), texts[t.level])
	}
}

// drawAxes draws the frame, and for both axes marks, numbers in mm and title.
func (k *picture) drawAxes(s *Scene, v *view, b box) {
	ink, left, bottom := tint.Ink(), b.x, b.y+b.h
	s.Stroke(tint.Grey(), 0.5, scale.Frame(b.x, b.y, b.w, b.h))
	ticks, decimals := v.u.ticks(b.w, 34)
	for _, mm := range ticks {
		x := left + v.u.at(mm)*b.cell
		s.Stroke(ink, 0.6, []point{{x, bottom}, {x, bottom + 3}})
		s.Text(x, bottom+12, axisSize, 0.5, ink, scale.Number(mm, decimals))
	}
	s.Text(left+b.w/2, bottom+24, axisSize, 0.5, ink, v.u.title())
	ticks, decimals = v.v.ticks(b.h, 20)
	widest := 0.0
	for _, mm := range ticks {
		y, text := bottom-v.v.at(mm)*b.cell, scale.Number(mm, decimals)
		widest = math.Max(widest, k.measure(axisSize, text))
		s.Stroke(ink, 0.6, []point{{left - 3, y}, {left, y}})
		s.Text(left-9, y+3, axisSize, 1, ink, text)
	}
	s.Text(left-13-widest, b.y+b.h/2, axisSize, 0.5, ink, v.v.title())
	s.Items[len(s.Items)-1].Upward = true
}

func (a side) title() string { return "xyz"[a.of:a.of+1] + " (mm)" }

// ticks are the round places along a side whose numbers have room, `apart` points each, on a length
// in points.
func (a side) ticks(length, apart float64) (mm []float64, decimals int) {
	low, high := a.firstMM-a.cellMM/2, a.firstMM+(float64(a.n)-0.5)*a.cellMM
	mm, decimals = scale.RoundSteps(low, high, int(length/apart))
	if len(mm) < 2 && length > 1.5*apart {
		mm, decimals = scale.RoundSteps(low, high, 4)
	}
	if len(mm) > 1 && (mm[1]-mm[0])/a.cellMM*length/float64(a.n) < apart/2 {
		mm = mm[:1]
	}
	return mm, decimals
}

// cutMarks shows in the view from above, with wedges beside it, where a section is taken.
func cutMarks(s *Scene, b box, above, section *view) {
	ink, bottom := tint.Ink(), b.y+b.h
	if section.along == 1 {
		y := bottom - above.v.at(section.atMM())*b.cell
		s.Shape(ink, point{b.x - 1, y}, point{b.x - 6, y - 3}, point{b.x - 6, y + 3})
		s.Shape(ink, point{b.x + b.w + 1, y}, point{b.x + b.w + 6, y - 3}, point{b.x + b.w + 6, y + 3})
		return
	}
	x := b.x + above.u.at(section.atMM())*b.cell
	s.Shape(ink, point{x, bottom + 1}, point{x - 3, bottom + 6}, point{x + 3, bottom + 6}) // above stands the title
}
