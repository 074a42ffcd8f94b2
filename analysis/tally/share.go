package tally

import "gonum.org/v1/gonum/stat/distuv"

// Share is the Clopper-Pearson 95 % interval of a share (C. J. Clopper and E. S. Pearson,
// Biometrika 26 (1934) 404), 0 to 1 where n is 0. hits need not be whole: for a mean of n chances,
// each of which lies between 0 and 1, n times that mean gives an interval that is too wide rather
// than too narrow, since nothing between 0 and 1 scatters more than a coin of the same mean.
func Share(hits, n float64) Interval {
	out := Interval{0, 1}
	if !(n > 0) {
		return out
	}
	hits = min(max(hits, 0), n)
	if hits > 0 {
		out.Low = Real(distuv.Beta{Alpha: hits, Beta: n - hits + 1}.Quantile(0.025))
	}
	if hits < n {
		out.High = Real(distuv.Beta{Alpha: hits + 1, Beta: n - hits}.Quantile(0.975))
	}
	return out
}
