package chart

import (
	"math"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/scale"
	"onegrain/analysis/chart/tint"
	"onegrain/analysis/trace"
)

const axisSize = 8.0 // type of the axes, points

// panel draws one view with its lines, which were looked at before, axes and title.
func (k *picture) panel(p *paper.Page, v *view, all [lineKinds][][2]point, b box) {
	p.Picture(b.x, b.y, k.areas(v, int(math.Round(b.w*paper.DotsPerPoint)), int(math.Round(b.h*paper.DotsPerPoint))))
	k.drawContours(p, v, b)
	for kind, segments := range all {
		var lines [][][2]float64
		for _, line := range trace.Chains(segments) {
			lines = append(lines, b.onPage(line))
		}
		lineKind(kind).stroke(p, lines...)
	}
	k.drawTags(p, v, b)
	drawAxes(p, v, b)
	p.Text(b.x, b.y-7, 9, 0, tint.Ink().Color(), v.caption())
}

// onPage carries a line from cells to points of the page.
func (b box) onPage(line []point) [][2]float64 {
	out := make([][2]float64, len(line))
	for i, pt := range line {
		out[i] = [2]float64{b.x + pt[0]*b.cell, b.y + b.h - pt[1]*b.cell}
	}
	return out
}

// drawContours draws lines of equal arrival time, light on the dark half of the ramp and dark on the light half.
func (k *picture) drawContours(p *paper.Page, v *view, b box) {
	for _, level := range k.contours {
		var lines [][][2]float64
		for _, line := range trace.Chains(contour(v, level)) {
			lines = append(lines, b.onPage(line))
		}
		p.Stroke(k.contourTint(level).Color(), 0.7, lines...)
	}
}

func (k *picture) contourTint(level float64) tint.Tint {
	if k.scale.share(level) > 0.55 {
		return tint.Tint{Lightness: 0.93, Chroma: 0.02, HueDeg: 250}
	}
	return tint.Ink()
}

// drawTags writes the hours on the contours, each on a little ground of its own.
func (k *picture) drawTags(p *paper.Page, v *view, b box) {
	if len(k.contours) == 0 {
		return
	}
	const size = 7.5
	width := 0.0
	for _, level := range k.contours {
		width = math.Max(width, p.Letters.Width(size, k.hours(level)))
	}
	for _, t := range tags(v, k.contours, (width+5)/b.cell, (size+3)/b.cell) {
		at := b.onPage([]point{t.at})[0]
		s := k.hours(t.level)
		w := p.Letters.Width(size, s)
		p.Area(at[0]-w/2-2, at[1]-size/2-1, w+4, size+2, tint.Paper().Color())
		p.Text(at[0], at[1]+size*0.36, size, 0.5, tint.Ink().Color(), s)
	}
}

// hours writes the level of a contour, with the undercooling then where the programme is known.
func (k *picture) hours(level float64) string {
	text := scale.Number(level, k.decimals) + " h"
	if k.sheet.Programme != nil {
		text += ", " + k.sheet.Programme.kelvin(level)
	}
	return text
}

// caption is the title of a view, with the place of its plane.
func (v *view) caption() string {
	if v.cells.Flat >= 0 {
		return v.title
	}
	along := "xyz"[3-v.uAxis-v.vAxis]
	return v.title + ", " + string(along) + " = " + scale.Number(v.cutMM, 2) + " mm"
}

// drawAxes draws the frame, and for both axes marks, numbers in mm and title.
func drawAxes(p *paper.Page, v *view, b box) {
	ink := tint.Ink().Color()
	p.Stroke(tint.Grey().Color(), 0.5, scale.Frame(b.x, b.y, b.w, b.h))
	ticks, decimals := v.ticks(v.u0, v.nu, b.w, 34)
	for _, mm := range ticks {
		x := b.x + v.cell(mm, v.u0)*b.cell
		p.Stroke(ink, 0.6, [][2]float64{{x, b.y + b.h}, {x, b.y + b.h + 3}})
		p.Text(x, b.y+b.h+12, axisSize, 0.5, ink, scale.Number(mm, decimals))
	}
	p.Text(b.x+b.w/2, b.y+b.h+24, axisSize, 0.5, ink, v.uName+" (mm)")
	ticks, decimals = v.ticks(v.v0, v.nv, b.h, 20)
	widest := 0.0
	for _, mm := range ticks {
		y := b.y + b.h - v.cell(mm, v.v0)*b.cell
		s := scale.Number(mm, decimals)
		widest = math.Max(widest, p.Letters.Width(axisSize, s))
		p.Stroke(ink, 0.6, [][2]float64{{b.x - 3, y}, {b.x, y}})
		p.Text(b.x-9, y+3, axisSize, 1, ink, s)
	}
	p.Upright(b.x-13-widest, b.y+b.h/2, axisSize, ink, v.vName+" (mm)")
}

// cell is where a place in mm stands on an axis, in cells from the edge of the view.
func (v *view) cell(mm, first float64) float64 { return (mm-first)/v.cells.CellMM + 0.5 }

// ticks are the round places along an axis of n cells whose numbers have room, `apart` points each, on a length in points.
func (v *view) ticks(first float64, n int, length, apart float64) (mm []float64, decimals int) {
	h := v.cells.CellMM
	mm, decimals = scale.RoundSteps(first-h/2, first+(float64(n)-0.5)*h, int(length/apart))
	if len(mm) < 2 && length > 1.5*apart {
		mm, decimals = scale.RoundSteps(first-h/2, first+(float64(n)-0.5)*h, 4)
	}
	if len(mm) > 1 && (mm[1]-mm[0])/h*length/float64(n) < apart/2 {
		mm = mm[:1]
	}
	return mm, decimals
}

// cutMarks shows in the view from above, with wedges beside it, where a section is taken.
func cutMarks(p *paper.Page, b box, above, section *view) {
	ink := tint.Ink().Color()
	if section.uAxis == 0 { // along x
		y := b.y + b.h - above.cell(section.cutMM, above.v0)*b.cell
		for _, side := range []struct{ x, out float64 }{{b.x, -6}, {b.x + b.w, 6}} {
			p.Shape(ink, [][2]float64{{side.x + side.out/6, y}, {side.x + side.out, y - 3}, {side.x + side.out, y + 3}})
		}
		return
	}
	x := b.x + above.cell(section.cutMM, above.u0)*b.cell
	p.Shape(ink, [][2]float64{{x, b.y + b.h + 1}, {x - 3, b.y + b.h + 6}, {x + 3, b.y + b.h + 6}}) // above stands the title
}
