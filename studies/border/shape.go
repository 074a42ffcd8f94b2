package border

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"image"
	"image/png"
	"math"

	"onegrain/studies/strict"
)

// Outline is a mask as it was drawn: x runs fastest, the first row is the far side (+y, or the top of a section).
type Outline struct {
	Width, Height int
	Body          []bool // Width·Height pixels
}

// DecodeOutline reads a PNG: a pixel belongs to the body where it is darker than half grey and not transparent.
func DecodeOutline(data []byte) (*Outline, error) {
	config, err := png.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		return nil, fmt.Errorf("not a PNG picture")
	}
	if config.Width*config.Height > 1<<26 {
		return nil, fmt.Errorf("%d × %d pixels are too many; at most 67 million", config.Width, config.Height)
	}
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		return nil, fmt.Errorf("a damaged PNG picture: %v", err)
	}
	o := &Outline{Width: config.Width, Height: config.Height, Body: make([]bool, config.Width*config.Height)}
	any := false
	for i := range o.Body {
		o.Body[i] = dark(img, i%o.Width, i/o.Width)
		any = any || o.Body[i]
	}
	if !any {
		return nil, fmt.Errorf("no pixel is dark, so there is no body in the picture")
	}
	return o, nil
}

func dark(img image.Image, x, y int) bool {
	at := img.Bounds().Min
	r, g, b, a := img.At(at.X+x, at.Y+y).RGBA()
	return a >= 0x8000 && r+g+b < 3*0x8000
}

// shape is the body in closed form. Lengths along a flat axis are 0.
type shape struct {
	kind     string
	plane    string // "", "ab" or "ac"
	size     [3]float64
	cell     float64
	thick    float64 // across a plane, mm; 1 where not said
	inner    float64 // inner radius of a ring
	periodic bool
	outline  *Outline
	perPixel float64
}

// shape reads and checks the body. It is nil where its keys are too incomplete to go on.
func (c *Converter) shape(d *strict.Document) (*shape, strict.Problems) {
	s := &shape{kind: d.Text("body.shape"), plane: d.Text("body.plane"), cell: d.Number("body.cell_mm"), periodic: d.Text("body.shape") == "block" && d.Flag("body.periodic")}
	if s.kind == "" || s.cell <= 0 {
		return nil, nil
	}
	if s.thick = d.Number("body.thickness_mm"); s.thick == 0 {
		s.thick = 1
	}
	if p := s.extent(d, c.Outline); p != nil {
		return nil, strict.Problems{*p}
	}
	var found strict.Problems
	for axis, n := range s.size {
		if n <= 0 && !s.flat(axis) {
			return nil, nil // a key is missing and was reported
		}
		if !s.flat(axis) && n < s.cell {
			found = append(found, s.tooSmall(d, axis))
			break
		}
	}
	if p := s.periods(d); p != nil && len(found) == 0 {
		found = append(found, *p)
	}
	if len(found) > 0 {
		return nil, found
	}
	return s, nil
}

// tooSmall blames a length that is less than a cell: a small one for being in metres, else the cell.
func (s *shape) tooSmall(d *strict.Document, axis int) strict.Problem {
	n := s.size[axis]
	text := fmt.Sprintf("the body is smaller than a cell of %g mm: %.4g mm along %s", s.cell, n, "xyz"[axis:axis+1])
	if n < 1 {
		return d.Problem(s.lengthKey(axis), text, fmt.Sprintf("lengths are in millimetres: write %.4g for %.4g m, or take a cell_mm of at most %.2g", 1000*n, n, n/10))
	}
	return d.Problem("body.cell_mm", text, fmt.Sprintf("take at most %.2g", n/10))
}

// lengthKey is the key that a length of the body comes from.
func (s *shape) lengthKey(axis int) string {
	key := map[string]string{"disc": "diameter_mm", "ring": "outer_diameter_mm", "mask": "mm_per_pixel", "block": "size_mm"}[s.kind]
	if s.kind != "block" && axis == 2 && s.plane == "" {
		key = "height_mm"
	}
	return "body." + key
}

func (s *shape) flat(axis int) bool {
	return s.plane == "ab" && axis == 2 || s.plane == "ac" && axis == 1
}

// extent finds the box of the body.
func (s *shape) extent(d *strict.Document, o *Outline) *strict.Problem {
	height := d.Number("body.height_mm")
	switch s.kind {
	case "disc":
		w := d.Number("body.diameter_mm")
		s.size = [3]float64{w, w, height}
	case "ring":
		w := d.Number("body.outer_diameter_mm")
		s.size, s.inner = [3]float64{w, w, height}, d.Number("body.inner_diameter_mm")/2
		return s.ring(d)
	case "block":
		return s.block(d)
	case "mask":
		if o == nil {
			return nil // the file could not be read, which was reported
		}
		s.outline, s.perPixel = o, d.Number("body.mm_per_pixel")
		s.size = [3]float64{float64(o.Width) * s.perPixel, float64(o.Height) * s.perPixel, height}
		if s.plane == "ac" {
			s.size[2] = s.size[1]
		}
	}
	return nil
}

func (s *shape) ring(d *strict.Document) *strict.Problem {
	if s.plane == "ac" {
		p := d.Problem("body.plane", "a vertical section of a ring is two pieces", `take shape = "block" for one of them, or plane = "ab"`)
		return &p
	}
	if s.inner > 0 && s.size[0] > 0 && s.inner >= s.size[0]/2 {
		p := d.Problem("body.inner_diameter_mm", fmt.Sprintf("wanted less than outer_diameter_mm = %g", s.size[0]), "")
		return &p
	}
	if s.inner > 0 && s.size[0] > 0 && s.size[0]/2-s.inner < s.cell {
		p := d.Problem("body.cell_mm", fmt.Sprintf("the wall of the ring is %g mm, thinner than a cell", s.size[0]/2-s.inner), "take a smaller cell")
		return &p
	}
	return nil
}

func (s *shape) block(d *strict.Document) *strict.Problem {
	size, want := d.Numbers("body.size_mm"), 3
	form := "[x, y, z]"
	switch s.plane {
	case "ab":
		want, form = 2, "[x, y] in the plane ab"
	case "ac":
		want, form = 2, "[x, z] in the plane ac"
	}
	if len(size) == 0 {
		return nil
	}
	if len(size) != want {
		p := d.Problem("body.size_mm", "wanted "+form, "")
		return &p
	}
	copy(s.size[:], size)
	if s.plane == "ac" {
		s.size = [3]float64{size[0], 0, size[1]}
	}
	return nil
}

// cells is the number of cells of the box around the body.
func (s *shape) cells() int64 {
	n := int64(1)
	for axis := range s.size {
		if !s.flat(axis) {
			n *= int64(s.count(axis))
		}
	}
	return n
}

// holds tells whether a point of the top face belongs to the body; y is 0 in a vertical section.
func (s *shape) holds(x, y float64) bool {
	const hair = 1e-9
	switch s.kind {
	case "disc", "ring":
		if s.plane == "ac" {
			return math.Abs(x) <= s.size[0]/2+hair
		}
		r := math.Hypot(x, y)
		return r <= s.size[0]/2+hair && r >= s.inner-hair
	case "mask":
		return s.pixel(x, y)
	}
	return math.Abs(x) <= s.size[0]/2+hair && (s.plane == "ac" || math.Abs(y) <= s.size[1]/2+hair)
}

func (s *shape) pixel(x, y float64) bool {
	i := int(math.Floor((x + s.size[0]/2) / s.perPixel))
	j := int(math.Floor((s.size[1]/2 - y) / s.perPixel))
	if s.plane == "ac" {
		j = 0
		for i >= 0 && i < s.outline.Width && j < s.outline.Height-1 && !s.outline.Body[j*s.outline.Width+i] {
			j++
		}
	}
	return i >= 0 && j >= 0 && i < s.outline.Width && j < s.outline.Height && s.outline.Body[j*s.outline.Width+i]
}

// radii are the least and greatest distances of the body from its axis.
func (s *shape) radii() (least, most float64) {
	if s.plane == "ac" {
		return 0, s.size[0] / 2
	}
	if s.kind == "disc" || s.kind == "ring" {
		return s.inner, s.size[0] / 2
	}
	return 0, math.Hypot(s.size[0], s.size[1]) / 2
}

// Hash is the SHA-256 of width, height and pixels.
func (o *Outline) Hash() [32]byte {
	data := append(make([]byte, len(o.Body)), fmt.Sprint(o.Width, o.Height)...)
	for i, b := range o.Body {
		if b {
			data[i] = 1
		}
	}
	return sha256.Sum256(data)
}
