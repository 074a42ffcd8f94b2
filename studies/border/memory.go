package border

import (
	"fmt"
	"math"

	"onegrain/studies/strict"
)

// Cost is what a case takes by estimate, seconds of one core of a 4 GHz machine and bytes. What a run takes grows with the cells, with the
// borders between grains, where cells are captured one by one, and with the grains.
type Cost struct {
	Seeded float64 // s, run without strays and its odds
	Run    float64 // s, a run with strays
	Bytes  float64 // of a run: its own, what it starts from, and what the run before it has left to be collected
	Kept   float64 // bytes of a run's rows until they are written
}

// What a case takes, measured on blocks of 10⁴ to 1.6·10⁷ cells in a plane and in space, with 0 to 10⁵ strays: each within a
// factor of 1.5. Columns are the cells of the outline, of which each has its piece measured.
type prices struct {
	seededCell, cell, border, stray, column float64 // s
	aloneBytes, bytes, borderBytes          float64 // for each cell; alone: a single grain
}

func (t *Draft) prices(d int) prices {
	switch graded := t.HighestK > t.LowestK; {
	case graded && d == 3:
		return prices{1.3e-6, 2.2e-6, 1.2e-5, 8e-5, 8e-7, 20, 48, 500}
	case graded:
		return prices{4.5e-7, 4.5e-7, 9e-6, 8e-5, 8e-7, 20, 48, 500}
	}
	return prices{9e-8, 1.5e-7, 4.5e-6, 5e-5, 8e-7, stillBytes, 28, 380}
}

const (
	startS      = 5e-3 // of a case: laws and clock
	unseededS   = 3e-7 // more for each cell where there is no seed
	columnBytes = 85
	stillBytes  = 0.3  // for each cell of a single grain
	likely      = 1e-3 // strays a run from which on runs with strays are counted with
)

// cost is what a case takes by its outlook.
func (t *Draft) cost(s *shape, o Outlook) Cost {
	d, columns, outline := 3, o.Cells/float64(s.count(2)), s.cells()
	if s.plane != "" {
		d, columns = 2, o.Cells
	} else {
		outline /= int64(s.count(2))
	}
	r := t.prices(d)
	strayBytes, rowBytes := 16e3, 4e3 // for each stray: as long as it grows, and of its rows
	if d == 2 {
		strayBytes, rowBytes = 6e3, 2.5e3
	}
	cache := math.Min(1.6, math.Max(0.6, math.Pow(o.Cells/1e6, 0.1))) // larger bodies wait longer for memory
	contest := func(grains float64) (seconds, bytes float64) {
		near := math.Pow(grains/o.Cells, 1/float64(d)) // one over the width of a grain in cells
		return cache*o.Cells*(r.cell+r.border*near) + cache*grains*r.stray, o.Cells * (r.bytes + r.borderBytes*near)
	}
	c := Cost{Seeded: startS + o.Cells*r.seededCell + columns*r.column, Bytes: o.Cells*r.aloneBytes + columnBytes*float64(outline)}
	seeds := float64(len(t.Case.Seeds))
	if seeds > 1 || s.kind == "ring" || s.kind == "mask" {
		seconds, bytes := contest(seeds)
		c.Seeded, c.Bytes = c.Seeded+seconds, c.Bytes+bytes
	}
	c.Run = c.Seeded
	if seeds == 0 { // nothing can be proved beforehand
		r.cell += unseededS
	}
	if o.Strays > likely {
		strays := o.Strays / -math.Expm1(-o.Strays) // of those runs that have any
		seconds, bytes := contest(seeds + strays)
		c.Run = startS + seconds + columns*r.column/4
		c.Bytes = math.Max(c.Bytes, bytes+columnBytes*float64(outline)) + strays*strayBytes
		c.Kept = strays * rowBytes
	}
	return c
}

// Estimate is the outlook and the cost of a checked document.
func (c *Converter) Estimate(d *strict.Document) (*Draft, Outlook, Cost) {
	s, _ := c.shape(d)
	t, found := c.Draft(d)
	if s == nil || len(found) > 0 {
		return t, Outlook{}, Cost{}
	}
	o := t.outlook(s)
	return t, o, t.cost(s, o)
}

// Bytes is the memory that one run of a checked document may need.
func (c *Converter) Bytes(d *strict.Document) int64 {
	if n := c.Cells(d); n < smallCells {
		return n * smallBytes // which is not worth an outlook
	}
	_, _, cost := c.Estimate(d)
	return int64(cost.Bytes)
}

const (
	smallCells = 300_000
	smallBytes = 100 // of each cell, with grains some five cells wide
)

// crowded is more bytes for each cell than any body needs whose grains are some cells wide.
const crowded = 1000

// memory refuses a body that would not fit, and says which cell would. Strays are looked at where all else is in order.
func (c *Converter) memory(d *strict.Document, s *shape, t *Draft, sound bool) *strict.Problem {
	have := float64(c.Memory)
	if have == 0 {
		have = math.Inf(1)
	}
	need := func(cell float64) (cells, bytes float64) {
		coarse := *s
		cells, coarse.cell = 1, cell
		for axis, length := range s.size {
			if !s.flat(axis) {
				cells *= math.Max(1, length/cell)
			}
		}
		switch {
		case cells >= math.MaxInt32: // cells are numbered in 31 bits
			return cells, math.Inf(1)
		case cells*crowded <= have:
			return cells, cells * stillBytes
		case !sound:
			return cells, t.cost(&coarse, Outlook{Cells: cells}).Bytes
		}
		return cells, t.cost(&coarse, t.outlook(&coarse)).Bytes
	}
	cells, bytes := need(s.cell)
	if bytes <= have {
		return nil
	}
	fit := s.cell
	for most := bytes; most > have && fit < 1000; {
		fit *= 1.02
		_, most = need(fit)
	}
	if math.IsInf(bytes, 1) {
		bytes, have = cells*stillBytes, math.Min(have, math.MaxInt32*stillBytes)
	}
	step := math.Pow(10, math.Floor(math.Log10(fit))-1)
	wanted := fmt.Sprintf("%.3g cells need %s for one run, and there is room for %s", cells, gigabytes(bytes), gigabytes(have))
	p := d.Problem("body.cell_mm", wanted, fmt.Sprintf("cells of %.3g mm would fit", math.Ceil(fit/step)*step))
	return &p
}

func gigabytes(b float64) string { return fmt.Sprintf("%.3g GB", b/1e9) }
