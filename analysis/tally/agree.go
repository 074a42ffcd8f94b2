package tally

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

// Count is what was counted of a case whose chance is known otherwise.
type Count struct {
	Runs, Hits int
	Chance     float64 // exact, 0 to 1
	Error      float64 // standard error of it where it is the mean over placings of these very runs, else 0
}

// Agreement is the answer of [Agree].
type Agreement struct {
	Cases      int    `json:"cases"`       // compared: those with runs and an exact chance
	ChiSquared Real   `json:"chi_squared"` // over groups of cases that are large enough for it; null where there are none
	Degrees    int    `json:"degrees_of_freedom"`
	PValue     Real   `json:"p_value"` // of as large a disagreement, if both are right; null where nothing was compared
	Method     string `json:"method"`
}

// doubt is the p-value below which exact and counted are said to disagree: false alarm in one study
// of a thousand.
const doubt = 0.001

// Disagree tells whether counts and exact chances can hardly both be right.
func (a Agreement) Disagree() bool { return a.PValue.Known() && a.PValue < doubt }

// expectedLeast is what a group needs of expected hits and of expected misses for chi-squared to
// hold (W. G. Cochran, Ann. Math. Stat. 23 (1952) 315). Where runs have chances of their own, the
// variance has to be that of 10 runs at 1/2 as well.
const expectedLeast = 5.

// Agree compares counted hits with exact chances. Cases whose runs are independent make groups of
// alike chance, large enough for chi-squared; what is left over is compared by the binomial law,
// and the smaller of the two p-values counts twice. Runs that share their nuclei between cases are
// not independent: there each case stands by itself, and the smallest p-value counts as often as
// there are cases (Bonferroni), which holds under any dependence.
//
// Where each run has a chance p of its own, from its placing of the seeds, and Chance is their
// mean, the hits scatter by Σ p(1−p), less than those of a binomial law by the scatter of the p,
// which Error tells. Chi-squared takes that; the binomial law is too careful then, never too bold
// (W. Hoeffding, Ann. Math. Stat. 27 (1956) 713).
func Agree(cases []Count, independent bool) Agreement {
	cases = slices.DeleteFunc(slices.Clone(cases), func(c Count) bool { return c.Runs <= 0 || math.IsNaN(c.Chance) })
	a := Agreement{Cases: len(cases), ChiSquared: Unknown(), PValue: Unknown(), Method: "nothing to compare"}
	if len(cases) == 0 {
		return a
	}
	if !independent {
		a.Method = "binomial test of each case, smallest p-value times the number of cases (replicates share their strays)"
		least := 1.0
		for _, c := range cases {
			least = min(least, binomial(float64(c.Hits), float64(c.Runs), c.Chance))
		}
		a.PValue = Real(min(1, least*float64(len(cases))))
		return a
	}
	a.Method = "chi-squared over groups of cases of similar chance; binomial test of what is too rare for it"
	groups, rest := grouped(cases)
	chi := 0.0
	for _, g := range groups {
		d := g.hits - g.expected
		chi += d * d / g.variance
	}
	p, tests := 1.0, 0.0
	if a.Degrees = len(groups); a.Degrees > 0 {
		a.ChiSquared = Real(chi)
		p, tests = distuv.ChiSquared{K: float64(a.Degrees)}.Survival(chi), 1
	}
	if rest.runs > 0 {
		p, tests = min(p, binomial(rest.hits, rest.runs, rest.expected/rest.runs)), tests+1
	}
	a.PValue = Real(min(1, tests*p))
	return a
}

type group struct{ runs, hits, expected, variance float64 }

func (g *group) add(c Count) {
	n := float64(c.Runs)
	g.runs += n
	g.hits += float64(c.Hits)
	g.expected += n * c.Chance
	g.variance += max(0, n*c.Chance*(1-c.Chance)-n*(n-1)*c.Error*c.Error)
}

// grouped puts cases together, from the smallest chance up, until a group is large enough; rest is
// what is left at the end.
func grouped(cases []Count) (groups []group, rest group) {
	slices.SortStableFunc(cases, func(a, b Count) int { return cmp.Compare(a.Chance, b.Chance) })
	for _, c := range cases {
		rest.add(c)
		if rest.expected >= expectedLeast && rest.runs-rest.expected >= expectedLeast && rest.variance >= expectedLeast/2 {
			groups, rest = append(groups, rest), group{}
		}
	}
	return groups, rest
}

// binomial is the two-sided p-value of hits in n runs at chance p: twice the smaller tail.
func binomial(hits, n, p float64) float64 {
	atLeast, atMost := 1.0, 1.0
	if hits > 0 {
		atLeast = tail(hits, n-hits+1, p)
	}
	if hits < n {
		atMost = 1 - tail(hits+1, n-hits, p)
	}
	return min(1, 2*min(atLeast, atMost))
}

// tail is the regularised incomplete beta function, which is the chance of at least a hits of
// a+b−1.
func tail(a, b, p float64) float64 {
	switch {
	case p <= 0:
		return 0
	case p >= 1:
		return 1
	}
	return mathext.RegIncBeta(a, b, p)
}
