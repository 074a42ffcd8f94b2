package chart

import (
	"image"
	"image/color"

	"onegrain/analysis/chart/tint"
)

// label is what makes two neighbouring cells one area of a picture.
type label struct {
	grain  int32
	sector uint8 // 0 where the picture does not tell faces apart
}

// picture is what tells the three kinds of picture apart.
type picture struct {
	heading  string
	sheet    Sheet
	bySector bool                          // the sectors of a grain are areas of their own
	byAngle  bool                          // borders are coloured by their angle
	hatched  bool                          // strays are hatched
	shade    func(p *view, u, v int) shade // colour of a solid cell
	legend   []entry
	lines    [][lineKinds][][2]point // of each view, once it was looked at
	contours []float64               // hours at which contours are drawn; they need a scale
	decimals int                     // of their labels
	scale    *colourBar              // nil without colour scale
	compass  *compass                // nil without crystal axes
	moment   *moment                 // nil but in a time-lapse with the programme beside it
	seen     string                  // text alternative
}

// shade is the colour of an area and of the strokes that hatch it.
type shade struct{ ground, stroke color.RGBA }

func shadeOf(t tint.Tint) shade { return shade{t.Color(), t.Shaded(-0.22).Color()} }

func shadesOf(tints []tint.Tint) []shade {
	shades := make([]shade, len(tints))
	for i, t := range tints {
		shades[i] = shadeOf(t)
	}
	return shades
}

// label tells the area of a cell. The nucleus is told apart in every picture, and so is a seed
// whose patch is not known.
func (k *picture) label(p *view, u, v int) label {
	l := label{grain: p.grain(u, v)}
	if l.grain >= 0 {
		if s := p.sector(u, v); k.bySector || s == seedSector && p.cells.Grains[l.grain].SizeMM[0] == 0 {
			l.sector = s + 1
		}
	}
	return l
}

// bevelled tells whether the corner of cell (u, v) towards (su, sv), each ±1, is one of a staircase by which the grid
// renders a slanting border. Such corners are cut, so that a border at 45° is a straight line; a corner between two
// runs of two cells or more, as of a block or of a seed, stays square.
func (k *picture) bevelled(p *view, u, v, su, sv int) bool {
	own, other := k.label(p, u, v), k.label(p, u+su, v)
	if own == other || other != k.label(p, u, v+sv) || other != k.label(p, u+su, v+sv) {
		return false
	}
	return own == k.label(p, u-su, v) && own == k.label(p, u-su, v+sv) ||
		own == k.label(p, u, v-sv) && own == k.label(p, u+su, v-sv)
}

// areas paints the cells of a view into w × h pixels.
func (k *picture) areas(p *view, w, h int) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		v, dv := cellOf(h-1-y, h, p.nv)
		for x := range w {
			u, du := cellOf(x, w, p.nu)
			img.SetRGBA(x, y, k.pixel(p, k.nearest(p, u, v, du, dv), v, x, y))
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

// nearest is the column of the cell that a point of cell (u, v) is painted like: its own, or the next one beyond a
// bevelled corner.
func (k *picture) nearest(p *view, u, v int, du, dv float64) int {
	su, sv := 1, 1
	if du < 0 {
		su, du = -1, -du
	}
	if dv < 0 {
		sv, dv = -1, -dv
	}
	if du+dv > 0.5 && k.bevelled(p, u, v, su, sv) {
		return u + su
	}
	return u
}

// pixel is the colour at (x, y), which lies in cell (u, v).
func (k *picture) pixel(p *view, u, v, x, y int) color.RGBA {
	g := p.grain(u, v)
	if g == outside {
		return color.RGBA{255, 255, 255, 255}
	}
	if g == liquid {
		return dotted(x, y)
	}
	s := k.shade(p, u, v)
	if k.hatched && p.stray(g) {
		return s.hatch(x, y)
	}
	return s.ground
}

// hatch draws rising diagonal strokes.
func (s shade) hatch(x, y int) color.RGBA {
	if (x+y)%8 < 2 {
		return s.stroke
	}
	return s.ground
}

// dotted is the ground of the liquid, with a sparse pattern of dots: no colour scale can be mistaken for it.
func dotted(x, y int) color.RGBA {
	const rise, pitch = 6, 12
	row := y / rise
	if y%rise < 2 && (x+row%2*rise)%pitch < 2 {
		return color.RGBA{182, 180, 176, 255}
	}
	return color.RGBA{225, 223, 219, 255} // liquidTint
}
