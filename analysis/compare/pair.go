package compare

import (
	"math"

	"gonum.org/v1/gonum/stat/combin"

	"onegrain/analysis/tally"
)

// Pair is a case that both sides have.
type Pair struct {
	IDA         string         `json:"case_id_a"`
	IDB         string         `json:"case_id_b"`
	Values      map[string]any `json:"values"`       // of the varied columns of A
	SamePhysics bool           `json:"same_physics"` // not only the same values of what is varied
	Differs     bool           `json:"differs"`      // in any of the following
	Counts      bool           `json:"counts_differ"`
	Exact       bool           `json:"exact_odds_differ"`
	Laws        bool           `json:"chance_over_laws_differs"`
	Clear       bool           `json:"clear_diameter_differs"` // its median or its outer tenths
	PValue      tally.Real     `json:"p_value"`                // of the counted shares, were both chances the same
	A           *Result        `json:"a"`                      // nil where it was not run
	B           *Result        `json:"b"`
}

// weigh compares the results of a pair. Where both have the very same runs there is nothing left to
// chance and no test.
func (p *Pair) weigh(sameRuns bool) {
	p.PValue = tally.Unknown()
	a, b := p.A, p.B
	if a == nil || b == nil {
		return
	}
	p.Counts = a.Runs != b.Runs || a.Singles != b.Singles
	p.Exact = !equal(a.Exact, b.Exact) || !equal(a.Strays, b.Strays)
	p.Laws = !equal(a.OverLaws, b.OverLaws) || !equal(a.Within.Low, b.Within.Low) || !equal(a.Within.High, b.Within.High)
	p.Clear = !equal(a.ClearMM, b.ClearMM) || !equal(a.P10MM, b.P10MM) || !equal(a.P90MM, b.P90MM)
	p.Differs = p.Counts || p.Exact || p.Laws || p.Clear
	if a.Runs > 0 && b.Runs > 0 && !(sameRuns && p.SamePhysics) {
		p.PValue = tally.Real(fisher(a.Singles, a.Runs, b.Singles, b.Runs))
	}
}

// equal takes two unknown numbers for the same.
func equal(a, b tally.Real) bool { return a == b || !a.Known() && !b.Known() }

// fisher is the two-sided p-value of Fisher's exact test for hits ha of na and hb of nb: the
// chance, given all hits, of a table no more likely than the one found (R. A. Fisher, The Design of
// Experiments, 1935, section 11). It needs no large numbers. Runs of the two that meet the same
// nuclei make it too careful, never too bold.
func fisher(ha, na, hb, nb int) float64 {
	hits := ha + hb
	logChance := func(k int) float64 { return choose(na, k) + choose(nb, hits-k) - choose(na+nb, hits) }
	const alike = 1e-7 // relative: two tables of the same chance may differ in the last digits
	limit, sum := logChance(ha)+alike, 0.0
	for k := max(0, hits-nb); k <= min(hits, na); k++ {
		if l := logChance(k); l <= limit {
			sum += math.Exp(l)
		}
	}
	return min(1, sum)
}

// choose is the logarithm of the binomial coefficient.
func choose(n, k int) float64 { return combin.LogGeneralizedBinomial(float64(n), float64(k)) }
