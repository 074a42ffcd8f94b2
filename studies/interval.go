package studies

import "gonum.org/v1/gonum/stat/distuv"

// Batch is how many replicates of a case run between two looks at its interval: looking after each
// one would stop too often by luck.
const Batch = 8

// What an interval may miss. A case that stops once its interval is narrow stops more often where
// chance has led it away from one half, so that an interval of 95 % would hold the truth 93.8 to 95
// % of the time, by how precise it is to be; one of 96.5 % does so 95 % of the time at least, at a
// price of 14 % more runs at half width 0.05 (coverage_test.go works both out exactly).
const (
	missing      = 0.05
	missingEarly = 0.035
)

// interval is the Clopper-Pearson interval of a share (Clopper, Pearson, Biometrika 26 (1934) 404)
// that misses the truth in `missing` of all cases at most; 0 to 1 for n = 0.
func interval(hits, n int, missing float64) (low, high float64) {
	low, high = 0, 1
	k, m := float64(hits), float64(n)
	if hits > 0 {
		low = distuv.Beta{Alpha: k, Beta: m - k + 1}.Quantile(missing / 2)
	}
	if hits < n {
		high = distuv.Beta{Alpha: k + 1, Beta: m - k}.Quantile(1 - missing/2)
	}
	return low, high
}

// Interval95 is the 95 % interval of a case of the study, in spite of stopping early where it does.
func (s *Study) Interval95(hits, n int) (low, high float64) {
	if s.Precision > 0 {
		return interval(hits, n, missingEarly)
	}
	return interval(hits, n, missing)
}

// Precise tells whether the interval of a share is within ± the precision of the study; never where
// that is 0.
func (s *Study) Precise(hits, n int) bool { return precise(hits, n, s.Precision) }

func precise(hits, n int, precision float64) bool {
	low, high := interval(hits, n, missingEarly)
	return n > 0 && (high-low)/2 <= precision
}
