package main

import (
	"onegrain/analysis/chart"
	"onegrain/sim"
	"onegrain/sim/growth"
	"onegrain/sim/measure"
)

// cellsOf copies the field of a run into the plain arrays that pictures and volumes are made from.
func cellsOf(o *sim.Outcome) *chart.Cells {
	g := o.Case.Grid
	n := g.N[0] * g.N[1] * g.N[2]
	c := &chart.Cells{N: g.N, CellMM: g.CellMM, Origin: g.Origin, Flat: g.Flat, Grain: make([]int32, n), Sector: make([]uint8, n), TimeH: make([]float32, n)}
	row := make([]growth.Cell, g.N[0])
	at := 0
	for k := range g.N[2] {
		for j := range g.N[1] {
			o.Field.Row(j, k, row)
			for _, cell := range row {
				c.Grain[at], c.Sector[at], c.TimeH[at] = cell.Grain, cell.Sector, cell.TimeH
				at++
			}
		}
	}
	for _, grain := range o.Grains {
		info := chart.GrainInfo{Seeded: grain.Seed >= 0, Origin: grain.Origin.String(), AtMM: grain.AtMM,
			Axes: grain.Orientation.Axes()}
		if info.Seeded {
			info.SizeMM = o.Case.Seeds[grain.Seed].SizeMM
		}
		c.Grains = append(c.Grains, info)
	}
	return c
}

// lowAngle tells which touching grains meet at a low angle.
func lowAngle(boundaries []measure.Boundary) func(p, q int32) bool {
	low := map[[2]int32]bool{}
	for _, b := range boundaries {
		low[[2]int32{int32(b.Grain1), int32(b.Grain2)}] = b.LowAngle
	}
	return func(p, q int32) bool { return low[[2]int32{min(p, q), max(p, q)}] }
}
