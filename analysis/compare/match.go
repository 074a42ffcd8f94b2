package compare

import (
	"fmt"
	"slices"
	"strings"
)

// match pairs the cases of two sides: those of the same physics first, then those of the same
// values where both vary the same columns. What is left over stands alone. Pairs are in the order
// of a.
func match(a, b Side) (pairs []Pair, onlyA, onlyB []Case) {
	taken := make([]bool, len(b.Cases))
	partner := make([]int, len(a.Cases))
	byID, byValues := index(b, taken, func(c Case) string { return c.ID }), map[string]int{}
	for i, c := range a.Cases {
		partner[i] = take(byID, taken, c.ID)
	}
	if alike(a.Varied, b.Varied) {
		byValues = index(b, taken, b.values)
	}
	for i, c := range a.Cases {
		same := partner[i] >= 0
		if !same {
			partner[i] = take(byValues, taken, a.values(c))
		}
		if k := partner[i]; k >= 0 {
			pairs = append(pairs, Pair{A: c, B: b.Cases[k], SamePhysics: same})
		} else {
			onlyA = append(onlyA, c)
		}
	}
	for k, c := range b.Cases {
		if !taken[k] {
			onlyB = append(onlyB, c)
		}
	}
	return pairs, onlyA, onlyB
}

// index finds cases by a key; of several with the same the first.
func index(s Side, taken []bool, key func(Case) string) map[string]int {
	at := map[string]int{}
	for k := len(s.Cases) - 1; k >= 0; k-- {
		if !taken[k] {
			at[key(s.Cases[k])] = k
		}
	}
	return at
}

func take(at map[string]int, taken []bool, key string) int {
	k, ok := at[key]
	if !ok || taken[k] {
		return -1
	}
	taken[k] = true
	return k
}

// values of a case as one text, in an order that does not depend on that of the columns.
func (s Side) values(c Case) string {
	var b strings.Builder
	for _, name := range slices.Sorted(slices.Values(s.Varied)) {
		fmt.Fprintf(&b, "%s=%v\x00", name, c.Values[name])
	}
	return b.String()
}

// alike tells whether the two vary the same columns.
func alike(a, b []string) bool {
	return slices.Equal(slices.Sorted(slices.Values(a)), slices.Sorted(slices.Values(b)))
}
