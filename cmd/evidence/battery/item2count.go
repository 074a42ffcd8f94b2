package battery

import (
	"fmt"
	"math"

	"onegrain/analysis/evidence"
	"onegrain/cmd/evidence/door"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

// counts compares how many grains there are, and how much that scatters: less than a Poisson
// number, because grains keep others off.
func (c *crowd) counts(grains []float64, short size) []evidence.Finding {
	by := of(short, 1.06, 1.15)
	end, runs := c.theory.p.end(), float64(c.runs)
	n, off := c.theory.number(end), c.theory.swift(by).number(end)
	mean, variance := stat.MeanVariance(grains, nil)
	spread, because := math.Sqrt(variance), "4 standard errors, from the runs' own scatter"
	if c.variance > 0 {
		spread, because = math.Sqrt(c.variance*n), "4 √(F N / runs), F the variance over the mean in theory"
	}
	f := evidence.Finding{Quantity: "number of grains", Where: c.where, Source: "V ∫ I exp(−Xe) dt",
		Sample: fmt.Sprintf("%d runs", c.runs), Because: because,
		Comparison: compare(n, mean, manySigmas*spread/math.Sqrt(runs))}
	found := []evidence.Finding{f.Against(fmt.Sprintf("growth rates +%.0f %%", 100*(by-1)), off)}
	if c.variance == 0 {
		return found
	}
	f.Quantity, f.Source = "variance of the number of grains over its mean", "exact integral over pairs of nuclei"
	f.Because = "4 standard errors of a variance, F √(2/(runs − 1))"
	f.Comparison = compare(c.variance, variance/mean, manySigmas*c.variance*math.Sqrt(2/(runs-1)))
	return append(found, f.Against("a Poisson number", 1))
}

// lags compares how far turned boxes stay behind the law of aligned ones.
func (c *crowd) lags(r *door.Results) (found []evidence.Finding) {
	for _, l := range c.lag {
		mean, sd := stat.MeanStdDev(mat.Col(nil, 0, c.fractions(r, []int{l.step})), nil)
		law, se := 1-c.theory.liquid(c.time(l.step)), sd/math.Sqrt(float64(c.runs))
		found = append(found, evidence.Finding{
			Quantity: fmt.Sprintf("solid fraction less that of aligned boxes, after %.1f τ", float64(l.step)/100),
			Where:    c.where,
			Source:   "own Monte Carlo with a front-propagation solver on 300 × 300 points, 12 runs of 50 grains",
			Sample:   fmt.Sprintf("%d runs", c.runs),
			Because: fmt.Sprintf("4 standard errors of both together, and %v per mm of cell: "+
				"fronts behind edges are late by a part of a cell", c.late),
			Comparison: compare(l.by, mean-law, manySigmas*math.Hypot(l.sd, se)+c.late*c.cell),
			Note:       fmt.Sprintf("standard error of the runs %.2g, of the source %.2g; aligned boxes: %.4f.", se, l.sd, law),
		}.Against(l.wrongMeans, l.wrong))
	}
	return found
}
