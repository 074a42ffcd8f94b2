package border

import (
	"fmt"
	"math"

	"onegrain/studies/layout"
	"onegrain/studies/strict"
)

// Cost is what a case takes by estimate, seconds of one core of a 4 GHz machine and bytes. What a
// run takes grows with the cells, with the boundaries between grains, where cells are captured one
// by one, and with the grains.
type Cost struct {
	Seeded  float64 // s, run without strays and its odds
	Run     float64 // s, a run with strays
	Bytes   float64 // of a run: its own, what it starts from, and what the run before it has left to be collected
	Waiting float64 // bytes of a run's rows until they are written
}

// prices are what a case takes, measured on blocks of 10⁴ to 1.6·10⁷ cells in a plane and in space,
// with 0 to 10⁵ strays: each within a factor of 1.5.
type prices struct {
	seededCell, cell, boundary, stray float64 // s
	aloneBytes, bytes, boundaryBytes  float64 // for each cell; alone: a single grain
}

func (t *Draft) prices(dimensions int) prices {
	switch graded := t.HighestK > t.LowestK; {
	case graded && dimensions == 3:
		return prices{1.3e-6, 2.2e-6, 1.2e-5, 8e-5, 20, 48, 500}
	case graded:
		return prices{4.5e-7, 4.5e-7, 9e-6, 8e-5, 20, 48, 500}
	}
	return prices{9e-8, 1.5e-7, 4.5e-6, 5e-5, stillBytes, 28, 380}
}

const (
	startS      = 5e-3 // of a case: laws and clock
	unseededS   = 3e-7 // more for each cell where there is no seed
	columnS     = 8e-7 // for each cell of the outline: its piece is measured
	columnBytes = 85
	stillBytes  = 0.3  // for each cell of a single grain
	likely      = 1e-3 // strays a run from which on runs with strays are counted with
)

// cost is what a case takes by its outlook.
func (t *Draft) cost(b *layout.Body, o Outlook) Cost {
	dimensions, columns, outline := 2, o.Cells, b.Cells()
	strayBytes, rowBytes := 6e3, 2.5e3 // for each stray: as long as it grows, and of its rows
	if !b.Flat(1) && !b.Flat(2) {
		layers := b.Count(2)
		dimensions, columns, outline = 3, o.Cells/float64(layers), outline/int64(layers)
		strayBytes, rowBytes = 16e3, 4e3
	}
	r := t.prices(dimensions)
	cache := math.Min(1.6, math.Max(0.6, math.Pow(o.Cells/1e6, 0.1))) // larger bodies wait longer for memory
	contest := func(grains float64) (seconds, bytes float64) {
		near := math.Pow(grains/o.Cells, 1/float64(dimensions)) // one over the width of a grain in cells
		return cache*o.Cells*(r.cell+r.boundary*near) + cache*grains*r.stray, o.Cells * (r.bytes + r.boundaryBytes*near)
	}
	outlineBytes := columnBytes * float64(outline)
	c := Cost{Seeded: startS + o.Cells*r.seededCell + columns*columnS, Bytes: o.Cells*r.aloneBytes + outlineBytes}
	seeds := float64(len(t.Case.Seeds))
	if seeds > 1 || b.Hollow() {
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
		c.Run = startS + seconds + columns*columnS/4
		c.Bytes = math.Max(c.Bytes, bytes+outlineBytes) + strays*strayBytes
		c.Waiting = strays * rowBytes
	}
	return c
}

const (
	smallCells = 300_000
	smallBytes = 100 // of each cell, with grains some five cells wide
)

// Bytes is the memory that one run of a checked document may need.
func (c *Converter) Bytes(d *strict.Document) int64 {
	b, _ := layout.ReadBody(d, c.outline)
	if b == nil {
		return 0
	}
	if n := b.Cells(); n < smallCells {
		return n * smallBytes // which is not worth an outlook
	}
	l, _ := c.Look(d)
	return int64(l.Bytes)
}

// crowded is more bytes for each cell than any body needs whose grains are some cells wide.
const crowded = 1000

// memory refuses a body that would not fit, and says which cell would. Strays are looked at where
// all else is in order.
func (c *Converter) memory(t *Draft, sound bool) strict.Problems {
	have := math.Inf(1)
	if c.Memory > 0 {
		have = float64(c.Memory)
	}
	need := func(cell float64) (cells, bytes float64) {
		outlook, coarse := Outlook{Cells: 1}, *t.Body
		coarse.CellMM = cell
		for axis, length := range coarse.Sides() {
			if !coarse.Flat(axis) {
				outlook.Cells *= math.Max(1, length/cell)
			}
		}
		cells = outlook.Cells
		switch {
		case cells >= math.MaxInt32: // cells are numbered in 31 bits
			return cells, math.Inf(1)
		case cells*crowded <= have:
			return cells, cells * stillBytes
		case sound:
			outlook = t.outlook(&coarse)
		}
		return cells, t.cost(&coarse, outlook).Bytes
	}
	cells, bytes := need(t.Body.CellMM)
	if bytes <= have {
		return nil
	}
	fit := t.Body.CellMM
	for most := bytes; most > have && fit < 1000; {
		fit *= 1.02
		_, most = need(fit)
	}
	if math.IsInf(bytes, 1) {
		bytes, have = cells*stillBytes, math.Min(have, math.MaxInt32*stillBytes)
	}
	step := math.Pow(10, math.Floor(math.Log10(fit))-1)
	return t.d.Problem("body.cell_mm", fmt.Sprintf("%.3g cells need %.3g GB for one run, and there is room for %.3g GB",
		cells, bytes/1e9, have/1e9), fmt.Sprintf("cells of %.3g mm would fit", math.Ceil(fit/step)*step))
}
