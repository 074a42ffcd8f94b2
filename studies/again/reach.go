package again

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/interp"
)

// Moments are 200 even steps from the start of growth to an hour, and the knots of the programme
// between; none where that hour is not behind the start.
func (g *Grown) Moments(endH float64) (hours []float64) {
	const steps = 200
	start := g.Survey.GrowthStartH()
	if !(start < endH) {
		return nil
	}
	for n := range steps + 1 {
		hours = append(hours, start+(endH-start)*float64(n)/steps)
	}
	for _, k := range g.Outcome.Case.Programme.Knots {
		if k.TimeH > start && k.TimeH < endH {
			hours = append(hours, k.TimeH)
		}
	}
	slices.Sort(hours)
	return slices.Compact(hours)
}

// Reach is how far the cells of the first seed's grain reach from its middle along an axis of its
// crystal, 0 a or 2 c, at each hour, in mm; nil without a seed. It is straight between the hours at
// which the grain first comes a cell further. The table `history` has its width without walls and
// neighbours; here is what there is to see.
func (g *Grown) Reach(hours []float64, axis int) []float64 {
	o := g.Outcome
	if len(hours) == 0 || len(o.Grains) == 0 || o.Grains[0].Seed < 0 {
		return nil
	}
	grid, seed := o.Case.Grid, o.Grains[0]
	axes := seed.Orientation.Axes()
	var layers []place // the first cell of each layer, a cell thick
	for i, grain := range g.Cells.Grain {
		if grain != 0 {
			continue
		}
		far := 0.0
		for d, n := range [3]int{i % grid.N[0], i / grid.N[0] % grid.N[1], i / grid.N[0] / grid.N[1]} {
			far += axes[3*axis+d] * (grid.Origin[d] + float64(n)*grid.CellMM - seed.AtMM[d])
		}
		far = math.Abs(far)
		n := int(far / grid.CellMM)
		for len(layers) <= n {
			layers = append(layers, place{math.Inf(1), 0})
		}
		if t := float64(g.Cells.TimeH[i]); t < layers[n].hour {
			layers[n] = place{t, far}
		}
	}
	half := 0.0
	if axis == 0 {
		half = o.Case.Seeds[seed.Seed].SizeMM[0] / 2
	}
	return between(hours, layers, place{seed.BornH, half}, grid.CellMM)
}

// place is when a grain reaches how far.
type place struct{ hour, mm float64 }

// between are the values at the hours of a grain that starts half a seed wide, and whose last layer
// is filled to its far side.
func between(hours []float64, layers []place, start place, cellMM float64) []float64 {
	at, mm := []float64{start.hour}, []float64{start.mm}
	for _, k := range layers {
		for k.mm > start.mm && len(at) > 1 && at[len(at)-1] >= k.hour { // further without the layer before
			at, mm = at[:len(at)-1], mm[:len(mm)-1]
		}
		if k.mm > start.mm && k.hour > at[len(at)-1] && !math.IsInf(k.hour, 1) {
			at, mm = append(at, k.hour), append(mm, k.mm)
		}
	}
	if n := len(at) - 1; n > 0 {
		rate := (mm[n] - mm[n-1]) / (at[n] - at[n-1])
		at, mm = append(at, at[n]+cellMM/2/rate), append(mm, mm[n]+cellMM/2)
	}
	if len(at) < 2 {
		return slices.Repeat([]float64{start.mm}, len(hours))
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
