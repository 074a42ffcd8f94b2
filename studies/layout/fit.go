package layout

import (
	"fmt"
	"math"
	"strings"

	"onegrain/sim"
	"onegrain/studies/strict"
	"onegrain/studies/unit"
)

// Count is how many cells the body gets along an axis: the nearest whole number, at least one.
func (b *Body) Count(axis int) int { return int(math.Max(1, math.Round(b.size[axis]/b.CellMM))) }

// straight tells whether the faces across an axis are planes, which come out right only with a
// whole number of cells between them. A circle or a picture is true to a cell at best.
func (b *Body) straight(axis int) bool {
	return !b.Flat(axis) && (b.kind == "block" || b.kind == "disc" && b.plane == "ac" || axis == 2 && b.plane == "")
}

// Rounded says what the grid makes of sizes that are no whole number of cells.
func (b *Body) Rounded() []string {
	var parts []string
	for axis, mm := range b.size {
		if !b.straight(axis) {
			continue
		}
		n := b.Count(axis)
		if got := float64(n) * b.CellMM; math.Abs(got-mm) > 1e-6*mm {
			parts = append(parts, fmt.Sprintf("%g mm along %c become %.6g mm, %d cells", mm, "xyz"[axis], got, n))
		}
	}
	if len(parts) == 0 {
		return nil
	}
	text := fmt.Sprintf("the body is no whole number of %g mm cells: %s", b.CellMM, strings.Join(parts, "; "))
	if cell, ok := b.fitting(1); ok {
		text += fmt.Sprintf("; cell_mm = %g fits", cell)
	}
	return []string{text}
}

// periods refuses a periodic block whose cells the engine cannot join face to face.
func (b *Body) periods(d *strict.Document) strict.Problems {
	if !b.periodic {
		return nil
	}
	of := sim.PeriodicMultiple(b.plane != "")
	var odd, size []string
	for axis, mm := range b.size {
		if b.Flat(axis) {
			continue
		}
		n := b.Count(axis)
		if n%of != 0 {
			odd = append(odd, fmt.Sprintf("%d along %c", n, "xyz"[axis]))
			mm = unit.Decimal(float64(of) * math.Max(1, math.Round(float64(n)/float64(of))) * b.CellMM)
		}
		size = append(size, fmt.Sprint(mm))
	}
	if len(odd) == 0 {
		return nil
	}
	hint := fmt.Sprintf("take size_mm = [%s]", strings.Join(size, ", "))
	if cell, ok := b.fitting(of); ok {
		hint += fmt.Sprintf(", or cell_mm = %g", cell)
	}
	return d.Problem("body.size_mm", fmt.Sprintf("a periodic block wants a multiple of %d cells along each axis, "+
		"with cell_mm = %g it has %s", of, b.CellMM, strings.Join(odd, ", ")), hint)
}

// Cells is the number of cells of the box around the body.
func (b *Body) Cells() int64 {
	n := int64(1)
	for axis := range b.size {
		if !b.Flat(axis) {
			n *= int64(b.Count(axis))
		}
	}
	return n
}

// fitting is the cell nearest to the one asked for, of four decimals at most and between half and
// twice its size, of which the body is a whole multiple of `of` along each axis; false where there
// is none.
func (b *Body) fitting(of int) (cell float64, ok bool) {
	first := 0
	for !b.straight(first) {
		first++
	}
	far := math.Log(2.001) // half and twice themselves are taken
	length := b.size[first] / float64(of)
	if length > 1e6*b.CellMM { // more cells than fit any memory
		return 0, false
	}
	for n := math.Ceil(length / b.CellMM / 2); n <= 2*length/b.CellMM; n++ {
		c := math.Round(length/n*1e4) / 1e4
		if d := math.Abs(math.Log(c / b.CellMM)); n >= 1 && d < far && b.divides(float64(of)*c) {
			cell, ok, far = c, true, d
		}
	}
	return cell, ok
}

// divides tells whether the body is a whole multiple of a length along each axis.
func (b *Body) divides(length float64) bool {
	for axis, mm := range b.size {
		n := math.Round(mm / length)
		if b.straight(axis) && (n < 1 || math.Abs(n*length-mm) > 1e-9*mm) {
			return false
		}
	}
	return true
}
