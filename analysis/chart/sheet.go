package chart

import (
	"onegrain/analysis/chart/paper"
)

// Sheet says how a picture is made; the zero value is a PNG of the finished body without caption. A sheet is at most 760
// points wide, 1520 pixels as a PNG. Signs that the typeface of the pictures lacks are written as �.
type Sheet struct {
	Title    string                // caption, first line: the case
	Note     string                // caption, second line: the conditions
	Format   Format                // PNG or SVG
	AtH      float64               // the body as it was at this hour of the programme; 0 = at its end
	LowAngle func(p, q int32) bool // do grains p and q meet at a low angle? Their border is then thin; nil = never
}

// Format of a picture.
type Format = paper.Format

// The formats.
const (
	PNG = paper.PNG // pixels, two for each point
	SVG = paper.SVG // lines and text as vectors, areas as an embedded picture
)
