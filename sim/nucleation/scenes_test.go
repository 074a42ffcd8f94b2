package nucleation

import (
	"onegrain/sim/body"
	"onegrain/sim/furnace"
	"onegrain/sim/nucleation/rate"
)

// ramp starts molten at the peritectic temperature.
func ramp(slope, hours float64) furnace.Programme {
	return furnace.Programme{Knots: []furnace.Knot{{TimeH: 0, UndercoolingK: 0},
		{TimeH: hours, UndercoolingK: slope * hours}}}
}

func every(e *Events) []Event {
	var all []Event
	for v, ok := e.Next(); ok; v, ok = e.Next() {
		all = append(all, v)
	}
	return all
}

// expected is the mean number of events in a cell, all origins together.
func expected(o *Odds, i, j, k int, untilH float64) (total float64) {
	for _, x := range o.Expected(i, j, k, untilH) {
		total += x
	}
	return total
}

func sum(o *Odds, g *body.Grid, untilH float64) float64 {
	total := 0.0
	for k := range g.N[2] {
		for j := range g.N[1] {
			for i := range g.N[0] {
				total += expected(o, i, j, k, untilH)
			}
		}
	}
	return total
}

// quick is the same sum by groups.
func quick(o *Odds, untilH float64) float64 {
	total := 0.0
	for _, s := range o.sources {
		for g, h := range s.hazards {
			if h != nil {
				total += s.weight[g] * h.at(untilH)
			}
		}
	}
	return total
}

// scene is a body, a model, a programme and a gradient.
type scene struct {
	name  string
	grid  *body.Grid
	model Model
	p     furnace.Programme
	grad  furnace.Gradient
}

func (s scene) odds() *Odds {
	return NewOdds(s.model, s.grid, furnace.Cooling{Programme: s.p, Gradient: s.grad})
}

func scenes() []scene {
	slow, _ := rate.NewTable([]float64{5, 12, 23}, []float64{0.002, 0.008, 0.1})
	deep := furnace.Programme{Knots: []furnace.Knot{{TimeH: 0, UndercoolingK: -9}, {TimeH: 31, UndercoolingK: 22}}}
	jump := furnace.Programme{Knots: []furnace.Knot{{TimeH: 0, UndercoolingK: 0}, {TimeH: 0, UndercoolingK: 14},
		{TimeH: 5, UndercoolingK: 14}, {TimeH: 30, UndercoolingK: 24}}}
	warm := furnace.Programme{Knots: []furnace.Knot{{TimeH: 0, UndercoolingK: -9}, {TimeH: 4, UndercoolingK: -9},
		{TimeH: 4, UndercoolingK: 14}, {TimeH: 30, UndercoolingK: 24}}}
	barrier := barrierOf(2, 2e6, 1283.15)
	return []scene{
		{"barrier, uniform", disc(12, 5, 0.5, 0, -1), Model{Melt: barrier}, ramp(1, 25), furnace.Gradient{}},
		{"all origins, uniform", disc(12, 5, 0.5, 5, -1), Model{Melt: barrier, Top: sitesOf(0.3, 15, 4), Side: slow,
			Bottom: barrier, Texture: Fibre{}}, ramp(1, 22), furnace.Gradient{}},
		{"barrier, vertical", disc(12, 5, 0.5, 0, -1), Model{Melt: barrier}, deep, furnace.Gradient{VerticalKPerMM: 1.5}},
		{"all origins, both gradients", disc(12, 5, 0.5, 5, -1), Model{Melt: barrier, Top: sitesOf(0.3, 15, 4), Side: slow,
			Bottom: sitesOf(0.2, 15, 4)}, warm, furnace.Gradient{VerticalKPerMM: 1.5, RadialKPerMM: 0.7}},
		{"sites, jump", disc(12, 5, 0.5, 0, -1), Model{Melt: sitesOf(0.8, 22, 4)}, jump, furnace.Gradient{}},
		{"section", block(14, 1, 9, 0.5, 1), Model{Melt: barrier, Top: barrier, Side: barrier, Bottom: slow}, warm,
			furnace.Gradient{VerticalKPerMM: 1, RadialKPerMM: 0.5}},
		{"from above", disc(14, 1, 0.5, 4, 2), Model{Melt: barrier, Top: barrier, Side: slow}, deep,
			furnace.Gradient{RadialKPerMM: -0.9}},
	}
}

func barrierOf(prefactor, barrierK3, peritecticK float64) rate.Law {
	return rate.Barrier{PrefactorPerUnitH: prefactor, BarrierK3: barrierK3, PeritecticK: peritecticK}
}

func sitesOf(density, meanK, spreadK float64) rate.Law {
	return rate.Sites{DensityPerUnit: density, MeanUndercoolingK: meanK, SpreadK: spreadK}
}
