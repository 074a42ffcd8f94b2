package liquid

import (
	"onegrain/sim/body"
	"onegrain/sim/furnace"
	"onegrain/sim/nucleation"
	"onegrain/sim/nucleation/rate"
)

// fill puts all cells into the table. Of a body in sheets the lowest layer, the highest and one
// between are looked at, since surfaces alone make layers differ.
func (t *Table) fill(p *places) {
	weigh, layers := weights(p.grid), p.grid.N[2]
	if !p.sheets() {
		for k := range layers {
			t.layer(p, weigh, k)
		}
		return
	}
	sheet := &Table{a: t.a, c: []float64{p.depth(0)}}
	for k := range layers {
		if k < 2 || k == layers-1 {
			for o := range sheet.weight {
				sheet.weight[o], sheet.whole[o] = make([]float64, len(t.a)), 0
			}
			sheet.c[0] = p.depth(k)
			sheet.layer(p, weigh, k)
		}
		for o := range t.weight {
			t.whole[o] += sheet.whole[o]
			for i, w := range sheet.weight[o] {
				if w != 0 {
					t.add(o, Lengths{t.a[i], p.depth(k)}, w)
				}
			}
		}
	}
}

// layer puts the cells of a layer into the table.
func (t *Table) layer(p *places, weigh *nucleation.Odds, k int) {
	p.layer(k, func(i, j, k int, corners []Lengths) {
		for o := range t.weight {
			w := weigh.Weight(nucleation.Origin(o), i, j, k)
			if w == 0 {
				continue
			}
			t.whole[o] += w
			for n, at := range corners {
				t.add(o, at, w)
				if n > 0 {
					t.add(o, Lengths{at.A, corners[n-1].C}, -w)
				}
			}
		}
	})
}

// weights knows the volume and the areas of every cell: those of a model that has a law everywhere.
func weights(g *body.Grid) *nucleation.Odds {
	any := rate.Sites{}
	return nucleation.NewOdds(nucleation.Model{Melt: any, Top: any, Side: any, Bottom: any}, g,
		furnace.Cooling{Programme: furnace.Programme{Knots: []furnace.Knot{{}, {TimeH: 1, UndercoolingK: 1}}}})
}
