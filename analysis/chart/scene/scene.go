package scene

import (
	"errors"
	"image"
	"image/color"
	"strings"

	"onegrain/analysis/chart/tint"
)

// DotsPerPoint is how many pixels of an area stand for each point.
const DotsPerPoint = 2

// Scene is a picture worked out: what is to be drawn, in points from the upper left corner, x to
// the right and y down.
type Scene struct {
	Width, Height float64
	Items         []Item // in the order in which they are drawn, one over the other
	Alt           string // what is seen, in words
}

// Item is one thing to draw: Pixels, Lines, a Shape, or else a Text.
type Item struct {
	Pixels *image.RGBA    // an area with its upper left corner At, DotsPerPoint pixels to a point
	Lines  [][][2]float64 // in one go, so that they do not darken where they meet; Size points wide
	Shape  [][2]float64   // a filled polygon
	Text   string         // a line in letters of Size points
	Align  float64        // its baseline begins At (0), is centred there (0.5) or ends there (1)
	Upward bool           // the line runs upwards, centred
	At     [2]float64
	Size   float64
	Ink    color.RGBA
}

// Measure is how wide a line of text is in letters of a size, both in points.
type Measure func(size float64, text string) float64

// Make works out the picture of a kind: "grains", "sectors" (growth sectors), "arrival" (hours of
// capture), "boundaries" (by disorientation), and "corner" or "corner-sectors" (grains or sectors
// of a three-dimensional body seen from a corner, a quarter cut out). The error names a faulty
// array or value, or what the kind lacks.
func Make(kind string, c *Cells, s Sheet, measure Measure) (*Scene, error) {
	k, err := compose(kind, c, s, measure)
	if err != nil {
		return nil, err
	}
	if strings.HasPrefix(kind, "corner") {
		return k.corner(), nil
	}
	return k.scene(), nil
}

// compose gathers what a kind of picture shows.
func compose(kind string, c *Cells, s Sheet, measure Measure) (*picture, error) {
	if err := s.check(c); err != nil {
		return nil, err
	}
	gather, known := map[string]func(*picture){"grains": (*picture).grains, "corner": (*picture).grains,
		"sectors": (*picture).sectors, "corner-sectors": (*picture).sectors,
		"arrival": (*picture).arrival, "boundaries": (*picture).boundaries}[kind]
	var wrong faults
	wrong.unless(known, "there is no picture %q", kind)
	if kind == "boundaries" {
		wrong.unless(s.AngleDeg != nil && s.JoinDeg >= 0 && s.JoinDeg < widestDeg,
			"boundaries need AngleDeg, and JoinDeg from 0 to %v, not %v", widestDeg, s.JoinDeg)
	}
	wrong.unless(c.Flat < 0 || !strings.HasPrefix(kind, "corner"),
		"Flat = %d: a two-dimensional body cannot be seen from a corner; draw its grains or sectors", c.Flat)
	if len(wrong) > 0 {
		return nil, errors.Join(wrong...)
	}
	k := newPicture(c, s, measure)
	gather(k)
	return k, nil
}

// Text adds a line in letters of a size, points; as in Item it begins at (x, y), is centred or ends
// there. An empty one adds nothing.
func (s *Scene) Text(x, y, size, align float64, ink tint.Tint, text string) {
	if text != "" {
		s.Items = append(s.Items, Item{Text: text, At: point{x, y}, Size: size, Align: align, Ink: ink.Color()})
	}
}

// Stroke adds lines of a width, points.
func (s *Scene) Stroke(ink tint.Tint, width float64, lines ...[][2]float64) {
	if len(lines) > 0 {
		s.Items = append(s.Items, Item{Lines: lines, Size: width, Ink: ink.Color()})
	}
}

// Shape adds a filled polygon.
func (s *Scene) Shape(ink tint.Tint, corners ...point) {
	s.Items = append(s.Items, Item{Shape: corners, Ink: ink.Color()})
}

func (s *Scene) pixels(x, y float64, img *image.RGBA) {
	s.Items = append(s.Items, Item{Pixels: img, At: point{x, y}})
}

// arrow draws a line with a tip of a length and a half width beyond its end, in a direction.
func (s *Scene) arrow(from, to, along point, width, tip, half float64) {
	ink, x, y := tint.Ink(), half*along[0], half*along[1]
	s.Stroke(ink, width, []point{from, to})
	s.Shape(ink, point{to[0] + tip*along[0], to[1] + tip*along[1]}, point{to[0] - y, to[1] + x}, point{to[0] + y,
		to[1] - x})
}
