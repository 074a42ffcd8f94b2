package chart

import (
	"errors"
	"fmt"
)

// Cells is the body cut into cubic cells, after (or during) a run: what every picture and volume is made from. Cell
// (i, j, k) stands at index (k·N[1] + j)·N[0] + i of the three arrays. A two-dimensional body has one flat axis of a
// single cell: z (2) for a plane seen from above, y (1) for a vertical section.
type Cells struct {
	N      [3]int      // cells along x, y, z; all ≥ 1
	CellMM float64     // edge of a cell, mm
	Origin [3]float64  // centre of cell (0, 0, 0), mm
	Flat   int         // the flat axis, 1 or 2; -1 in three dimensions
	Grain  []int32     // index in Grains; -1 liquid, -2 not of the body
	Sector []uint8     // face that captured the cell: 0 +a, 1 −a, 2 +b, 3 −b, 4 +c, 5 −c, 6 the seed or nucleus itself
	TimeH  []float32   // capture time, hours from the start of the programme; meaningless where Grain < 0
	Grains []GrainInfo // one entry per grain
}

// GrainInfo is what a picture needs to know of a grain.
type GrainInfo struct {
	Seeded bool       // grown from a seed; false for a stray of spontaneous origin
	Origin string     // "seed", "melt", "top", "side" or "bottom"
	AtMM   [3]float64 // where it began, mm
	Axes   [9]float64 // rows: unit vectors a, b, c of the crystal in the frame of the body
	SizeMM [2]float64 // of the seed's contact patch along a and b; 0 where there is none, or it is not told
}

const (
	liquid  int32 = -1 // a cell no grain has reached
	outside int32 = -2 // a cell that is not of the body

	seedSector = 6 // cells of the seed or nucleus itself belong to no face
)

// at is the index of cell (i, j, k) in the arrays.
func (c *Cells) at(i, j, k int) int { return (k*c.N[1]+j)*c.N[0] + i }

// check tells everything that is wrong with the arrays at once, so that no picture is drawn from half a field.
func (c *Cells) check() error {
	if c == nil {
		return errors.New("chart: no cells given: pass the field of a finished run")
	}
	if err := c.checkShape(); err != nil {
		return err
	}
	return errors.Join(c.checkLengths(), c.checkPlaces(), c.checkValues())
}

func (c *Cells) checkShape() error {
	const most = 1 << 31
	cells := 1
	for axis, n := range c.N {
		if n < 1 || n > most/cells {
			return fmt.Errorf("chart: N[%d] = %d cells along %c: wanted at least 1, and fewer than 2³¹ cells in all", axis, n, "xyz"[axis])
		}
		cells *= n
	}
	if !(c.CellMM > 0) || c.CellMM > 1e9 {
		return fmt.Errorf("chart: CellMM = %v mm: wanted the edge of a cell, a finite number above 0", c.CellMM)
	}
	if c.Flat != -1 && c.Flat != 1 && c.Flat != 2 {
		return fmt.Errorf("chart: Flat = %d: wanted 2 (plane seen from above), 1 (vertical section) or -1 (three dimensions)", c.Flat)
	}
	if c.Flat >= 0 && c.N[c.Flat] != 1 {
		return fmt.Errorf("chart: N[%d] = %d along the flat axis %c: wanted 1", c.Flat, c.N[c.Flat], "xyz"[c.Flat])
	}
	return nil
}

func (c *Cells) checkLengths() error {
	want := c.N[0] * c.N[1] * c.N[2]
	var errs []error
	for _, field := range []struct {
		name string
		got  int
	}{{"Grain", len(c.Grain)}, {"Sector", len(c.Sector)}, {"TimeH", len(c.TimeH)}} {
		if field.got != want {
			errs = append(errs, fmt.Errorf("chart: %s has %d values for %d × %d × %d cells: wanted %d", field.name, field.got, c.N[0], c.N[1], c.N[2], want))
		}
	}
	return errors.Join(errs...)
}

// checkPlaces finds places and axes that cannot be drawn.
func (c *Cells) checkPlaces() error {
	for axis, o := range c.Origin {
		if !finite(o) {
			return fmt.Errorf("chart: Origin[%d] = %v mm: wanted the centre of the first cell, a finite number", axis, o)
		}
	}
	for g, info := range c.Grains {
		for axis, x := range info.AtMM {
			if !finite(x) {
				return fmt.Errorf("chart: Grains[%d].AtMM[%d] = %v mm: wanted where the grain began, a finite number", g, axis, x)
			}
		}
		for i, x := range info.Axes {
			if !(x >= -1.001 && x <= 1.001) {
				return fmt.Errorf("chart: Grains[%d].Axes[%d] = %v: wanted a component of a unit vector, -1 to 1", g, i, x)
			}
		}
		for i, x := range info.SizeMM {
			if !(x >= 0 && finite(x)) {
				return fmt.Errorf("chart: Grains[%d].SizeMM[%d] = %v mm: wanted the edge of a seed, or 0", g, i, x)
			}
		}
	}
	return nil
}

func finite(x float64) bool { return x >= -1e9 && x <= 1e9 }

func (c *Cells) checkValues() error {
	for i, g := range c.Grain {
		if g < outside || int(g) >= len(c.Grains) {
			return fmt.Errorf("chart: Grain[%d] = %d, but there are %d grains: wanted -2, -1 or an index of Grains", i, g, len(c.Grains))
		}
		if g >= 0 && i < len(c.Sector) && c.Sector[i] > seedSector {
			return fmt.Errorf("chart: Sector[%d] = %d: wanted 0 to 6", i, c.Sector[i])
		}
		if g >= 0 && i < len(c.TimeH) && !(c.TimeH[i] >= 0 && c.TimeH[i] < 1e12) {
			return fmt.Errorf("chart: TimeH[%d] = %v h in a cell of grain %d: wanted the hour of its capture, 0 or more", i, c.TimeH[i], g)
		}
	}
	return nil
}
