package battery

import (
	"math"

	"onegrain/cmd/evidence/door"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

// counts compares how many grains there are, and how much that scatters: less than a Poisson
// number, because grains keep others off.
func (c *crowd) counts(on *bench, grains []float64) {
	by := of(on.short, 1.06, 1.15)
	end, runs := c.theory.p.end(), float64(c.runs)
	n, off := c.theory.number(end), c.theory.swift(by).number(end)
	mean, variance := stat.MeanVariance(grains, nil)
	spread := math.Sqrt(variance)
	if c.variance > 0 {
		spread = math.Sqrt(c.variance * n)
	}
	with := values{"where": c.where, "runs": c.runs, "percent": 100 * (by - 1), "theory": c.variance > 0}
	on.against("grains", with, n, mean, manySigmas*spread/math.Sqrt(runs), off)
	if c.variance > 0 {
		on.against("grains-variance", with, c.variance, variance/mean, manySigmas*c.variance*math.Sqrt(2/(runs-1)), 1)
	}
}

// lags compares how far turned boxes stay behind the law of aligned ones.
func (c *crowd) lags(on *bench, r *door.Results) {
	for _, l := range c.lag {
		mean, sd := stat.MeanStdDev(mat.Col(nil, 0, c.fractions(r, []int{l.step})), nil)
		law, se := 1-c.theory.liquid(c.time(l.step)), sd/math.Sqrt(float64(c.runs))
		with := values{"where": c.where, "runs": c.runs, "tau": float64(l.step) / 100, "late": c.late, "se": se, "sd": l.sd,
			"law": law, "wrong": l.wrongMeans}
		on.against("lag", with, l.by, mean-law, manySigmas*math.Hypot(l.sd, se)+c.late*c.cell, l.wrong)
	}
}
