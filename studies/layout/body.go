package layout

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"onegrain/sim/body"
	"onegrain/sim/furnace"
	"onegrain/studies/strict"
)

// Body is a body in closed form.
type Body struct {
	CellMM   float64 // edge of a cell
	kind     string
	plane    string     // "", "ab" or "ac"
	size     [3]float64 // of the box; along a flat axis it means nothing
	flatMM   float64    // across a plane; 0 where not said
	inner    float64    // inner radius of a ring
	periodic bool
	outline  *body.Picture // of a mask
}

// ReadBody reads and checks the body; outline is the picture of a mask. The body is nil where its
// keys are wrong or too incomplete to go on.
func ReadBody(d *strict.Document, outline *body.Picture) (*Body, strict.Problems) {
	b := &Body{kind: d.Text("body.shape"), plane: d.Text("body.plane"), CellMM: d.Number("body.cell_mm"),
		flatMM: d.Number("body.thickness_mm")}
	if b.kind == "" || b.CellMM <= 0 {
		return nil, nil
	}
	b.periodic = b.kind == "block" && d.Flag("body.periodic")
	if found := b.extent(d, outline); found != nil {
		return nil, found
	}
	for axis, mm := range b.size {
		switch {
		case b.Flat(axis):
		case mm <= 0:
			return nil, nil // a key is missing and was reported
		case mm < b.CellMM:
			return nil, b.tooSmall(d, axis)
		}
	}
	if found := b.periods(d); found != nil {
		return nil, found
	}
	return b, nil
}

// tooSmall blames a length that is less than a cell: a small one for being in metres, else the
// cell.
func (b *Body) tooSmall(d *strict.Document, axis int) strict.Problems {
	mm := b.size[axis]
	text := fmt.Sprintf("the body is smaller than a cell of %g mm: %.4g mm along %c", b.CellMM, mm, "xyz"[axis])
	if mm < 1 {
		return d.Problem(b.lengthKey(axis), text, fmt.Sprintf("lengths are in millimetres: write %.4g for %.4g m, or take "+
			"a cell_mm of at most %.2g", 1000*mm, mm, mm/10))
	}
	return d.Problem("body.cell_mm", text, fmt.Sprintf("take at most %.2g", mm/10))
}

// lengthKey is the key that a length of the body comes from.
func (b *Body) lengthKey(axis int) string {
	if b.kind != "block" && axis == 2 && b.plane == "" {
		return "body.height_mm"
	}
	return map[string]string{"disc": "body.diameter_mm", "ring": "body.outer_diameter_mm", "mask": "body.mm_per_pixel",
		"block": "body.size_mm"}[b.kind]
}

// Longest is the greatest length of the body, mm, and the key that it comes from.
func (b *Body) Longest() (key string, mm float64) {
	for axis, length := range b.size {
		if length > mm {
			key, mm = b.lengthKey(axis), length
		}
	}
	return key, mm
}

// Flat tells whether the body has no extent along an axis.
func (b *Body) Flat(axis int) bool {
	return b.plane == "ab" && axis == 2 || b.plane == "ac" && axis == 1
}

// Sides are the lengths along x, y and z; along a flat axis 1.
func (b *Body) Sides() [3]float64 {
	out := b.size
	for axis := range out {
		if b.Flat(axis) {
			out[axis] = 1
		}
	}
	return out
}

// ThickMM is the thickness across a plane; 1 where it was not said.
func (b *Body) ThickMM() float64 { return cmp.Or(b.flatMM, 1) }

// extent finds the box of the body.
func (b *Body) extent(d *strict.Document, outline *body.Picture) strict.Problems {
	height := d.Number("body.height_mm")
	switch b.kind {
	case "disc", "ring":
		across := d.Number(b.lengthKey(0))
		b.size = [3]float64{across, across, height}
		if b.kind == "ring" {
			return b.ring(d)
		}
	case "mask":
		if outline == nil {
			return nil // the file could not be read, which was reported
		}
		p := *outline
		p.MMPerPixel = d.Number("body.mm_per_pixel")
		b.outline = &p
		b.size = [3]float64{float64(p.Columns) * p.MMPerPixel, float64(p.Rows) * p.MMPerPixel, height}
		if b.plane == "ac" {
			b.size[2] = b.size[1]
		}
	case "block":
		v := d.Numbers("body.size_mm")
		if len(v) > 0 && (len(v) == 3) != (b.plane == "") {
			form := map[string]string{"": "[x, y, z]", "ab": "[x, y] in the plane ab", "ac": "[x, z] in the plane ac"}
			return d.Problem("body.size_mm", "wanted "+form[b.plane], "")
		}
		copy(b.size[:], v)
		if b.plane == "ac" {
			b.size[1], b.size[2] = 0, b.size[1]
		}
	}
	return nil
}

// ring reads the hole of a ring.
func (b *Body) ring(d *strict.Document) strict.Problems {
	outer := b.size[0]
	b.inner = d.Number("body.inner_diameter_mm") / 2
	switch known := b.inner > 0 && outer > 0; {
	case b.plane == "ac":
		return d.Problem("body.plane", "a vertical section of a ring is two pieces",
			`take shape = "block" for one of them, or plane = "ab"`)
	case known && b.inner >= outer/2:
		return d.Problem("body.inner_diameter_mm", fmt.Sprintf("wanted less than outer_diameter_mm = %g", outer), "")
	case known && outer/2-b.inner < b.CellMM:
		wall := fmt.Sprintf("the wall of the ring is %g mm, thinner than a cell", outer/2-b.inner)
		return d.Problem("body.cell_mm", wall, "take a smaller cell")
	}
	return nil
}

// holds tells whether a point of the top face belongs to the body; y is 0 in a vertical section.
func (b *Body) holds(x, y float64) bool {
	const hair = 1e-9
	width, p := b.size[0]/2+hair, b.outline
	switch {
	case b.Mask() && b.plane == "ac": // a column holds body somewhere
		row := 0
		for row < p.Rows && !p.At(x, (float64(p.Rows-1)/2-float64(row))*p.MMPerPixel) {
			row++
		}
		return row < p.Rows
	case b.Mask():
		return p.At(x, y)
	case b.plane == "ac":
		return math.Abs(x) <= width
	case b.kind == "block":
		return math.Abs(x) <= width && math.Abs(y) <= b.size[1]/2+hair
	}
	r := math.Hypot(x, y)
	return r <= width && r >= b.inner-hair
}

// Offsets are the least and greatest differences from the reference temperature anywhere in the
// body, K; of a mask, in the box around it.
func (b *Body) Offsets(g furnace.Gradient) (lowest, highest float64) {
	most := b.size[0] / 2
	if b.plane != "ac" && !b.round() {
		most = math.Hypot(b.size[0], b.size[1]) / 2
	}
	return span(g, b.inner, most, b.size[2])
}

// span is the range of the offsets between two distances from the axis, down to a depth.
func span(g furnace.Gradient, least, most, depth float64) (lowest, highest float64) {
	var all []float64
	for _, below := range []float64{0, depth} {
		all = append(all, g.Offset(least, 0, below), g.Offset(most, 0, below))
	}
	return slices.Min(all), slices.Max(all)
}

// FlatGradient refuses a gradient along an axis the body does not have, or across joined faces.
func (b *Body) FlatGradient(d *strict.Document, g furnace.Gradient) strict.Problems {
	const vertical, radial = "gradient.vertical_K_per_mm", "gradient.radial_K_per_mm"
	const joined = "a periodic block cannot have a gradient: its joined faces would differ"
	switch {
	case b.plane == "ab" && g.VerticalKPerMM != 0:
		return d.Problem(vertical, "a body seen from above (plane ab) has no height", "take 0")
	case b.periodic && g.VerticalKPerMM != 0:
		return d.Problem(vertical, joined, "take 0")
	case b.periodic && g.RadialKPerMM != 0:
		return d.Problem(radial, joined, "take 0")
	}
	return nil
}

// Fill is the share of the box that the body takes.
func (b *Body) Fill() float64 {
	switch {
	case b.Mask():
		dark := 0
		for _, in := range b.outline.Body {
			if in {
				dark++
			}
		}
		return float64(dark) / float64(len(b.outline.Body))
	case b.plane == "ac" || b.kind == "block":
		return 1
	}
	hole := 2 * b.inner / b.size[0]
	return math.Pi / 4 * (1 - hole*hole)
}

// Extents are the volume of the melt (mm³) and the areas of top, side and bottom (mm²); a flat axis
// counts as the thickness of the body for the melt and as 1 mm for surfaces, as in the engine.
func (b *Body) Extents() [4]float64 {
	l := b.Sides()
	face, around := b.Fill()*l[0]*l[1], 2*(l[0]+l[1])
	if b.plane == "ac" {
		around = 2
	} else if b.round() {
		around = math.Pi * (b.size[0] + 2*b.inner)
	}
	melt := face * l[2] * b.ThickMM()
	switch {
	case b.periodic:
		return [4]float64{melt}
	case b.plane == "ab":
		return [4]float64{melt, 0, around, 0}
	}
	return [4]float64{melt, face, around * l[2], face}
}

// Mask tells whether the outline is a picture, whose pieces and offsets only cells know.
func (b *Body) Mask() bool { return b.kind == "mask" }

// Hollow tells whether the body may have holes or bays.
func (b *Body) Hollow() bool { return b.kind == "ring" || b.Mask() }

// round tells whether the body is a disc or a ring, which is a disc with a hole.
func (b *Body) round() bool { return b.kind == "disc" || b.kind == "ring" }
