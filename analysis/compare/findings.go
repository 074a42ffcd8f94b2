package compare

import (
	"maps"
	"math"
	"slices"

	"onegrain/analysis/tally"
	"onegrain/studies"
)

// Findings are what differs between two sides.
type Findings struct {
	A        Side      `json:"a"`
	B        Side      `json:"b"`
	Same     bool      `json:"same"`      // whether nothing differs
	Content  Match     `json:"content"`   // of the results as a whole
	Settings []Setting `json:"settings"`  // that differ, by key
	OnlyA    []Case    `json:"only_in_a"` // that the other side does not have
	OnlyB    []Case    `json:"only_in_b"`
	Pairs    []Pair    `json:"in_both"`
	Counted  `json:"counted_shares"`
	Warnings []string `json:"warnings"`
}

// Counted is what a test says of the counted shares of all pairs.
type Counted struct {
	Tested int `json:"cases_tested"`
	// PValue is the smallest of the pairs tested, times their number: of a difference as large
	// anywhere, were all chances the same. It is unknown where nothing was tested.
	PValue tally.Real `json:"p_value"`
	// BeyondChance says that they differ by more than chance does in 95 of 100 such comparisons.
	BeyondChance bool   `json:"beyond_chance"`
	Method       string `json:"method"`
}

const method = "Fisher's exact test of each case, smallest p-value times the number of cases (Bonferroni)"

// Setting is a key that reads otherwise in the two studies; empty where it is not given.
type Setting struct {
	Key     string `json:"key"`
	A       string `json:"a"`
	B       string `json:"b"`
	Decides bool   `json:"decides_results"`
}

// Match says how the contents of two results go together.
type Match string

// Whether two results tell the same, row by row, but for the time the computation took.
const (
	Identical  Match = "identical"
	Different  Match = "different"
	Incomplete Match = "not compared" // at least one side has no results
)

// beyondChance is the p-value below which counted shares are said to differ.
const beyondChance = 0.05

// alike tells whether neither the settings nor what the tables of cases say differs.
func (f *Findings) alike() bool {
	return len(f.Settings)+len(f.OnlyA)+len(f.OnlyB) == 0 &&
		!slices.ContainsFunc(f.Pairs, func(p Pair) bool { return p.Differs })
}

// Compare finds what differs between two sides.
func Compare(a, b Side) *Findings {
	a.Count, b.Count = len(a.Cases), len(b.Cases)
	f := &Findings{A: a, B: b, Settings: settings(a, b), Content: Incomplete, OnlyA: []Case{}, OnlyB: []Case{},
		Pairs: []Pair{}, Counted: Counted{PValue: tally.Unknown(), Method: method}, Warnings: []string{}}
	if a.Content != "" && b.Content != "" {
		f.Content = Different
		if a.Content == b.Content {
			f.Content = Identical
		}
	}
	f.match()
	sameRuns := a.Settings != nil && b.Settings != nil
	for _, key := range []string{"random.seed", "random.pairing"} {
		sameRuns = sameRuns && a.Settings[key] == b.Settings[key]
	}
	odd, least := 0, math.Inf(1)
	for i := range f.Pairs {
		p := &f.Pairs[i]
		p.weigh(sameRuns)
		if p.PValue.Known() {
			f.Tested++
			least = min(least, float64(p.PValue))
		}
		if sameRuns && p.SamePhysics && p.Differs && p.A.Runs == p.B.Runs {
			odd++
		}
	}
	if f.Tested > 0 {
		f.PValue = tally.Real(min(1, least*float64(f.Tested)))
		f.BeyondChance = f.PValue < beyondChance
	}
	f.warn(odd)
	f.Same = f.alike() && f.Content != Different
	return f
}

const (
	settingsUnread = "the study of at least one side cannot be read without a file that it names: settings were not " +
		"compared"
	alteredProgram = "cases of the same physics, seed and number of runs have other results: one of the two " +
		"folders was written by a changed program, or is damaged; `onegrain audit` checks each"
	otherPhysics = "cases with different physics are compared by the values of what both studies vary"
	otherTables  = "the cases are the same, but rows of other tables differ"
)

func (f *Findings) warn(odd int) {
	for _, w := range []struct {
		when bool
		text string
	}{
		{f.A.Settings == nil || f.B.Settings == nil, settingsUnread},
		{odd > 0, alteredProgram},
		{slices.ContainsFunc(f.Pairs, func(p Pair) bool { return !p.SamePhysics }), otherPhysics},
		{f.Content == Different && f.alike(), otherTables},
	} {
		if w.when {
			f.Warnings = append(f.Warnings, w.text)
		}
	}
}

// modelVersion stands among the settings, though no study says it: it decides results as well.
const modelVersion = "(model version)"

// settings are the keys that differ, the version of the model first, then by name.
func settings(a, b Side) []Setting {
	all := []Setting{}
	if a.Model != b.Model {
		all = append(all, Setting{Key: modelVersion, A: a.Model, B: b.Model, Decides: true})
	}
	if a.Settings == nil || b.Settings == nil {
		return all
	}
	keys := maps.Clone(a.Settings)
	maps.Copy(keys, b.Settings)
	for _, key := range slices.Sorted(maps.Keys(keys)) {
		if x, y := a.Settings[key], b.Settings[key]; x != y {
			all = append(all, Setting{Key: key, A: x, B: y, Decides: studies.Decides(key)})
		}
	}
	return all
}
