package influence

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
)

// triples finds the complete rows of a Saltelli design; none in any other design.
func triples(t Table) []row {
	switch {
	case len(t.Inputs) < 2:
		return nil
	case t.Places != nil:
		return placed(t)
	}
	return recovered(t)
}

// placed reads the rows from the names of the places.
func placed(t Table) []row {
	rows := map[int]*row{}
	for c, names := range t.Places {
		for name := range strings.FieldsSeq(names) {
			var n, i int
			of := func() *row {
				if rows[n] == nil {
					rows[n] = &row{a: -1, b: -1, ab: slices.Repeat([]int{-1}, len(t.Inputs))}
				}
				return rows[n]
			}
			switch {
			case scan(name, "AB%d.%d", &n, &i) && i >= 1 && i <= len(t.Inputs):
				of().ab[i-1] = c
			case scan(name, "A%d", &n):
				of().a = c
			case scan(name, "B%d", &n):
				of().b = c
			}
		}
	}
	var all []row
	for _, n := range slices.Sorted(maps.Keys(rows)) {
		if r := rows[n]; r.a >= 0 && r.b >= 0 && !slices.Contains(r.ab, -1) {
			all = append(all, *r)
		}
	}
	return all
}

func scan(text, format string, into ...any) bool {
	n, err := fmt.Sscanf(text, format, into...)
	return err == nil && n == len(into)
}

// recovered finds the rows by their values alone: A is a case that has, for every input, exactly
// one partner that differs in this input and in no other; the partners' values make B. With two
// inputs the four cases of a row form a rectangle, and either diagonal serves as A and B.
func recovered(t Table) []row {
	at := map[string]int{}
	n := len(t.Inputs[0].Values)
	groups := make([]map[string][]int, len(t.Inputs)) // for each input: cases alike in all others
	for i := range groups {
		groups[i] = map[string][]int{}
	}
	for c := range n {
		at[key(t, c, -1)] = c
		for i := range t.Inputs {
			k := key(t, c, i)
			groups[i][k] = append(groups[i][k], c)
		}
	}
	used := make([]bool, n)
	var all []row
	for c := range n {
		r, ok := row{a: c}, !used[c]
		values := make([]float64, len(t.Inputs))
		for i := 0; ok && i < len(t.Inputs); i++ {
			partners := groups[i][key(t, c, i)]
			if ok = len(partners) == 2; ok {
				p := partners[0] + partners[1] - c
				r.ab, values[i], ok = append(r.ab, p), t.Inputs[i].Values[p], !used[p]
			}
		}
		if !ok {
			continue
		}
		b, there := at[text(values, -1)]
		if !there || used[b] {
			continue
		}
		r.b = b
		for _, k := range append([]int{r.a, r.b}, r.ab...) {
			used[k] = true
		}
		all = append(all, r)
	}
	if len(all)*(len(t.Inputs)+2) < n/2 {
		return nil // chance neighbours in some other design, such as a grid of two by two
	}
	return all
}

// key is what makes two cases alike but for one input; but = −1: in all of them.
func key(t Table, c, but int) string {
	values := make([]float64, len(t.Inputs))
	for i, in := range t.Inputs {
		values[i] = in.Values[c]
	}
	return text(values, but)
}

func text(values []float64, but int) string {
	b := make([]byte, 0, 8*len(values))
	for i, x := range values {
		if i == but {
			continue
		}
		for u, k := math.Float64bits(x), 0; k < 8; k++ {
			b = append(b, byte(u>>(8*k)))
		}
	}
	return string(b)
}
