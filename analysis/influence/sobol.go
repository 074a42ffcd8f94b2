package influence

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"gonum.org/v1/gonum/stat"

	"onegrain/analysis/tally"
)

const (
	methodSobol = "first order: A. Saltelli et al., Comput. Phys. Commun. 181 (2010) 259; " +
		"total: M. J. W. Jansen, Comput. Phys. Commun. 117 (1999) 35; " +
		"intervals: 95 % of 1000 resamplings of the rows; rank correlation: Spearman"
	fewRows     = 16 // with fewer rows resampling says little
	resamplings = 1000
	mostWork    = 2e8 // terms summed in all resamplings; above it there are fewer of them
)

// row is one row of a Saltelli design by its cases: A, B, and A with each input in turn from B.
type row []int

// rowsOf are the complete rows of a Saltelli design; none in any other design.
func rowsOf(t Table) []row {
	k := len(t.Inputs)
	if k < 2 {
		return nil
	}
	rows := map[int]row{}
	for c, names := range t.Places {
		for name := range strings.FieldsSeq(names) {
			var n, at int
			switch {
			case scan(name, "AB%d.%d", &n, &at) && at >= 1 && at <= k:
				at++
			case scan(name, "A%d", &n):
				at = 0
			case scan(name, "B%d", &n):
				at = 1
			default:
				continue
			}
			if rows[n] == nil {
				rows[n] = slices.Repeat(row{-1}, k+2)
			}
			rows[n][at] = c
		}
	}
	var all []row
	for _, n := range slices.Sorted(maps.Keys(rows)) {
		if !slices.Contains(rows[n], -1) {
			all = append(all, rows[n])
		}
	}
	return all
}

func scan(text, format string, into ...any) bool {
	n, err := fmt.Sscanf(text, format, into...)
	return err == nil && n == len(into)
}

// apart are the values of the cases that were chosen independently: in a Saltelli design those of A
// and B, in any other all.
func apart(values []float64, rows []row) (out []float64) {
	if len(rows) == 0 {
		return values
	}
	for _, r := range rows {
		out = append(out, values[r[0]], values[r[1]])
	}
	return out
}

// indices adds the Sobol' indices to a ranking, from the rows of which every result is known.
func (r *Ranking) indices(y []float64, rows []row) {
	mean := stat.Mean(known(y), nil)
	terms := make([][]term, len(r.Inputs)) // of each input, for each row
	var bases []term
	for _, w := range rows {
		if slices.ContainsFunc(w, func(c int) bool { return !isKnown(y[c]) }) {
			continue
		}
		a, b := y[w[0]]-mean, y[w[1]]-mean // about the mean, which changes no index but lessens their scatter
		bases = append(bases, term{a, b})
		for i, ab := range w[2:] {
			c := y[ab] - mean
			terms[i] = append(terms[i], term{b * (c - a), (a - c) * (a - c) / 2})
		}
	}
	r.Rows = len(bases)
	warn := func(when bool, format string, values ...any) {
		if when {
			r.Warnings = append(r.Warnings, fmt.Sprintf(format, values...))
		}
	}
	skipped := len(rows) - len(bases)
	warn(skipped > 0, "%d of %d rows of the design lack a result and are left out of the sensitivities", skipped,
		len(rows))
	if r.Rows < 2 || constant(y) {
		return
	}
	warn(r.Rows < fewRows, "%d rows only: do not rely on the intervals of the sensitivities", r.Rows)
	r.Method = methodSobol
	doubtful := false
	for i, of := range resampled(terms, bases) {
		w := &r.Inputs[i]
		w.First, w.FirstInterval = summary(of[0])
		w.Total, w.TotalInterval = summary(of[1])
		doubtful = doubtful || w.FirstInterval.High-w.FirstInterval.Low > 0.2
	}
	warn(doubtful, "intervals of the sensitivities are wider than 0.2: take more points in the design")
}

// term is what one row adds to the first-order and to the total variance of an input; of bases the
// results of A and B.
type term [2]float64

// resampled are the first and the total index of each input: the estimate at place 0, then those of
// rows drawn with replacement.
func resampled(terms [][]term, bases []term) [][2][]float64 {
	n := len(bases)
	times := int(min(resamplings, max(200, mostWork/float64(n*(len(terms)+1)))))
	out := make([][2][]float64, len(terms))
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
				f += terms[i][k][0]
				t += terms[i][k][1]
			}
			out[i][0], out[i][1] = append(out[i][0], f/float64(n)/v), append(out[i][1], t/float64(n)/v)
		}
		for k := range pick {
			pick[k] = random.IntN(n)
		}
	}
	return out
}

// variance of the results of A and B together.
func variance(bases []term, pick []int) float64 {
	var s, q float64
	for _, k := range pick {
		a, b := bases[k][0], bases[k][1]
		s += a + b
		q += a*a + b*b
	}
	n := float64(2 * len(pick))
	return q/n - s/n*s/n
}

// summary is the estimate and its interval: the quantiles of the resampled ones.
func summary(values []float64) (*tally.Real, *tally.Interval) {
	value, i := tally.Unknown(), tally.Interval{Low: tally.Unknown(), High: tally.Unknown()}
	if isKnown(values[0]) {
		again := known(values[1:])
		slices.Sort(again)
		value = tally.Real(values[0])
		i.Low = min(tally.Real(tally.Quantile(again, 0.025)), value)
		i.High = max(tally.Real(tally.Quantile(again, 0.975)), value)
	}
	return &value, &i
}
