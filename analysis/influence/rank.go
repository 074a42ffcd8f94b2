package influence

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"onegrain/analysis/tally"
)

const methodRank = "Spearman rank correlation; interval of D. G. Bonett and T. A. Wright, Psychometrika 65 (2000) 23"

// spearman is the rank correlation (C. Spearman, Am. J. Psychol. 15 (1904) 72) over the cases that
// have both values, ties at their mean rank; unknown where one of them does not vary. Its interval
// is that of Fisher's transform with the variance (1 + ρ²/2)/(n − 3).
func spearman(x, y []float64) (tally.Real, tally.Interval) {
	var a, b []float64
	for k := range x {
		if isKnown(x[k]) && isKnown(y[k]) {
			a, b = append(a, x[k]), append(b, y[k])
		}
	}
	if len(a) < fewCases || constant(a) || constant(b) {
		return tally.Unknown(), tally.Interval{Low: tally.Unknown(), High: tally.Unknown()}
	}
	rho := min(1, max(-1, stat.Correlation(ranks(a), ranks(b), nil)))
	half := 1.96 * math.Sqrt((1+rho*rho/2)/float64(len(a)-3))
	z := math.Atanh(min(1-1e-15, max(-1+1e-15, rho)))
	return tally.Real(rho), tally.Interval{Low: tally.Real(math.Tanh(z - half)), High: tally.Real(math.Tanh(z + half))}
}

// ranks from 1, ties at their mean.
func ranks(x []float64) []float64 {
	order := make([]int, len(x))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Or(cmp.Compare(x[a], x[b]), a-b) })
	r := make([]float64, len(x))
	for from := 0; from < len(order); {
		to := from
		for to < len(order) && x[order[to]] == x[order[from]] {
			to++
		}
		for _, k := range order[from:to] {
			r[k] = float64(from+to+1) / 2
		}
		from = to
	}
	return r
}
