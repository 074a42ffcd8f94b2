package body

import (
	"fmt"
	"math"
)

// How a body lies in space: values of Grid.Flat.
const (
	Solid           = -1 // three dimensions
	VerticalSection = 1  // the plane "ac": x and z; y is flat
	FromAbove       = 2  // the plane "ab": x and y; z is flat
)

// mostCells keeps cell numbers inside 31 bits.
const mostCells = 1 << 31

// length is a size in mm under the name its user knows it by.
type length struct {
	name string
	mm   float64
}

// positive refuses sizes that are no lengths.
func positive(sizes ...length) error {
	for _, s := range sizes {
		if !(s.mm > 0) || math.IsInf(s.mm, 0) {
			return fmt.Errorf("%s = %v: give a finite length above 0 mm", s.name, s.mm)
		}
	}
	return nil
}

// plane refuses values of flat that name no plane.
func plane(flat int) error {
	if flat == Solid || flat == VerticalSection || flat == FromAbove {
		return nil
	}
	return fmt.Errorf("flat axis %d: use Solid, VerticalSection or FromAbove", flat)
}

// count is how many cells a width gets: the nearest whole number, at least one.
func count(mm, cellMM float64) float64 { return math.Max(1, math.Round(mm/cellMM)) }

// counts are the cells along x, y, z for the given extents in mm; the flat axis gets one.
func counts(sizeMM [3]float64, cellMM float64, flat int) (n [3]int, err error) {
	all := 1.0
	for a, mm := range sizeMM {
		c := 1.0
		if a != flat {
			c = count(mm, cellMM)
		}
		if all *= c; !(all < mostCells) {
			return n, fmt.Errorf("cell_mm = %v: the body would have %.3g cells or more, the most is %d; choose larger cells", cellMM, all, mostCells)
		}
		n[a] = int(c)
	}
	return n, nil
}

// centred is the centre of cell (0, 0, 0) of a body standing on z = 0 about the axis x = y = 0.
func centred(n [3]int, cellMM float64, flat int) (origin [3]float64) {
	for a := range origin[:2] {
		origin[a] = -float64(n[a]-1) / 2 * cellMM
	}
	origin[2] = cellMM / 2
	if flat >= 0 {
		origin[flat] = 0
	}
	return origin
}

// fromAxis is twice the distance of a cell's centre from the middle of n cells, in cells: a whole number, so that a
// symmetric outline comes out symmetric.
func fromAxis(i, n int) float64 { return float64(2*i - n + 1) }
