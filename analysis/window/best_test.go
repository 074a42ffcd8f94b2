package window

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"onegrain/analysis/tally"
)

// randomTable has random cases: few different chances, pieces and hours, so that many are equal,
// and some that are not known.
func randomTable(r *rand.Rand) []Point {
	some := func(values ...float64) tally.Real { return tally.Real(values[r.IntN(len(values))]) }
	all := make([]Point, 1+r.IntN(9))
	for i := range all {
		all[i] = Point{Chance: some(0, 0.021, 0.5, 0.94, 0.95, 0.97, 1, math.NaN()),
			DiameterMM: some(0, 9.6, 9.8, 10, 10.2, 12, math.NaN()),
			FullH:      some(30, 30.5, 40, 55, math.NaN()), cell: float64(some(0.1, 0.2, 0.4))}
	}
	return all
}

// stated is the rule as a person would check it, each clause against every other case: a case is
// the best where no other one beats it.
func stated(all []Point, wanted float64) int {
	none := func(of func(q Point) bool) bool {
		for _, q := range all {
			if of(q) {
				return false
			}
		}
		return true
	}
	likely := func(p Point) bool { // it has the wanted chance; or no case has it and none has a higher one
		return p.Chance >= tally.Real(wanted) || p.Chance.Known() &&
			none(func(q Point) bool { return q.Chance >= tally.Real(wanted) || q.Chance > p.Chance })
	}
	large := func(p Point) bool { // no likely case has the largest piece and more than a cell more
		return likely(p) && none(func(q Point) bool {
			if !likely(q) || !q.DiameterMM.Known() {
				return false
			}
			for _, other := range all {
				if likely(other) && other.DiameterMM > q.DiameterMM {
					return false // not the largest
				}
			}
			for _, first := range all { // of equally large ones the first in order says how large a cell is
				if likely(first) && first.DiameterMM == q.DiameterMM {
					q = first
					break
				}
			}
			return !p.DiameterMM.Known() || math.Round(1e6*float64(q.DiameterMM-p.DiameterMM)) > math.Round(1e6*max(p.cell,
				q.cell))
		})
	}
	hours := func(p Point) float64 {
		if !p.FullH.Known() {
			return math.Inf(1)
		}
		return float64(p.FullH)
	}
	for i, p := range all {
		if !large(p) || !none(func(q Point) bool { return large(q) && hours(q) < hours(p) }) {
			continue
		}
		if p.Chance == 0 && !(p.DiameterMM > 0) {
			return -1
		}
		return i
	}
	return -1
}

// TestBestIsTheRule compares the one rule with a statement of it that was written apart. Canary: a
// star for the largest piece alone, as it once was, stands elsewhere in many tables.
func TestBestIsTheRule(t *testing.T) {
	r := tally.Stream("best")
	elsewhere := 0
	for k := range 5000 {
		all, wanted := randomTable(r), []float64{0.5, 0.95, 0.99}[k%3]
		got, want := Best(all, wanted), stated(all, wanted)
		if got != want {
			t.Fatalf("wanted %g of %+v: case %d, by the rule %d", wanted, all, got, want)
		}
		largest := 0
		for i, p := range all {
			if p.DiameterMM > all[largest].DiameterMM {
				largest = i
			}
		}
		if largest != want {
			elsewhere++
		}
	}
	if elsewhere < 1250 {
		t.Errorf("canary: the largest piece is the best case in all but %d of 5000 tables", elsewhere)
	}
	if Best(nil, 0.95) != -1 {
		t.Error("the best of none")
	}
}

// TestShortfall: what the best case lacks is said, and nothing where it lacks nothing.
func TestShortfall(t *testing.T) {
	s := Study{}
	for _, c := range []struct {
		of   Case
		says string
	}{
		{Case{Exact: 0.021, Strays: 3.86}, "falls short with 2.1 %"},
		{Case{Exact: 0.97, Strays: 0.03}, ""},
		{Case{Exact: math.NaN(), Strays: math.NaN(), Runs: 20, Hits: 20},
			"not for sure: its chance of 100 % may lie anywhere from 83 % to 100 %"},
		{Case{Exact: math.NaN(), Strays: math.NaN(), Runs: 400, Hits: 400}, ""},
	} {
		if got := s.believe(c.of, 0.95).Shortfall(0.95); (got == "") != (c.says == "") || !strings.Contains(got, c.says) {
			t.Errorf("%+v: %q, wanted %q", c.of, got, c.says)
		}
	}
}

// TestRegionAndBestCaseBelongTogether: the range of the sentence and the case named in it are of
// the same setting, and the case lies in the range. Of two settings that with words "b" has the
// wider range, but "a" the best case.
func TestRegionAndBestCaseBelongTogether(t *testing.T) {
	words := []string{}
	s := Study{}
	var xs []float64
	for _, word := range []string{"a", "b"} {
		for i, x := range []float64{1, 2, 3, 4} {
			c := Case{ID: word + string(rune('1'+i)), At: []float64{x, 0}, Exact: 0.99, Strays: 0.01, DiameterMM: 10,
				CellMM: 0.1, FullH: 90 - 10*x, ProgrammeH: 50 + 10*x}
			if word == "a" {
				c.FullH -= 40
				if x > 2 {
					c.Exact, c.Strays = 0.5, 0.7
				}
			} else {
				c.At[1] = 1
			}
			s.Cases, words, xs = append(s.Cases, c), append(words, word), append(xs, x)
		}
	}
	kind, _ := Words("kind", words)
	s.Axes = []Axis{Numbers("rate_K_per_h", "K/h", xs), kind}
	w := find(t, s, Options{})
	says(t, w, "With kind a: for a single grain", "keep rate at or below 2 K/h",
		"The best case there is at rate 2 K/h, solid after 30 h.")
	if w.Best.ID != "a2" || w.Slices[0].Safe[0].Best.ID != "a2" {
		t.Errorf("best %+v, in the range %+v", w.Best, w.Slices[0].Safe[0].Best)
	}
}
