package main

import (
	"io"
	"math"
	"slices"
	"sort"

	"gonum.org/v1/gonum/interp"

	"onegrain/analysis/chart/graph"
	"onegrain/analysis/chart/scale"
)

func (g *gallery) drawProgramme(w io.Writer) (string, error) {
	p := g.sheet.Programme
	return graph.Programme{Title: "Furnace programme", Note: g.caption(), TimeH: p.TimeH,
		UndercoolingK: p.UndercoolingK, PeritecticC: p.PeritecticC, SolidH: g.run.TimeToFullH, Marks: g.marks()}.Draw(w, g.sheet.Format)
}

// drawHistory draws the run from the start of growth until soon after the body is solid. The table
// `history` tells how wide the first seed's grain would be without walls and neighbours; here
// stands how far its cells reach, for that is what there is to see.
func (g *gallery) drawHistory(w io.Writer) (string, error) {
	h := graph.History{Title: "History of the run", Note: g.caption(), Marks: g.marks(), TimeH: g.moments()}
	h.SolidFraction, h.Nuclei = make([]float64, len(h.TimeH)), make([]float64, len(h.TimeH))
	count := func(into []float64, at float64) {
		if n := sort.SearchFloat64s(h.TimeH, at); n < len(into) {
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
	for _, o := range g.outcome.Grains {
		if o.Seed < 0 {
			count(h.Nuclei, o.BornH)
		}
	}
	for n, t := range h.TimeH {
		if n > 0 {
			h.SolidFraction[n] += h.SolidFraction[n-1]
			h.Nuclei[n] += h.Nuclei[n-1]
		}
		h.UndercoolingK = append(h.UndercoolingK, g.outcome.Case.Programme.Undercooling(t))
	}
	for n := range h.SolidFraction {
		h.SolidFraction[n] /= body
	}
	h.ReachAMM = g.reach(h.TimeH, 0)
	if g.cells.Flat != 2 {
		h.ReachCMM = g.reach(h.TimeH, 2)
	}
	return h.Draw(w, g.sheet.Format)
}

// moments are 200 even steps from the start of growth to the end of the chart, and the knots of the
// programme between.
func (g *gallery) moments() (hours []float64) {
	const steps = 200
	start, end := g.survey.GrowthStartH(), g.outcome.Case.Programme.EndH()
	end = scale.SoonAfter(g.run.TimeToFullH, end)
	if !(start < end) {
		return nil
	}
	for n := range steps + 1 {
		hours = append(hours, start+(end-start)*float64(n)/steps)
	}
	for _, k := range g.outcome.Case.Programme.Knots {
		if k.TimeH > start && k.TimeH < end {
			hours = append(hours, k.TimeH)
		}
	}
	slices.Sort(hours)
	return slices.Compact(hours)
}

// reach is how far the grain of the first seed reaches from its middle along an axis of its
// crystal, 0 a or 2 c, at each hour, in mm; nil without a seed. It is straight between the hours at
// which the grain first comes a cell further.
func (g *gallery) reach(hours []float64, axis int) []float64 {
	c := g.cells
	if len(hours) == 0 || len(c.Grains) == 0 || !c.Grains[0].Seeded {
		return nil
	}
	seed := c.Grains[0]
	var layers []knot // the first cell of each layer, a cell thick
	for i, grain := range c.Grain {
		if grain != 0 {
			continue
		}
		far := 0.0
		for d, n := range [3]int{i % c.N[0], i / c.N[0] % c.N[1], i / c.N[0] / c.N[1]} {
			far += seed.Axes[3*axis+d] * (c.Origin[d] + float64(n)*c.CellMM - seed.AtMM[d])
		}
		far = math.Abs(far)
		n := int(far / c.CellMM)
		for len(layers) <= n {
			layers = append(layers, knot{math.Inf(1), 0})
		}
		if t := float64(c.TimeH[i]); t < layers[n].hour {
			layers[n] = knot{t, far}
		}
	}
	return g.between(hours, layers, [3]float64{seed.SizeMM[0] / 2}[axis])
}

// knot is when a grain reaches how far.
type knot struct{ hour, mm float64 }

// between are the values at the hours of a grain that starts half a seed wide, and whose last layer
// is filled to its far side.
func (g *gallery) between(hours []float64, layers []knot, half float64) []float64 {
	at, mm := []float64{g.outcome.Grains[0].BornH}, []float64{half}
	for _, k := range layers {
		for k.mm > half && len(at) > 1 && at[len(at)-1] >= k.hour { // it came further without the layer before
			at, mm = at[:len(at)-1], mm[:len(mm)-1]
		}
		if k.mm > half && k.hour > at[len(at)-1] && !math.IsInf(k.hour, 1) {
			at, mm = append(at, k.hour), append(mm, k.mm)
		}
	}
	if n := len(at) - 1; n > 0 {
		rate := (mm[n] - mm[n-1]) / (at[n] - at[n-1])
		at, mm = append(at, at[n]+g.cells.CellMM/2/rate), append(mm, mm[n]+g.cells.CellMM/2)
	}
	if len(at) < 2 {
		return slices.Repeat([]float64{half}, len(hours))
	}
	var line interp.PiecewiseLinear
	if line.Fit(at, mm) != nil {
		return nil
	}
	values := make([]float64, len(hours))
	for n, t := range hours {
		values[n] = line.Predict(t)
	}
	return values
}
