package chart

import (
	"io"
	"math"

	"onegrain/analysis/chart/paper"
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
	legendWidth = 190.0 // of a legend with a scale or a compass, at least
)

// box is where a view stands on the page: upper left corner and size, in points, and the points per cell.
type box struct{ x, y, w, h, cell float64 }

// plan is the layout of a sheet.
type plan struct {
	width, height    float64
	boxes            []box
	legendX, legendY float64
	legendW          float64
	filmY            float64 // of the programme under a time-lapse
}

// planned sets the views side by side at one scale. The legend goes under the second view where there is room (the section
// of a flat body is low), else to the right; it never covers data.
// Views of an elongated body, a bar with a row of seeds say, stand one above the other instead, with the legend below.
func (k *picture) planned(views []*view, letters paper.Letters) plan {
	if elongated(views) {
		return k.headed(k.stacked(views, letters), letters)
	}
	if len(views) == 3 {
		return k.headed(k.columned(views, letters), letters)
	}
	if len(views) == 2 {
		if p, ok := k.legendBelow(views, letters); ok {
			return k.headed(p, letters)
		}
	}
	legend := k.leastLegend(letters)
	p, right, bottom := row(views, legend+gap, letters)
	p.legendX, p.legendY, p.legendW = right+gap, panelTop, legend
	p.width = p.legendX + p.legendW + margin
	p.height = math.Max(bottom, p.legendY+k.legendHeight(letters, p.legendW)) + margin
	return k.headed(p, letters)
}

// legendBelow is the layout with the legend under the second view; ok is false where it does not fit there.
func (k *picture) legendBelow(views []*view, letters paper.Letters) (p plan, ok bool) {
	p, right, bottom := row(views, 0, letters)
	second := p.boxes[1]
	p.legendX, p.legendY, p.legendW = second.x, second.y+second.h+axisBottom+14, right-second.x
	p.width, p.height = right+margin, bottom+margin
	return p, k.leastLegend(letters) <= p.legendW+14 && p.legendY+k.legendHeight(letters, p.legendW) <= bottom
}

// columned sets the first view at the left and the two others one above the other at its right, with the legend below all.
func (k *picture) columned(views []*view, letters paper.Letters) plan {
	room := widest - 2*margin - 2*(axisLeft+8) - gap
	right := max(views[1].nu, views[2].nu)
	cell := math.Min(room/float64(views[0].nu+right), tallest/float64(max(views[0].nv, views[1].nv+views[2].nv)))
	cell = math.Min(widestCell, cell)
	var p plan
	x, y := margin+axisLeft, panelTop
	bottom, end := 0.0, 0.0
	for i, v := range views {
		b := box{x: x, y: y, w: dots(float64(v.nu) * cell), h: dots(float64(v.nv) * cell), cell: cell}
		p.boxes = append(p.boxes, b)
		bottom, end = math.Max(bottom, b.y+b.h+axisBottom), math.Max(end, b.x+math.Max(b.w+8, letters.Width(9, v.caption())))
		if i == 0 {
			x = math.Ceil(end + gap + axisLeft)
		} else {
			y = math.Ceil(b.y + b.h + axisBottom + panelTop)
		}
	}
	p.legendX, p.legendY = margin+axisLeft, bottom+8
	p.legendW = math.Max(k.leastLegend(letters), end-p.legendX)
	p.width = math.Max(end, p.legendX+p.legendW) + margin
	p.height = p.legendY + k.legendHeight(letters, p.legendW) + margin
	return p
}

// leastLegend is the width below which the legend does not go: that of its longest entry, and of scale and compass.
func (k *picture) leastLegend(letters paper.Letters) float64 {
	_, least := k.legendColumns(letters, legendWidth)
	if k.scale != nil || k.compass != nil {
		least = math.Max(least, legendWidth)
	}
	if k.scale != nil {
		least = math.Max(least, letters.Width(legendSize, k.scale.title))
	}
	return least
}

// row sets the views side by side, leaving `reserve` points at the right; right and bottom are where they end.
func row(views []*view, reserve float64, letters paper.Letters) (p plan, right, bottom float64) {
	across, up := 0, 1
	for _, v := range views {
		across += v.nu
		up = max(up, v.nv)
	}
	room := widest - 2*margin - reserve - float64(len(views))*(axisLeft+8) - float64(len(views)-1)*gap
	cell := math.Min(widestCell, math.Min(room/float64(across), tallest/float64(up)))
	x := margin
	for _, v := range views {
		b := box{x: x + axisLeft, y: panelTop, w: dots(float64(v.nu) * cell), h: dots(float64(v.nv) * cell), cell: cell}
		p.boxes = append(p.boxes, b)
		taken := math.Max(b.w+8, letters.Width(9, v.caption()))
		right, bottom = b.x+taken, math.Max(bottom, b.y+b.h+axisBottom)
		x = math.Ceil(right + gap)
	}
	return p, right, bottom
}

// elongated tells whether all views are at least three times as wide as high.
func elongated(views []*view) bool {
	for _, v := range views {
		if v.nu < 3*v.nv || v.nu < 12 {
			return false
		}
	}
	return true
}

// stacked sets the views one above the other, so that what stands at one x lines up, and the legend below them.
func (k *picture) stacked(views []*view, letters paper.Letters) plan {
	room := widest - 2*margin - axisLeft - 8
	cell := math.Min(widestCell, room/float64(views[0].nu))
	p := plan{legendX: margin + axisLeft, legendW: room, width: widest}
	y := panelTop
	for _, v := range views {
		p.boxes = append(p.boxes, box{x: margin + axisLeft, y: y, w: dots(float64(v.nu) * cell), h: dots(float64(v.nv) * cell), cell: cell})
		y = math.Ceil(y + float64(v.nv)*cell + axisBottom + panelTop)
	}
	p.legendY = y - panelTop + 8
	p.height = p.legendY + k.legendHeight(letters, room) + margin
	return p
}

// dots rounds a length to whole pixels, at least one.
func dots(points float64) float64 {
	return math.Max(1, math.Round(points*paper.DotsPerPoint)) / paper.DotsPerPoint
}

// headed moves everything down to make room for the heading.
func (k *picture) headed(p plan, letters paper.Letters) plan {
	p.width = math.Ceil(math.Max(p.width, narrowest))
	down := k.header(nil, letters, p.width)
	for i := range p.boxes {
		p.boxes[i].y += down
	}
	p.legendY += down
	p.height = math.Ceil(p.height + down)
	if k.moment != nil {
		p.filmY = p.height - 4
		p.height = math.Ceil(p.height + filmHeight)
	}
	return p
}

// header writes what is shown, of which case and under which conditions, and tells how far down it reaches; on no page it
// only measures.
func (k *picture) header(p *paper.Page, letters paper.Letters, width float64) float64 {
	y := margin + 2
	for _, part := range []struct {
		text string
		size float64
		ink  tint.Tint
	}{{k.heading, 13, tint.Ink()}, {k.sheet.Title, 10, tint.Ink()}, {k.sheet.Note, 8.5, tint.Grey()}} {
		for _, line := range letters.Wrapped(part.size, width-2*margin, part.text) {
			y += math.Round(part.size * 1.1)
			if p != nil {
				p.Text(margin, y, part.size, 0, part.ink.Color(), line)
			}
			y += 4
		}
	}
	return math.Round(y + 4)
}

// draw makes the sheet and writes it.
func (k *picture) draw(w io.Writer, shown []*view) error {
	letters, err := paper.NewLetters()
	if err != nil {
		return err
	}
	return k.drawn(shown, k.planned(shown, letters), letters).Encode(w)
}

// drawn is the finished sheet in a given layout.
func (k *picture) drawn(shown []*view, layout plan, letters paper.Letters) *paper.Page {
	p := paper.New(k.sheet.Format, layout.width, layout.height, letters)
	k.header(p, letters, layout.width)
	for i, v := range shown {
		k.panel(p, v, k.lines[i], layout.boxes[i])
	}
	for i, v := range shown {
		if i > 0 && shown[0].vAxis == 1 && v.vAxis == 2 {
			cutMarks(p, layout.boxes[0], shown[0], v)
		}
	}
	k.drawLegend(p, layout.legendX, layout.legendY, layout.legendW)
	if k.moment != nil {
		k.drawFilm(p, margin, layout.filmY, layout.width-2*margin)
	}
	return p
}
