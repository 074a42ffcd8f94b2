package studies

import (
	"fmt"
	"math"
	"strconv"
	"testing"

	"onegrain/sim/draw"
)

// rule is a way of stopping early, and the interval that is told then.
type rule struct {
	batch    int
	interval func(hits, n int) (low, high float64)
}

// stops runs a case whose chance is p as the Runner does, up to `most` runs, and tells whether the
// interval at its end holds p.
func (r rule) stops(s *draw.Stream, p, precision float64, most int) (covered bool, runs int) {
	hits, n := 0, 0
	for n < most {
		for range r.batch {
			if s.Uniform() < p {
				hits++
			}
			n++
		}
		if low, high := r.interval(hits, n); (high-low)/2 <= precision {
			break
		}
	}
	low, high := r.interval(hits, n)
	return low <= p && p <= high, n
}

// wilson is the score interval (E. B. Wilson, J. Am. Stat. Assoc. 22 (1927) 209).
func wilson(hits, n int) (low, high float64) {
	const z = 1.959963984540054
	k, m := float64(hits), float64(n)
	middle := (k + z*z/2) / (m + z*z)
	half := z / (m + z*z) * math.Sqrt(k*(m-k)/m+z*z/4)
	return middle - half, middle + half
}

// remembering keeps what an interval function has worked out.
func remembering(f func(hits, n int) (low, high float64)) func(hits, n int) (low, high float64) {
	known := map[[2]int][2]float64{}
	return func(hits, n int) (low, high float64) {
		ends, ok := known[[2]int{hits, n}]
		if !ok {
			ends[0], ends[1] = f(hits, n)
			known[[2]int{hits, n}] = ends
		}
		return ends[0], ends[1]
	}
}

// exactly works out the chance that the interval at the end holds p, by following the chances of
// every count of hits.
func (r rule) exactly(p, precision float64, most int) (coverage float64) {
	at := []float64{1}
	for n := 1; n <= most; n++ {
		next := make([]float64, n+1)
		for k, x := range at {
			next[k] += x * (1 - p)
			next[k+1] += x * p
		}
		at = next
		if n%r.batch != 0 {
			continue
		}
		for k, x := range at {
			if x < 1e-15 {
				continue
			}
			if low, high := r.interval(k, n); (high-low)/2 <= precision || n == most {
				at[k] = 0
				if low <= p && p <= high {
					coverage += x
				}
			}
		}
	}
	return coverage
}

// at is an interval that misses a share of the truths.
func at(missing float64) func(hits, n int) (low, high float64) {
	return remembering(func(hits, n int) (low, high float64) { return interval(hits, n, missing) })
}

// The interval of a case that may stop early holds its chance in 95 % of all cases, whatever the
// chance and the precision wanted: worked out exactly, for chances from 0.01 to 0.5 (the others are
// mirror images). Canaries, each of which must fall short somewhere: the plain 95 % interval,
// Wilson's, and a look after every run with the plain one.
func TestCoverageOfEarlyStopsExactly(t *testing.T) {
	worst := func(r rule, precision float64) (coverage, chance float64) {
		coverage = 1
		for p := 0.01; p <= 0.5; p += 0.01 {
			if c := r.exactly(p, precision, int(math.Ceil(1.3/precision/precision/8))*8); c < coverage {
				coverage, chance = c, p
			}
		}
		return coverage, chance
	}
	for _, precision := range []float64{0.05, 0.09, 0.15, 0.2, 0.25, 0.3, 0.4} {
		if c, p := worst(rule{Batch, at(missingEarly)}, precision); c < 0.95 {
			t.Errorf("half width %.2f: coverage %.4f at a chance of %g, wanted 0.95", precision, c, p)
		} else {
			t.Logf("half width %.2f: coverage %.4f or more", precision, c)
		}
	}
	for name, r := range map[string]rule{"the plain interval": {Batch, at(missing)}, "Wilson's": {Batch,
		remembering(wilson)}, "a look after each run": {1, at(missing)}} {
		if c, p := worst(r, 0.2); c >= 0.95 {
			t.Errorf("the canary passes: %s covers %.4f at a chance of %g", name, c, p)
		}
	}
}

// The same by experiment, as the Runner does it: 2,500 cases for each of 21 chances from 0.01 to
// 0.99, from the project's own streams. The interval must hold the chance in 95 % of the cases less
// three standard errors of the experiment. Canary: Wilson's interval.
func TestCoverageOfEarlyStops(t *testing.T) {
	const cases, most = 2500, 1000
	least := 0.95 - 3*math.Sqrt(0.95*0.05/cases)
	worst := func(r rule, precision float64) (coverage, at float64) {
		coverage = 1
		for _, p := range []float64{0.01, 0.02, 0.03, 0.05, 0.07, 0.1, 0.15, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.85, 0.9,
			0.93, 0.95, 0.97, 0.98, 0.99} {
			key := draw.NewKey("coverage", fmt.Sprint(r.batch, precision, p))
			held := 0
			for i := range cases {
				if ok, _ := r.stops(key.Stream(strconv.Itoa(i)), p, precision, most); ok {
					held++
				}
			}
			if c := float64(held) / cases; c < coverage {
				coverage, at = c, p
			}
		}
		return coverage, at
	}
	for _, precision := range []float64{0.05, 0.1, 0.2} {
		c, p := worst(rule{Batch, at(missingEarly)}, precision)
		t.Logf("half width %g: coverage %.4f or more, wanted %.4f", precision, c, least)
		if c < least {
			t.Errorf("half width %.2f: coverage %.4f at a chance of %g, wanted %.4f", precision, c, p, least)
		}
	}
	if c, p := worst(rule{Batch, remembering(wilson)}, 0.1); c >= least {
		t.Errorf("the canary passes: Wilson's interval covers %.4f at a chance of %g", c, p)
	}
}
