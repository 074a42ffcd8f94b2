package influence

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"onegrain/analysis/tally"
)

// Column is an input or a result: one value per case, NaN where there is none.
type Column struct {
	Name   string
	Label  string // for people; Name where it is empty
	Values []float64
}

// Table is what a study has found, one row per case.
type Table struct {
	Inputs  []Column
	Results []Column
	// Places names, for each case of a Saltelli design, where it stands in it: "A3", "B3", or "AB3.2"
	// for A3 with the second input from B3; several parted by blanks where one case stands at several
	// places. nil: recovered from the values.
	Places []string
}

// Ranking says how much each input matters for one result, the most important first.
type Ranking struct {
	Result   string   `json:"result"`
	Cases    int      `json:"cases"`          // those with a result
	Rows     int      `json:"rows,omitempty"` // complete rows of a Saltelli design
	Method   string   `json:"method"`
	Inputs   []Weight `json:"inputs"`
	Sentence string   `json:"sentence"`
	Warnings []string `json:"warnings,omitempty"`
}

// Weight is what one input does to the result.
type Weight struct {
	Input         string          `json:"input"`
	Label         string          `json:"label"`
	Rank          tally.Real      `json:"rank_correlation"` // Spearman, −1 to 1
	RankInterval  tally.Interval  `json:"rank_correlation_interval"`
	First         *tally.Real     `json:"first_order,omitempty"` // share of the variance; nil unless the design is Saltelli's
	FirstInterval *tally.Interval `json:"first_order_interval,omitempty"`
	Total         *tally.Real     `json:"total,omitempty"`
	TotalInterval *tally.Interval `json:"total_interval,omitempty"`
}

const (
	fewCases = 4  // with fewer there is no interval
	fewRows  = 16 // with fewer rows resampling says little
)

// Of ranks the inputs for each result. The error names a column whose length is not that of the
// others.
func Of(t Table) ([]Ranking, error) {
	n := -1
	for _, c := range slices.Concat(t.Inputs, t.Results) {
		if n < 0 {
			n = len(c.Values)
		}
		if len(c.Values) != n {
			return nil, fmt.Errorf("influence: column %s has %d values, others %d: wanted one for each case", c.Name, len(c.Values), n)
		}
	}
	if t.Places != nil && len(t.Places) != n {
		return nil, fmt.Errorf("influence: %d places for %d cases", len(t.Places), n)
	}
	rows, tied := triples(t), together(t)
	var all []Ranking
	for _, result := range t.Results {
		r := ranking(t, result, rows)
		r.Warnings = append(r.Warnings, tied...)
		all = append(all, r)
	}
	return all, nil
}

func ranking(t Table, result Column, rows []row) Ranking {
	r := Ranking{Result: result.Name, Method: methodRank}
	for _, y := range result.Values {
		if known(y) {
			r.Cases++
		}
	}
	for _, in := range t.Inputs {
		rho, interval := spearman(apart(in.Values, rows), apart(result.Values, rows))
		r.Inputs = append(r.Inputs, Weight{Input: in.Name, Label: cmp.Or(in.Label, in.Name), Rank: tally.Real(rho), RankInterval: interval})
	}
	r.Warnings = complaints(result, r.Cases)
	if len(rows) > 0 && r.Cases >= fewCases {
		indices(&r, result.Values, rows)
	}
	slices.SortStableFunc(r.Inputs, func(a, b Weight) int { return compare(b, a) })
	r.Sentence = sentence(r)
	return r
}

// compare orders by total share where there is one, else by rank correlation; what is unknown is
// least.
func compare(a, b Weight) int {
	size := func(w Weight) float64 {
		x := math.Abs(float64(w.Rank))
		if w.Total != nil {
			x = float64(*w.Total)
		}
		if math.IsNaN(x) {
			return -1
		}
		return x
	}
	switch d := size(a) - size(b); {
	case d < 0:
		return -1
	case d > 0:
		return 1
	}
	return 0
}

// complaints are what is wrong with the cases, whatever the method.
func complaints(result Column, cases int) (all []string) {
	n := len(result.Values)
	if cases == 0 {
		return []string{"no case has this result"}
	}
	if cases < n {
		all = append(all, fmt.Sprintf("%d of %d cases have no such result and are left out", n-cases, n))
	}
	if cases < 20 {
		all = append(all, fmt.Sprintf("%d cases only: the intervals are wide", cases))
	}
	if constant(result.Values) {
		all = append(all, "the result is the same in every case, so nothing can matter for it")
	}
	return all
}

// manyCases are enough to see that two inputs go together.
const manyCases = 5000

// together names the inputs that were varied together.
func together(t Table) (all []string) {
	some := func(x []float64) (out []float64) {
		for c := 0; c < len(x); c += 1 + len(x)/manyCases {
			out = append(out, x[c])
		}
		return out
	}
	for i, a := range t.Inputs {
		for _, b := range t.Inputs[:i] {
			if rho, _ := spearman(some(a.Values), some(b.Values)); math.Abs(rho) > 0.5 {
				all = append(all, fmt.Sprintf("%s and %s were varied together (rank correlation %.2f): their influences cannot be told apart", b.Name, a.Name, rho))
			}
		}
	}
	return all
}

// apart are the values of the cases that were chosen independently: in a Saltelli design those of A
// and B, in any other all.
func apart(values []float64, rows []row) []float64 {
	if len(rows) == 0 {
		return values
	}
	var out []float64
	for _, r := range rows {
		out = append(out, values[r.a], values[r.b])
	}
	return out
}

func sentence(r Ranking) string {
	if len(r.Inputs) == 0 || r.Cases < fewCases {
		return "Too few cases to say what matters."
	}
	w := r.Inputs[0]
	if w.Total != nil && w.Total.Known() {
		part := func(x tally.Real) float64 { return 100 * min(1, max(0, float64(x))) }
		return fmt.Sprintf("For the %s %s matters most: %.0f %% of the variance goes back to it, alone or with others (95 %% interval %.0f to %.0f %%).", r.Result, w.Label,
			part(*w.Total), part(w.TotalInterval.Low), part(w.TotalInterval.High))
	}
	if !w.Rank.Known() {
		return fmt.Sprintf("Nothing can be said of what matters for the %s: it does not vary.", r.Result)
	}
	if w.RankInterval.Low <= 0 && w.RankInterval.High >= 0 {
		return fmt.Sprintf("For the %s no input stands out: the strongest is %s, whose rank correlation %.2f may be chance (95 %% interval %.2f to %.2f).", r.Result, w.Label, w.Rank, w.RankInterval.Low, w.RankInterval.High)
	}
	way := "rises"
	if w.Rank < 0 {
		way = "falls"
	}
	return fmt.Sprintf("For the %s %s matters most: it %s as %s rises (rank correlation %.2f, 95 %% interval %.2f to %.2f).", r.Result, w.Label, way, w.Label, w.Rank, w.RankInterval.Low, w.RankInterval.High)
}

func known(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

func constant(values []float64) bool {
	first := math.NaN()
	for _, x := range values {
		if known(x) && math.IsNaN(first) {
			first = x
		}
		if known(x) && x != first {
			return false
		}
	}
	return true
}
