package compare

import (
	"fmt"
	"slices"
	"strings"
)

// match pairs the cases of the two sides: those of the same physics first, then those of the same
// values where both vary the same columns. What is left over stands alone. Pairs are in the order
// of a; of several cases with the same key the first counts.
func (f *Findings) match() {
	a, b := f.A, f.B
	partner, taken := slices.Repeat([]int{-1}, len(a.Cases)), make([]bool, len(b.Cases))
	pairUp := func(key func(Case) string) {
		at := map[string]int{}
		for k, c := range slices.Backward(b.Cases) {
			if !taken[k] {
				at[key(c)] = k
			}
		}
		for i, c := range a.Cases {
			if k, found := at[key(c)]; found && partner[i] < 0 && !taken[k] {
				partner[i], taken[k] = k, true
			}
		}
	}
	pairUp(func(c Case) string { return c.ID })
	samePhysics := slices.Clone(partner)
	varied := slices.Sorted(slices.Values(a.Varied))
	if slices.Equal(varied, slices.Sorted(slices.Values(b.Varied))) {
		pairUp(func(c Case) string { return c.values(varied) })
	}
	for i, c := range a.Cases {
		if k := partner[i]; k >= 0 {
			other := b.Cases[k]
			f.Pairs = append(f.Pairs, Pair{IDA: c.ID, IDB: other.ID, Values: c.Values, A: c.Result, B: other.Result,
				SamePhysics: samePhysics[i] >= 0})
		} else {
			f.OnlyA = append(f.OnlyA, c)
		}
	}
	for k, c := range b.Cases {
		if !taken[k] {
			f.OnlyB = append(f.OnlyB, c)
		}
	}
}

// values of a case as one text.
func (c Case) values(varied []string) string {
	var b strings.Builder
	for _, name := range varied {
		fmt.Fprintf(&b, "%s=%v\x00", name, c.Values[name])
	}
	return b.String()
}
