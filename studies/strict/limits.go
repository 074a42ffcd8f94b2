package strict

import (
	"cmp"
	"math"
	"slices"
	"strings"
)

// Range is an interval of numbers. The zero one takes every finite number.
type Range struct {
	low, high         float64
	openLow, openHigh bool
	given             bool
}

// Between is the range of both numbers and all between them.
func Between(low, high float64) Range { return Range{low: low, high: high, given: true} }

// Above is the range of all numbers above one; UpTo and Below end it.
func Above(low float64) Range {
	return Range{low: low, high: math.Inf(1), openLow: true, given: true}
}

// UpTo ends a range with a number that it holds.
func (r Range) UpTo(high float64) Range {
	r.high = high
	return r
}

// Below ends a range with a number that it does not hold.
func (r Range) Below(high float64) Range {
	r.high, r.openHigh = high, true
	return r
}

func (r Range) holds(x float64) bool {
	return !math.IsNaN(x) && !math.IsInf(x, 0) && (!r.given ||
		(x > r.low || x == r.low && !r.openLow) && (x < r.high || x == r.high && !r.openHigh))
}

// words are " above 0", " from 0 to 90"; none for the zero range.
func (r Range) words() string {
	low, high := " at least ", " and at most "
	if r.openLow {
		low = " above "
	}
	if r.openHigh {
		high = " and below "
	}
	switch {
	case !r.given:
		return ""
	case math.IsInf(r.high, 1):
		return low + short(r.low)
	case !r.openLow && !r.openHigh:
		low, high = " from ", " to "
	}
	return low + short(r.low) + high + short(r.high)
}

// Condition says beside which other keys a field belongs. The zero one always holds.
type Condition struct {
	alternatives [][]term // of one all terms hold
}

// term is about one key, which is in the same table unless it has a dot.
type term struct {
	key    string
	values []string // none: it is absent
	not    bool
}

// Is holds where a key has one of the values.
func Is(key string, values ...string) Condition {
	return Condition{[][]term{{{key: key, values: values}}}}
}

// Without holds where a key is absent.
func Without(key string) Condition { return Is(key) }

// Not turns a condition on a single key round.
func (c Condition) Not() Condition {
	t := c.alternatives[0][0]
	t.not = !t.not
	return Condition{[][]term{{t}}}
}

// And holds where both conditions do.
func (c Condition) And(o Condition) (both Condition) {
	for _, a := range c.alternatives {
		for _, b := range o.alternatives {
			both.alternatives = append(both.alternatives, slices.Concat(a, b))
		}
	}
	return both
}

// Or holds where either condition does.
func (c Condition) Or(o Condition) Condition {
	return Condition{slices.Concat(c.alternatives, o.alternatives)}
}

// String says a condition in words; empty for the zero one.
func (c Condition) String() string {
	text, between := "", ""
	for _, all := range c.alternatives {
		for _, t := range all {
			text, between = text+between+t.String(), " and "
		}
		between = ", or "
	}
	return text
}

func (t term) String() string {
	is := " = "
	switch {
	case len(t.values) == 0 && t.not:
		return "a given " + t.key
	case len(t.values) == 0:
		return "no " + t.key
	case t.not:
		is = " other than "
	}
	return t.key + is + `"` + strings.Join(t.values, `" or "`) + `"`
}

// path is where the key of a term is, for a field at a path.
func (t term) path(of string) string {
	if strings.Contains(t.key, ".") {
		return t.key
	}
	table, _ := split(of)
	return join(table, t.key)
}

// holds decides a term for the field at a path.
func (t term) holds(d *Document, of string) bool {
	path := t.path(of)
	if !d.Has(path) {
		return (len(t.values) == 0) != t.not
	}
	return slices.Contains(t.values, strings.Trim(show(d.values[path]), `"`)) != t.not
}

// check panics where a condition names a key that the schema does not have.
func (s Schema) check() {
	for _, f := range s {
		for _, t := range slices.Concat(f.When.alternatives...) {
			if g, _ := s.Field(t.path(f.Key)); g == nil {
				panic("the condition of " + f.Key + " names " + t.key + ", which is no key")
			}
		}
	}
}

// applies tells whether the condition of a field holds at a path.
func (d *Document) applies(f *Field, path string) bool {
	fails := func(t term) bool { return !t.holds(d, path) }
	return len(f.When.alternatives) == 0 || slices.ContainsFunc(f.When.alternatives, func(all []term) bool {
		return !slices.ContainsFunc(all, fails)
	})
}

// condition says the condition of a field in words, with what is in the file.
func (d *Document) condition(f *Field, path string) string {
	var found []string
	for _, t := range slices.Concat(f.When.alternatives...) {
		note := t.key + " is " + cmp.Or(show(d.values[t.path(path)]), "absent")
		if !strings.Contains(strings.Join(found, ", "), note) {
			found = append(found, note)
		}
	}
	return f.When.String() + " (" + strings.Join(found, ", ") + ")"
}

// undecided tells whether a key that the condition of a field hangs on was refused or is missing:
// that was reported, and nothing can be said of the field.
func (d *Document) undecided(f *Field, path string) bool {
	return slices.ContainsFunc(slices.Concat(f.When.alternatives...), func(t term) bool {
		at := t.path(path)
		g, _ := d.schema.Field(at)
		return d.Refused(at) || g.Needed && !d.Has(at)
	})
}
