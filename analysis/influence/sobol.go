package influence

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"onegrain/analysis/tally"
)

const (
	methodSobol = "first order: A. Saltelli et al., Comput. Phys. Commun. 181 (2010) 259; total: M. J. W. Jansen, Comput. Phys. Commun. 117 (1999) 35; " +
		"intervals: 95 % of 1000 resamplings of the rows; rank correlation: Spearman"
	resamplings = 1000
	mostWork    = 2e8 // terms summed in all resamplings; above it there are fewer of them
)

// row is one row of a Saltelli design by its cases: A, B, and A with each input in turn from B.
type row struct {
	a, b int
	ab   []int
}

// indices adds the Sobol' indices to a ranking, from the rows of which every result is known.
func indices(r *Ranking, y []float64, rows []row) {
	mean := meanOf(y)
	terms := make([][]term, len(r.Inputs)) // of each input, for each row
	var bases [][2]float64
	for _, w := range rows {
		if !complete(w, y) {
			continue
		}
		a, b := y[w.a]-mean, y[w.b]-mean // about the mean, which changes no index but lessens their scatter
		bases = append(bases, [2]float64{a, b})
		for i, ab := range w.ab {
			c := y[ab] - mean
			terms[i] = append(terms[i], term{b * (c - a), (a - c) * (a - c) / 2})
		}
	}
	r.Rows = len(bases)
	if skipped := len(rows) - len(bases); skipped > 0 {
		r.Warnings = append(r.Warnings, fmt.Sprintf("%d of %d rows of the design lack a result and are left out of the sensitivities", skipped, len(rows)))
	}
	if r.Rows < 2 || constant(y) {
		return
	}
	if r.Rows < fewRows {
		r.Warnings = append(r.Warnings, fmt.Sprintf("%d rows only: the intervals of the sensitivities are not to be relied on", r.Rows))
	}
	r.Method = methodSobol
	first, total := resampled(terms, bases)
	doubtful := false
	for i := range r.Inputs {
		f, t := summary(first[i]), summary(total[i])
		r.Inputs[i].First, r.Inputs[i].FirstInterval = &f.value, &f.interval
		r.Inputs[i].Total, r.Inputs[i].TotalInterval = &t.value, &t.interval
		doubtful = doubtful || f.interval.High-f.interval.Low > 0.2
	}
	if doubtful {
		r.Warnings = append(r.Warnings, "intervals of the sensitivities are wider than 0.2: take more points in the design")
	}
}

// term is what one row adds to the first-order and to the total variance of an input.
type term struct{ first, total float64 }

func complete(w row, y []float64) bool {
	ok := known(y[w.a]) && known(y[w.b])
	for _, ab := range w.ab {
		ok = ok && known(y[ab])
	}
	return ok
}

// meanOf is the mean of what is known.
func meanOf(y []float64) float64 {
	return stat.Mean(slices.DeleteFunc(slices.Clone(y), func(x float64) bool { return !known(x) }), nil)
}

// resampled are the indices of each input: the estimate at place 0, then those of rows drawn with
// replacement.
func resampled(terms [][]term, bases [][2]float64) (first, total [][]float64) {
	n := len(bases)
	times := int(min(resamplings, max(200, mostWork/float64(n*(len(terms)+1)))))
	first, total = make([][]float64, len(terms)), make([][]float64, len(terms))
	random := tally.Stream("influence")
	pick := make([]int, n)
	for k := range pick {
		pick[k] = k
	}
	for range times + 1 {
		v := variance(bases, pick)
		for i := range terms {
			var f, t float64
			for _, k := range pick {
				f += terms[i][k].first
				t += terms[i][k].total
			}
			first[i], total[i] = append(first[i], f/float64(n)/v), append(total[i], t/float64(n)/v)
		}
		for k := range pick {
			pick[k] = random.IntN(n)
		}
	}
	return first, total
}

// variance of the results of A and B together.
func variance(bases [][2]float64, pick []int) float64 {
	var s, q float64
	for _, k := range pick {
		a, b := bases[k][0], bases[k][1]
		s += a + b
		q += a*a + b*b
	}
	n := float64(2 * len(pick))
	return q/n - s/n*s/n
}

type estimate struct {
	value    tally.Real
	interval tally.Interval
}

// summary is the estimate and its interval: the quantiles of the resampled ones.
func summary(values []float64) estimate {
	again := slices.DeleteFunc(slices.Clone(values[1:]), func(x float64) bool { return !known(x) })
	slices.Sort(again)
	at := func(q float64) tally.Real { return tally.Real(tally.Quantile(again, q)) }
	if !known(values[0]) {
		return estimate{tally.Unknown(), tally.Interval{Low: tally.Unknown(), High: tally.Unknown()}}
	}
	return estimate{tally.Real(values[0]), tally.Interval{Low: tally.Real(math.Min(float64(at(0.025)), values[0])), High: tally.Real(math.Max(float64(at(0.975)), values[0]))}}
}
