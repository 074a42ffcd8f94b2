package graph

import (
	"math"
	"slices"

	"onegrain/analysis/trace"
)

// edge is the contour at the wanted chance in the coordinates of the plot: the caller's, or the one
// between the cells of a grid.
func (m *matrix) edge() [][][2]float64 {
	if m.Wanted == 0 {
		return nil
	}
	if m.Contour != nil || m.dots || len(m.X.Levels)+len(m.Y.Levels) > 0 { // between words lies nothing
		return m.placed(m.Contour)
	}
	return trace.Chains(trace.Contour(len(m.xs), len(m.ys), func(i, j int) float64 {
		if q := m.grid[j*len(m.xs)+i]; q != nil && q.known() {
			return strays(q.chance())
		}
		return math.NaN()
	}, strays(m.Wanted)))
}

// strays is the logarithm of the expected strays that belong to a chance p = exp(−Λ), in which
// interpolation between cells is smoothest. Certain cases are taken as 10⁻⁶ and 50 strays.
func strays(p float64) float64 {
	return math.Log(math.Max(1e-6, math.Min(50, -math.Log(p))))
}

// placed carries lines from values to the coordinates of the plot.
func (m *matrix) placed(lines [][][2]float64) [][][2]float64 {
	if m.dots {
		return lines
	}
	out := make([][][2]float64, len(lines))
	for i, line := range lines {
		for _, q := range line {
			out[i] = append(out[i], [2]float64{position(m.xs, q[0], m.X.Log), position(m.ys, q[1], m.Y.Log)})
		}
	}
	return out
}

// position is where a value stands among those of the cells: straight between neighbours, and on
// beyond the last ones.
func position(values []float64, x float64, log bool) float64 {
	if len(values) < 2 {
		return 0
	}
	f := func(v float64) float64 { return v }
	if log && values[0] > 0 && x > 0 {
		f = math.Log
	}
	i, _ := slices.BinarySearch(values, x)
	i = max(1, min(len(values)-1, i))
	low, high := f(values[i-1]), f(values[i])
	return float64(i-1) + (f(x)-low)/(high-low)
}
