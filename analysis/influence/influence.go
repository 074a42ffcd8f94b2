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
	// places. nil for any other design.
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
	First         *tally.Real     `json:"first_order,omitempty"` // share of the variance; nil for other designs
	FirstInterval *tally.Interval `json:"first_order_interval,omitempty"`
	Total         *tally.Real     `json:"total,omitempty"`
	TotalInterval *tally.Interval `json:"total_interval,omitempty"`
}

const (
	fewCases  = 4    // with fewer there is no interval
	manyCases = 5000 // are enough to see that two inputs go together
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
			const format = "influence: column %s has %d values, others %d: wanted one for each case"
			return nil, fmt.Errorf(format, c.Name, len(c.Values), n)
		}
	}
	if t.Places != nil && len(t.Places) != n {
		return nil, fmt.Errorf("influence: %d places for %d cases", len(t.Places), n)
	}
	rows, tied := rowsOf(t), together(t.Inputs)
	var all []Ranking
	for _, result := range t.Results {
		r := ranking(t, result, rows)
		r.Warnings = append(r.Warnings, tied...)
		all = append(all, r)
	}
	return all, nil
}

func ranking(t Table, result Column, rows []row) Ranking {
	r := Ranking{Result: result.Name, Cases: len(known(result.Values)), Method: methodRank}
	for _, in := range t.Inputs {
		w := Weight{Input: in.Name, Label: cmp.Or(in.Label, in.Name)}
		w.Rank, w.RankInterval = spearman(apart(in.Values, rows), apart(result.Values, rows))
		r.Inputs = append(r.Inputs, w)
	}
	r.Warnings = complaints(result, r.Cases)
	if len(rows) > 0 && r.Cases >= fewCases {
		r.indices(result.Values, rows)
	}
	slices.SortStableFunc(r.Inputs, func(a, b Weight) int { return cmp.Compare(b.size(), a.size()) })
	r.Sentence = r.sentence()
	return r
}

// size orders by the total share where there is one, else by rank correlation; what is unknown is
// least.
func (w Weight) size() float64 {
	x := math.Abs(float64(w.Rank))
	if w.Total != nil {
		x = float64(*w.Total)
	}
	if math.IsNaN(x) {
		return -1
	}
	return x
}

// complaints are what is wrong with the cases, whatever the method.
func complaints(result Column, cases int) (all []string) {
	if cases == 0 {
		return []string{"no case has this result"}
	}
	if n := len(result.Values); cases < n {
		all = append(all, fmt.Sprintf("%d of %d cases have no such result and are left out", n-cases, n))
	}
	if cases < 20 {
		all = append(all, fmt.Sprintf("%d cases only: the intervals are wide", cases))
	}
	if constant(result.Values) {
		all = append(all, "the result is the same in every case, so no input matters for it")
	}
	return all
}

// together names the inputs that were varied together.
func together(inputs []Column) (all []string) {
	thinned := func(x []float64) (out []float64) {
		for c := 0; c < len(x); c += 1 + len(x)/manyCases {
			out = append(out, x[c])
		}
		return out
	}
	for i, a := range inputs {
		for _, b := range inputs[:i] {
			if rho, _ := spearman(thinned(a.Values), thinned(b.Values)); math.Abs(float64(rho)) > 0.5 {
				const format = "%s and %s were varied together (rank correlation %.2f): their influences cannot be separated"
				all = append(all, fmt.Sprintf(format, b.Name, a.Name, rho))
			}
		}
	}
	return all
}

const (
	tooFew   = "Too few cases to say what matters."
	varies   = "What matters for the %s cannot be said: it does not vary."
	noneBest = "For the %s, no input stands out: the strongest is %s, whose rank correlation %.2f may be chance " +
		"(95 %% interval %.2f to %.2f)."
	byRank = "For the %s, %s matters most: it %s as %s rises (rank correlation %.2f, 95 %% interval %.2f to %.2f)."
	byPart = "For the %s, %s matters most: %.0f %% of the variance comes from it, alone or with others " +
		"(95 %% interval %.0f to %.0f %%)."
)

func (r *Ranking) sentence() string {
	if len(r.Inputs) == 0 || r.Cases < fewCases {
		return tooFew
	}
	w := r.Inputs[0]
	low, high := w.RankInterval.Low, w.RankInterval.High
	switch {
	case w.Total != nil && w.Total.Known():
		part := func(x tally.Real) float64 { return 100 * min(1, max(0, float64(x))) }
		return fmt.Sprintf(byPart, r.Result, w.Label, part(*w.Total), part(w.TotalInterval.Low), part(w.TotalInterval.High))
	case !w.Rank.Known():
		return fmt.Sprintf(varies, r.Result)
	case low <= 0 && high >= 0:
		return fmt.Sprintf(noneBest, r.Result, w.Label, w.Rank, low, high)
	}
	way := "rises"
	if w.Rank < 0 {
		way = "falls"
	}
	return fmt.Sprintf(byRank, r.Result, w.Label, way, w.Label, w.Rank, low, high)
}

func isKnown(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// known are the values that are.
func known(values []float64) []float64 {
	return slices.DeleteFunc(slices.Clone(values), func(x float64) bool { return !isKnown(x) })
}

func constant(values []float64) bool {
	values = known(values)
	return len(values) == 0 || slices.Min(values) == slices.Max(values)
}
