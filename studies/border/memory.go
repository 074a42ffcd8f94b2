package border

import (
	"fmt"
	"math"

	"onegrain/studies/strict"
)

// The memory one run needs for each cell of its body's box: state, owner, arrival and queue, and what the run before it has left to be
// collected.
const (
	plainBytes  = 34 // measured as 33 for the third run of a body of 256³ cells with a thousand grains; a single grain needs a tenth of it
	gradedBytes = 80 // under a gradient, where cells remember the six faces while their surroundings grow: a body crowded with grains of a dozen cells
)

// bytesPerCell is what to count with for a document: the most that crowded bodies of its kind need.
func bytesPerCell(d *strict.Document) float64 {
	if d.Number("gradient.vertical_K_per_mm") != 0 || d.Number("gradient.radial_K_per_mm") != 0 {
		return gradedBytes
	}
	return plainBytes
}

// Bytes is the memory that one run of a checked document may need.
func (c *Converter) Bytes(d *strict.Document) int64 {
	return c.Cells(d) * int64(bytesPerCell(d))
}

// memory refuses a body that would not fit, and says which cell would.
func (c *Converter) memory(d *strict.Document, s *shape) *strict.Problem {
	boxes := 1.0 // cells in floating point: the count itself may overflow
	dims := 0.0
	for axis, length := range s.size {
		if !s.flat(axis) {
			boxes *= math.Max(1, length/s.cell)
			dims++
		}
	}
	each := bytesPerCell(d)
	need, have := boxes*each, float64(c.Memory)
	if boxes >= math.MaxInt32 {
		have = math.MaxInt32 * each // cells are numbered in 31 bits
		if c.Memory > 0 {
			have = math.Min(have, float64(c.Memory))
		}
	}
	if have == 0 || need <= have {
		return nil
	}
	fit := s.cell * math.Pow(need/have, 1/dims) * 1.01
	step := math.Pow(10, math.Floor(math.Log10(fit))-1)
	p := d.Problem("body.cell_mm", fmt.Sprintf("%.3g cells need %s for one run, and there is room for %s", boxes, gigabytes(need), gigabytes(have)),
		fmt.Sprintf("cells of %.3g mm would fit", math.Ceil(fit/step)*step))
	return &p
}

func gigabytes(b float64) string { return fmt.Sprintf("%.3g GB", b/1e9) }
