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

// positive refuses a size that is no length.
func (s length) positive() error {
	if !(s.mm > 0) || math.IsInf(s.mm, 0) {
		return fmt.Errorf("%s = %v: give a finite length above 0 mm", s.name, s.mm)
	}
	return nil
}

// newGrid is a box of cells, all of the body, for the lengths along x, y and z, of which the one
// along the flat axis is not looked at. It stands on z = 0 about the axis x = y = 0. An error names
// the length that is none.
func newGrid(size [3]length, cellMM float64, flat int) (*Grid, error) {
	if flat != Solid && flat != VerticalSection && flat != FromAbove {
		return nil, fmt.Errorf("flat axis %d: use Solid, VerticalSection or FromAbove", flat)
	}
	if err := (length{"cell_mm", cellMM}).positive(); err != nil {
		return nil, err
	}
	g := &Grid{N: [3]int{1, 1, 1}, CellMM: cellMM, Flat: flat}
	all := 1.0
	for a, s := range size {
		if a == flat {
			continue
		}
		if err := s.positive(); err != nil {
			return nil, err
		}
		n := count(s.mm, cellMM)
		if all *= n; !(all < mostCells) {
			return nil, fmt.Errorf("cell_mm = %v: the body would have %.3g cells or more, the most is %d; choose larger cells",
				cellMM, all, mostCells)
		}
		g.N[a] = int(n)
	}
	g.Origin = [3]float64{-float64(g.N[0]-1) / 2 * cellMM, -float64(g.N[1]-1) / 2 * cellMM, cellMM / 2}
	if flat >= 0 {
		g.Origin[flat] = 0
	}
	nx, ny, _ := g.Layer()
	g.outline = make([]State, nx*ny)
	return g, nil
}

// count is how many cells a width gets: the nearest whole number, at least one.
func count(mm, cellMM float64) float64 { return math.Max(1, math.Round(mm/cellMM)) }

// fromAxis is twice the distance of a cell's centre from the middle of n cells, in cells: a whole
// number, so that a symmetric outline comes out symmetric.
func fromAxis(i, n int) float64 { return float64(2*i - n + 1) }
