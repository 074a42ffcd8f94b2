package scene

import (
	"image"
	"image/color"
	"math"

	"onegrain/analysis/chart/tint"
)

// label is what makes two neighbouring cells one area of a picture.
type label struct {
	grain  int32
	sector uint8 // counted from 1; 0 where the picture does not set faces apart
}

// label is the area of a cell. The nucleus is set apart in every picture, and so is a seed whose
// patch is not known.
func (k *picture) label(p *view, u, v int) label {
	l := label{grain: p.grain(u, v)}
	if l.grain >= 0 {
		s := k.cells.Sector[p.index(u, v)]
		if k.bySector || s == seedSector && k.cells.Grains[l.grain].SizeMM[0] == 0 {
			l.sector = s + 1
		}
	}
	return l
}

// bevelled tells whether the corner of cell (u, v) towards (su, sv), each ±1, is one of a staircase
// by which the grid renders a slanting boundary. Such corners are cut, so that a boundary at 45° is
// a straight line; a corner between two runs of two cells or more, as of a block or of a seed,
// stays square.
func (k *picture) bevelled(p *view, u, v, su, sv int) bool {
	own, other := k.label(p, u, v), k.label(p, u+su, v)
	if own == other || other != k.label(p, u, v+sv) || other != k.label(p, u+su, v+sv) {
		return false
	}
	return own == k.label(p, u-su, v) && own == k.label(p, u-su, v+sv) ||
		own == k.label(p, u, v-sv) && own == k.label(p, u+su, v-sv)
}

// nearest is the column of the cell that a point of cell (u, v), du and dv from its centre, is
// painted like: its own, or the next one beyond a bevelled corner.
func (k *picture) nearest(p *view, u, v int, du, dv float64) int {
	su, sv := int(math.Copysign(1, du)), int(math.Copysign(1, dv))
	if math.Abs(du)+math.Abs(dv) > 0.5 && k.bevelled(p, u, v, su, sv) {
		return u + su
	}
	return u
}

// areas paints the cells of a view into w × h pixels.
func (k *picture) areas(p *view, w, h int) *image.RGBA {
	return Painted(w, h, func(x, y int) color.RGBA {
		u, du := cellOf(x, w, p.u.n)
		v, dv := cellOf(h-1-y, h, p.v.n)
		return k.paint(p, k.nearest(p, u, v, du, dv), v).pixel(x, y)
	})
}

// Painted is a picture of w × h pixels.
func Painted(w, h int, pixel func(x, y int) color.RGBA) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			img.SetRGBA(x, y, pixel(x, y))
		}
	}
	return img
}

// cellOf finds the cell that pixel i of n lies in, and how far from the cell's centre, in cells.
func cellOf(i, n, cells int) (cell int, off float64) {
	at := (float64(i) + 0.5) / float64(n) * float64(cells)
	cell = min(int(at), cells-1)
	return cell, at - float64(cell) - 0.5
}

// ground is what a shade is painted on.
type ground uint8

const (
	anyGround ground = iota
	paperGround
	liquidGround
	seededGround
	strayGround // hatched
)

// shade is the colour of an area and of the strokes that hatch it.
type shade struct{ fill, stroke color.RGBA }

func shadeOf(t tint.Tint) shade { return shade{t.Color(), t.Shaded(-0.22).Color()} }

func shadesOf(tints []tint.Tint) (shades []shade) {
	for _, t := range tints {
		shades = append(shades, shadeOf(t))
	}
	return shades
}

// sign is something on a picture that its legend explains: a shade on a ground, or a line.
type sign struct {
	ground ground
	shade  shade
	line   lineKind
}

// paint is what cell (u, v) of a view is painted with.
func (k *picture) paint(p *view, u, v int) sign {
	switch g := p.grain(u, v); {
	case g == outside:
		return sign{ground: paperGround}
	case g == liquid:
		return sign{ground: liquidGround}
	case k.cells.Grains[g].Seeded || k.plain:
		return sign{ground: seededGround, shade: k.shade(p.index(u, v))}
	}
	return sign{ground: strayGround, shade: k.shade(p.index(u, v))}
}

// pixel is the colour of a painted area at (x, y). Liquid has a sparse pattern of dots: no colour
// scale can be mistaken for it. Strays are hatched by rising diagonal strokes.
func (s sign) pixel(x, y int) color.RGBA {
	const rise, pitch = 6, 12
	switch row := y / rise; {
	case s.ground == paperGround:
		return color.RGBA{255, 255, 255, 255}
	case s.ground == liquidGround && y%rise < 2 && (x+row%2*rise)%pitch < 2:
		return color.RGBA{182, 180, 176, 255}
	case s.ground == liquidGround:
		return color.RGBA{225, 223, 219, 255} // tint.Liquid
	case s.ground == strayGround && (x+y)%8 < 2:
		return s.shade.stroke
	}
	return s.shade.fill
}

// note takes in what cell (u, v) of a view is painted with, and gives its label. Cells that look
// like the one noted before are passed over.
func (k *picture) note(p *view, u, v int) label {
	if here := k.label(p, u, v); here != k.noted {
		s := k.paint(p, u, v)
		k.noted, k.seen[s], k.seen[sign{shade: s.shade}] = here, true, true
	}
	return k.noted
}
