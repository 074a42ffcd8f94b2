package scene

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"

	"onegrain/analysis/chart/scale"
)

// Sheet says what a picture shows; the zero value is the finished body without caption.
type Sheet struct {
	Title    string                // caption, first line: the case
	Note     string                // caption, second line: the conditions
	AtH      float64               // the body as it was at this hour of the programme; 0 = at its end
	LowAngle func(p, q int32) bool // do grains p and q meet at a low angle? Then thin; nil = never

	AngleDeg  func(p, q int32) float64 // disorientation of touching grains p < q; for "boundaries" only
	JoinDeg   float64                  // the joining angle, up to which a boundary counts as low
	Programme *Programme               // undercooling on contours, and below a time-lapse; may be nil
	Clear     Disc                     // the clear piece, drawn where the whole run is shown
	Cuts      []Cut                    // planes instead of the usual ones; up to three, not of a plane
}

// Programme is the undercooling against time, straight between its knots.
type Programme struct {
	TimeH         []float64 // h, ascending
	UndercoolingK []float64 // K at the reference point, negative above the peritectic temperature
	PeritecticC   float64   // °C
}

// Disc is a disc through the whole thickness of a body; of a vertical section it is a run along x.
type Disc struct {
	AtMM       [2]float64 // x and y of its axis
	DiameterMM float64    // 0 for none
}

// Cut is a plane through the body.
type Cut struct {
	Axis int     // the axis looked along: 0 x, 1 y, 2 z
	AtMM float64 // where the plane stands on it, mm
}

// Undercooling is that at an hour, K.
func (g *Programme) Undercooling(timeH float64) float64 {
	i, n := sort.SearchFloat64s(g.TimeH, timeH), len(g.TimeH)
	if i == 0 || i == n {
		return g.UndercoolingK[min(i, n-1)]
	}
	t := (timeH - g.TimeH[i-1]) / (g.TimeH[i] - g.TimeH[i-1])
	return g.UndercoolingK[i-1] + t*(g.UndercoolingK[i]-g.UndercoolingK[i-1])
}

// ShownEndH is where an axis of time ends for a body that is solid after some hours, h; see
// [scale.SoonAfter].
func (g *Programme) ShownEndH(solidH float64) float64 {
	return scale.SoonAfter(solidH, g.TimeH[len(g.TimeH)-1])
}

// kelvin writes the undercooling at an hour.
func (g *Programme) kelvin(timeH float64) string {
	return scale.Number(g.Undercooling(timeH), 1) + " K"
}

func (g *Programme) check(wrong *faults) {
	n := len(g.TimeH)
	wrong.unless(n > 0 && n == len(g.UndercoolingK),
		"Programme has %d times and %d undercoolings: wanted one knot at least, and one of each for it", n,
		len(g.UndercoolingK))
	wrong.unless(slices.IsSorted(g.TimeH), "Programme.TimeH = %v: wanted hours in their order", g.TimeH)
	wrong.numbers("Programme.TimeH", -far, far, "hours", g.TimeH...)
	wrong.numbers("Programme.UndercoolingK", -far, far, "undercoolings", g.UndercoolingK...)
	wrong.numbers("Programme.PeritecticC", -far, far, "the peritectic temperature, °C", g.PeritecticC)
}

// check finds what is wrong with the arrays, the sheet, and one against the other.
func (s Sheet) check(c *Cells) error {
	if err := c.Check(); err != nil {
		return err
	}
	var wrong faults
	wrong.numbers("AtH", 0, math.MaxFloat64, "an hour of the programme, or 0 for its end", s.AtH)
	wrong.numbers("Clear.AtMM", -far, far, "the place of the clear piece", s.Clear.AtMM[:]...)
	wrong.numbers("Clear.DiameterMM", 0, far, "that of the clear piece, or 0 for none", s.Clear.DiameterMM)
	if s.Programme != nil {
		s.Programme.check(&wrong)
	}
	wrong.unless(len(s.Cuts) <= 3, "%d Cuts: wanted at most 3 on a sheet", len(s.Cuts))
	for i, k := range s.Cuts {
		switch {
		case c.Flat >= 0:
			wrong.unless(false, "Cuts[%d]: a two-dimensional body has one plane, which is shown as it is; leave Cuts empty", i)
		case k.Axis < 0 || k.Axis > 2:
			wrong.unless(false, "Cuts[%d].Axis = %d: wanted 0 (x), 1 (y) or 2 (z)", i, k.Axis)
		default:
			low := c.Origin[k.Axis] - c.CellMM/2
			high := low + float64(c.N[k.Axis])*c.CellMM
			wrong.numbers(fmt.Sprintf("Cuts[%d].AtMM along %c", i, "xyz"[k.Axis]), low, high,
				fmt.Sprintf("a place within the body, %.2f to %.2f mm", low, high), k.AtMM)
		}
	}
	return errors.Join(wrong...)
}

// untilH is the hour up to which captured cells are shown.
func (s Sheet) untilH() float64 {
	if s.AtH == 0 {
		return math.Inf(1)
	}
	return s.AtH
}
