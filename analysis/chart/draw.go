package chart

import (
	"fmt"
	"io"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/scene"
)

// Sheet says what a picture shows and how it is written; the zero value is a PNG of the finished
// body without caption. A sheet is at most 760 points wide, 1520 pixels as a PNG. Signs that the
// typeface of the pictures lacks are written as �.
type Sheet struct {
	scene.Sheet
	Format paper.Format
}

// Draw writes a picture of a kind of [scene.Make], and says in one or two sentences what is seen on
// it. The error names a faulty array or value, or is that of w; nothing is written before the
// picture is whole.
func Draw(w io.Writer, kind string, c *scene.Cells, s Sheet) (alt string, err error) {
	if s.Format > paper.SVG {
		return "", fmt.Errorf("chart: Format = %d: wanted PNG or SVG", s.Format)
	}
	letters, err := paper.NewLetters()
	if err != nil {
		return "", err
	}
	made, err := scene.Make(kind, c, s.Sheet, letters.Width)
	if err != nil {
		return "", err
	}
	p := paper.New(s.Format, made.Width, made.Height, letters)
	p.Draw(made.Items)
	return made.Alt, p.Encode(w)
}
