package main

import (
	"onegrain/analysis/chart"
	"onegrain/analysis/magnet"
	"onegrain/sim"
	"onegrain/sim/measure"
)

// domainsOf gives the domain of each grain, -1 for strays.
func domainsOf(survey *measure.Survey) []int {
	var domains []int
	for _, g := range survey.Grains() {
		domains = append(domains, g.Domain)
	}
	return domains
}

// mapOf is the map of a run seen from above, whose columns belong to the grains told.
func mapOf(o *sim.Outcome, grains []int32) *magnet.Map {
	g := o.Case.Grid
	rim := g.Rim()
	return &magnet.Map{NX: g.N[0], NY: g.N[1], CellMM: g.CellMM, OriginMM: [2]float64{g.Origin[0], g.Origin[1]}, Grain: grains, OuterMM: rim.OuterMM, InnerMM: rim.InnerMM}
}

// columnsOf gives each column of cells what judge says of its cells, from the bottom to the top; Outside where it is not of the body.
func columnsOf(c *chart.Cells, judge func(column []int32) int32) []int32 {
	layer := c.N[0] * c.N[1]
	out, column := make([]int32, layer), make([]int32, c.N[2])
	for u := range out {
		inside := false
		for k := range column {
			column[k] = c.Grain[k*layer+u]
			inside = inside || column[k] >= -1
		}
		out[u] = magnet.Outside
		if inside {
			out[u] = judge(column)
		}
	}
	return out
}

// clearColumns are those of one domain from bottom to top; they are named by their top grain. All others are void.
func clearColumns(c *chart.Cells, domains []int) []int32 {
	return columnsOf(c, func(column []int32) int32 {
		top := column[len(column)-1]
		for _, g := range column {
			if g < 0 || domains[g] < 0 || domains[g] != domains[top] {
				return magnet.Void
			}
		}
		return top
	})
}

// seededColumns are those of seeded grains from bottom to top, named by the grain that has most of their cells, of equals the higher
// one. So a boundary that slants through the body is a line, and no band without current.
func seededColumns(c *chart.Cells, domains []int) []int32 {
	count := make([]int, len(domains))
	return columnsOf(c, func(column []int32) int32 {
		most := magnet.Void
		for _, g := range column {
			if g < 0 || domains[g] < 0 {
				most = magnet.Void
				break
			}
			count[g]++
			if most < 0 || count[g] >= count[most] {
				most = g
			}
		}
		for _, g := range column {
			if g >= 0 {
				count[g] = 0
			}
		}
		return most
	})
}

// shownColumns are the columns with, where there is no current, what stops it: the uppermost stray, or liquid.
func shownColumns(c *chart.Cells, domains []int, seeded []int32) []int32 {
	shown := columnsOf(c, func(column []int32) int32 {
		for k := len(column) - 1; k >= 0; k-- {
			if g := column[k]; g >= 0 && domains[g] < 0 {
				return g
			}
		}
		return magnet.Void
	})
	for u, g := range seeded {
		if g >= 0 {
			shown[u] = g
		}
	}
	return shown
}

// wholeOf is the same body of one grain.
func wholeOf(m *magnet.Map) *magnet.Map {
	one := *m
	one.Grain = make([]int32, len(m.Grain))
	for u, g := range m.Grain {
		if g == magnet.Outside {
			one.Grain[u] = g
		}
	}
	return &one
}

// turned is the map with x and y exchanged.
func turned(m *magnet.Map) *magnet.Map {
	t := *m
	t.NX, t.NY, t.OriginMM = m.NY, m.NX, [2]float64{m.OriginMM[1], m.OriginMM[0]}
	t.Grain = make([]int32, len(m.Grain))
	for j := range m.NY {
		for i := range m.NX {
			t.Grain[i*m.NY+j] = m.Grain[j*m.NX+i]
		}
	}
	return &t
}

// isBlock tells whether the body fills its grid.
func isBlock(o *sim.Outcome) bool {
	g := o.Case.Grid
	return g.Cells() == g.N[0]*g.N[1]*g.N[2]
}
