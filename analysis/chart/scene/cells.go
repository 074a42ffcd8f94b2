package scene

import (
	"errors"
	"fmt"
	"strconv"
)

// Cells is the body cut into cubic cells, after (or during) a run: what every picture and volume is
// made from. Cell (i, j, k) stands at index (k·N[1] + j)·N[0] + i of the three arrays. A
// two-dimensional body has one flat axis of a single cell: z (2) for a plane seen from above, y (1)
// for a vertical section.
type Cells struct {
	N      [3]int     // cells along x, y, z; all ≥ 1
	CellMM float64    // edge of a cell, mm
	Origin [3]float64 // centre of cell (0, 0, 0), mm
	Flat   int        // the flat axis, 1 or 2; -1 in three dimensions
	Grain  []int32    // index in Grains; -1 liquid, -2 not of the body
	Sector []uint8    // face that captured the cell: 0 +a, 1 −a, 2 +b, 3 −b, 4 +c, 5 −c, 6 seed or nucleus
	TimeH  []float32  // capture time, h from the start of the programme; meaningless where Grain < 0
	Grains []Grain    // one entry per grain
}

// Grain is what a picture needs to know of a grain.
type Grain struct {
	Seeded bool       // grown from a seed; false for a stray of spontaneous origin
	Origin string     // "seed", "melt", "top", "side" or "bottom"
	AtMM   [3]float64 // where it began, mm
	Axes   [9]float64 // rows: unit vectors a, b, c of the crystal in the frame of the body
	SizeMM [2]float64 // of the seed's contact patch along a and b; 0 where there is none or not known
}

func (g Grain) seeded() bool { return g.Seeded }

const (
	liquid  int32 = -1 // a cell no grain has reached
	outside int32 = -2 // a cell that is not of the body

	seedSector = 6 // cells of the seed or nucleus itself belong to no face
)

// at is the index of cell (i, j, k) in the arrays.
func (c *Cells) at(i, j, k int) int { return (k*c.N[1]+j)*c.N[0] + i }

// faults gather what is wrong.
type faults []error

// unless notes a fault where something does not hold.
func (f *faults) unless(holds bool, format string, args ...any) {
	if !holds {
		*f = append(*f, fmt.Errorf("chart: "+format, args...))
	}
}

// Check tells what is wrong with the arrays, so that no picture is drawn from half a field. Errors
// name the field, its value and what was wanted.
func (c *Cells) Check() error {
	if c == nil {
		return errors.New("chart: no cells given: pass the field of a finished run")
	}
	const most = 1 << 31
	var wrong faults
	cells := 1
	for axis, n := range c.N {
		wrong.unless(n >= 1 && n <= most/cells,
			"N[%d] = %d cells along %c: wanted at least 1, and fewer than 2³¹ cells in all", axis, n, "xyz"[axis])
		cells *= max(1, min(n, most/cells))
	}
	wrong.numbers("CellMM", 1/far, far, "the edge of a cell, above 0", c.CellMM)
	if c.Flat == 1 || c.Flat == 2 {
		wrong.unless(c.N[c.Flat] == 1, "N[%d] = %d along the flat axis %c: wanted 1", c.Flat, c.N[c.Flat], "xyz"[c.Flat])
	} else {
		wrong.unless(c.Flat == -1,
			"Flat = %d: wanted 2 (plane seen from above), 1 (vertical section) or -1 (three dimensions)", c.Flat)
	}
	for i, got := range [3]int{len(c.Grain), len(c.Sector), len(c.TimeH)} {
		wrong.unless(got == cells, "%s has %d values for %d × %d × %d cells: wanted %d",
			[3]string{"Grain", "Sector", "TimeH"}[i], got, c.N[0], c.N[1], c.N[2], cells)
	}
	wrong.numbers("Origin", -far, far, "the centre of the first cell, mm", c.Origin[:]...)
	for g, grain := range c.Grains {
		name := "Grains[" + strconv.Itoa(g) + "]."
		wrong.numbers(name+"AtMM", -far, far, "where the grain began", grain.AtMM[:]...)
		wrong.numbers(name+"Axes", -1.001, 1.001, "parts of unit vectors", grain.Axes[:]...)
		wrong.numbers(name+"SizeMM", 0, far, "the edges of a seed, or 0", grain.SizeMM[:]...)
	}
	c.checkValues(&wrong)
	return errors.Join(wrong...)
}

// numbers notes those that are not from low to high.
func (f *faults) numbers(name string, low, high float64, wanted string, values ...float64) {
	for i, x := range values {
		if !(x >= low && x <= high) {
			if len(values) > 1 {
				name = fmt.Sprintf("%s[%d]", name, i)
			}
			f.unless(false, "%s = %v: wanted %s", name, x, wanted)
			return
		}
	}
}

// far is as far as a place may be, mm.
const far = 1e9

// checkValues finds the first cell whose values are no grain, sector or hour.
func (c *Cells) checkValues(wrong *faults) {
	for i, g := range c.Grain {
		switch {
		case g < outside || int(g) >= len(c.Grains):
			wrong.unless(false, "Grain[%d] = %d, but there are %d grains: wanted -2, -1 or an index of Grains",
				i, g, len(c.Grains))
		case g >= 0 && i < len(c.Sector) && c.Sector[i] > seedSector:
			wrong.unless(false, "Sector[%d] = %d: wanted 0 to 6", i, c.Sector[i])
		case g >= 0 && i < len(c.TimeH) && !(c.TimeH[i] >= 0 && c.TimeH[i] < 1e12):
			wrong.unless(false, "TimeH[%d] = %v h: wanted the hour of the capture, 0 or more", i, c.TimeH[i])
		default:
			continue
		}
		return
	}
}
