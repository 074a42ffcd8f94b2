package battery

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"

	"onegrain/analysis/evidence"
	"onegrain/cmd/evidence/door"
)

// counts compares how many grains there are, and how much that scatters: less than a Poisson number, because grains keep others off.
func (c *crowd) counts(grains []float64, s evidence.Size) []evidence.Finding {
	by := evidence.Of(s, 1.06, 1.15)
	end := c.theory.p.end()
	n, off := c.theory.number(end), c.theory.swift(by).number(end)
	mean, variance := stat.MeanVariance(grains, nil)
	spread, because := math.Sqrt(variance), "4 standard errors, from the runs' own scatter"
	if c.variance > 0 {
		spread, because = math.Sqrt(c.variance*n), "4 √(F N / runs), F the variance over the mean in theory"
	}
	runs := float64(c.runs)
	found := []evidence.Finding{evidence.Finding{
		Quantity: "number of grains", Where: c.where, Source: "V ∫ I exp(−Xe) dt", Sample: fmt.Sprintf("%d runs", c.runs), Because: because,
		Comparison: evidence.Comparison{Expected: n, Found: mean, Tolerance: manySigmas * spread / math.Sqrt(runs)},
	}.Against(fmt.Sprintf("growth rates +%.0f %%", 100*(by-1)), off)}
	if c.variance == 0 {
		return found
	}
	return append(found, evidence.Finding{
		Quantity: "variance of the number of grains over its mean", Where: c.where, Source: "exact integral over pairs of nuclei", Sample: fmt.Sprintf("%d runs", c.runs),
		Because:    "4 standard errors of a variance, F √(2/(runs − 1))",
		Comparison: evidence.Comparison{Expected: c.variance, Found: variance / mean, Tolerance: manySigmas * c.variance * math.Sqrt(2/(runs-1))},
	}.Against("a Poisson number", 1))
}

// lags compares how far turned boxes stay behind the law of aligned ones.
func (c *crowd) lags(r *door.Results) each {
	var steps []int
	for _, l := range c.lag {
		steps = append(steps, l.step)
	}
	x, err := c.fractions(r, steps)
	if err != nil {
		return each{nil, err}
	}
	var found []evidence.Finding
	for i, l := range c.lag {
		mean, sd := stat.MeanStdDev(mat.Col(nil, i, x), nil)
		law := 1 - c.theory.liquid(c.time(l.step))
		found = append(found, evidence.Finding{
			Quantity: fmt.Sprintf("solid fraction less that of aligned boxes, after %.1f τ", float64(l.step)/100), Where: c.where,
			Source: "own Monte Carlo with a front-propagation solver on 300 × 300 points, 12 runs of 50 grains", Sample: fmt.Sprintf("%d runs", c.runs),
			Because:    fmt.Sprintf("4 standard errors of both together, and %v per mm of cell: fronts behind edges are late by a part of a cell", c.late),
			Comparison: evidence.Comparison{Expected: l.by, Found: mean - law, Tolerance: manySigmas*math.Hypot(l.sd, sd/math.Sqrt(float64(c.runs))) + c.late*c.cell},
			Note:       fmt.Sprintf("standard error of the runs %.2g, of the source %.2g; aligned boxes: %.4f.", sd/math.Sqrt(float64(c.runs)), l.sd, law),
		}.Against(l.wrongMeans, l.wrong))
	}
	return each{found, nil}
}
