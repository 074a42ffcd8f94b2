package paper

import (
	"fmt"
	"strings"

	"codeberg.org/go-fonts/dejavu/dejavusans"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/font/sfnt"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"

	"onegrain/analysis/chart/scene"
)

const typeface = "DejaVu Sans"

// Letters is the one typeface of all pictures. It travels with the program, so pictures look the
// same where no fonts are installed; the usual default face lacks ⁻ and drops it without a word,
// which turns a unit into another one.
type Letters struct {
	typeface *opentype.Font
	cache    *font.Cache
}

// NewLetters unpacks the typeface; the error is that of a damaged program.
func NewLetters() (Letters, error) {
	f, err := opentype.Parse(dejavusans.TTF)
	if err != nil {
		return Letters{}, fmt.Errorf("chart: the built-in typeface cannot be read: %w", err)
	}
	return Letters{f, font.NewCache(font.Collection{{Font: font.Font{Typeface: typeface}, Face: f}})}, nil
}

func (l Letters) face(size float64) font.Face {
	return font.Face{Font: font.Font{Typeface: typeface, Size: vg.Points(size)}, Face: l.typeface}
}

// Width of a line in points.
func (l Letters) Width(size float64, s string) float64 {
	face := l.face(size)
	return face.Width(s).Points()
}

// Known is s with a replacement sign for every rune that the typeface cannot draw: a gap would
// change the meaning.
func (l Letters) Known(s string) string {
	return strings.Map(func(r rune) rune {
		var buf sfnt.Buffer
		if glyph, err := l.typeface.GlyphIndex(&buf, r); err != nil || glyph == 0 {
			return '\uFFFD'
		}
		return r
	}, s)
}

// Wrapped cuts s into lines no wider than width; a single word longer than that is cut where it
// must be.
func (l Letters) Wrapped(size, width float64, s string) []string {
	return scene.Measure(l.Width).Wrapped(size, width, s)
}
