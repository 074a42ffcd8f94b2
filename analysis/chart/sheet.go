package chart

import (
	"fmt"
	"sort"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/scale"
)

// Sheet says how a picture is made; the zero value is a PNG of the finished body without caption. A sheet is at most 760
// points wide, 1520 pixels as a PNG. Signs that the typeface of the pictures lacks are written as �.
type Sheet struct {
	Title    string                // caption, first line: the case
	Note     string                // caption, second line: the conditions
	Format   Format                // PNG or SVG
	AtH      float64               // the body as it was at this hour of the programme; 0 = at its end
	LowAngle func(p, q int32) bool // do grains p and q meet at a low angle? Their border is then thin; nil = never

	AngleDeg  func(p, q int32) float64 // disorientation of touching grains p < q; only Boundaries needs it
	JoinDeg   float64                  // the joining angle, up to which a border counts as low
	Programme *Programme               // the furnace: undercooling on contours, and its course beside a time-lapse; nil = not told
	Clear     Disc                     // the clear piece, drawn where the whole run is shown; nothing where its diameter is 0
	Cuts      []Cut                    // planes to show instead of the usual ones; up to three, of a three-dimensional body only
}

// Programme is the undercooling against time, straight between its knots.
type Programme struct {
	TimeH         []float64 // h, ascending
	UndercoolingK []float64 // K at the reference point, negative above the peritectic temperature
	PeritecticC   float64   // °C
}

// Cut is a plane through the body.
type Cut struct {
	Axis int     // the axis looked along: 0 x, 1 y, 2 z
	AtMM float64 // where the plane stands on it, mm
}

// at is the undercooling at an hour.
func (g *Programme) at(timeH float64) float64 {
	n := len(g.TimeH)
	i := sort.SearchFloat64s(g.TimeH, timeH)
	switch {
	case i == 0:
		return g.UndercoolingK[0]
	case i == n:
		return g.UndercoolingK[n-1]
	}
	t := (timeH - g.TimeH[i-1]) / (g.TimeH[i] - g.TimeH[i-1])
	return g.UndercoolingK[i-1] + t*(g.UndercoolingK[i]-g.UndercoolingK[i-1])
}

// kelvin writes the undercooling at an hour.
func (g *Programme) kelvin(timeH float64) string { return scale.Number(g.at(timeH), 1) + " K" }

// check finds what cannot be drawn.
func (g *Programme) check() error {
	if g == nil {
		return nil
	}
	if len(g.TimeH) == 0 || len(g.TimeH) != len(g.UndercoolingK) {
		return fmt.Errorf("chart: Programme has %d times and %d undercoolings: wanted at least one knot, and one of each for it", len(g.TimeH), len(g.UndercoolingK))
	}
	for i, t := range g.TimeH {
		if !finite(t) || !finite(g.UndercoolingK[i]) || i > 0 && t < g.TimeH[i-1] {
			return fmt.Errorf("chart: Programme knot %d is %v h, %v K: wanted finite numbers in the order of time", i, t, g.UndercoolingK[i])
		}
	}
	if !finite(g.PeritecticC) {
		return fmt.Errorf("chart: Programme.PeritecticC = %v: wanted the peritectic temperature in °C", g.PeritecticC)
	}
	return nil
}

// Format of a picture.
type Format = paper.Format

// The formats.
const (
	PNG = paper.PNG // pixels, two for each point
	SVG = paper.SVG // lines and text as vectors, areas as an embedded picture
)
