package gallery

import (
	"io"
	"math"
	"sort"

	"onegrain/analysis/chart/graph"
	"onegrain/analysis/chart/scene"
	"onegrain/sim"
)

// programmeOf is the programme of a case as charts want it.
func programmeOf(c *sim.Case, peritecticC float64) *scene.Programme {
	p := &scene.Programme{PeritecticC: peritecticC}
	for _, k := range c.Programme.Knots {
		p.TimeH, p.UndercoolingK = append(p.TimeH, k.TimeH), append(p.UndercoolingK, k.UndercoolingK)
	}
	return p
}

// Programme draws the programme of a case that was not grown.
func Programme(c *sim.Case, peritecticC float64) func(w io.Writer, f Format) (alt string, err error) {
	p := programmeOf(c, peritecticC)
	return graph.Programme{Title: "Furnace programme", TimeH: p.TimeH, UndercoolingK: p.UndercoolingK,
		PeritecticC: p.PeritecticC}.Draw
}

func (g *Gallery) programme(w io.Writer, f Format) (string, error) {
	p := g.sheet.Programme
	return graph.Programme{Title: "Furnace programme", Note: g.caption(), TimeH: p.TimeH, UndercoolingK: p.UndercoolingK,
		PeritecticC: p.PeritecticC, SolidH: g.Run.TimeToFullH, Marks: g.marks()}.Draw(w, f)
}

// marks are the hours of a run that deserve a word.
func (g *Gallery) marks() (list []graph.Mark) {
	if start := g.Survey.GrowthStartH(); !math.IsInf(start, 0) {
		list = append(list, graph.Mark{At: start, Text: "growth begins"})
	}
	for _, o := range g.Outcome.Grains {
		if o.Seed < 0 {
			list = append(list, graph.Mark{At: o.BornH, Text: "first stray"})
			break
		}
	}
	if full := g.Run.TimeToFullH; full > 0 {
		list = append(list, graph.Mark{At: full, Text: "all solid"})
	}
	return list
}

// history draws the run from the start of growth until soon after the body is solid.
func (g *Gallery) history(w io.Writer, f Format) (string, error) {
	furnace := g.Outcome.Case.Programme
	hours := g.Moments(g.sheet.Programme.ShownEndH(g.Run.TimeToFullH))
	h := graph.History{Title: "History of the run", Note: g.caption(), Marks: g.marks(), TimeH: hours,
		SolidFraction: make([]float64, len(hours)), Nuclei: make([]float64, len(hours))}
	count := func(into []float64, at float64) {
		if n := sort.SearchFloat64s(hours, at); n < len(into) {
			into[n]++
		}
	}
	body := 0.0
	for i, grain := range g.cells.Grain {
		if grain >= 0 {
			count(h.SolidFraction, float64(g.cells.TimeH[i]))
		}
		if grain >= -1 {
			body++
		}
	}
	for _, o := range g.Outcome.Grains {
		if o.Seed < 0 {
			count(h.Nuclei, o.BornH)
		}
	}
	for n, t := range hours {
		if n > 0 {
			h.SolidFraction[n] += h.SolidFraction[n-1]
			h.Nuclei[n] += h.Nuclei[n-1]
		}
		h.UndercoolingK = append(h.UndercoolingK, furnace.Undercooling(t))
	}
	for n := range h.SolidFraction {
		h.SolidFraction[n] /= body
	}
	h.ReachAMM = g.Reach(hours, 0)
	if g.cells.Flat != 2 {
		h.ReachCMM = g.Reach(hours, 2)
	}
	return h.Draw(w, f)
}
