package compare

import (
	"maps"
	"slices"
	"strings"

	"onegrain/analysis/tally"
)

// Findings are what differs between two sides.
type Findings struct {
	Settings []Setting  // that differ, by key
	OnlyA    []Case     // that the other side does not have
	OnlyB    []Case     //
	Pairs    []Pair     // of the cases that both have
	Tested   int        // pairs of which the counted shares were tested
	PValue   tally.Real // the smallest of theirs, times their number: of a difference as large anywhere, were all chances the same
	Content  Match      // of the results as a whole
	Warnings []string
}

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

// BeyondChance tells whether the counted shares differ by more than chance does in 95 of 100 such
// comparisons.
func (f *Findings) BeyondChance() bool { return f.PValue.Known() && f.PValue < beyondChance }

// Same tells whether nothing differs.
func (f *Findings) Same() bool {
	return len(f.Settings) == 0 && len(f.OnlyA) == 0 && len(f.OnlyB) == 0 && f.Content != Different && !slices.ContainsFunc(f.Pairs, Pair.Differs)
}

// modelVersion stands among the settings, though no study says it: it decides results as well.
const modelVersion = "(model version)"

// Compare finds what differs between two sides.
func Compare(a, b Side) *Findings {
	f := &Findings{Settings: settings(a, b), PValue: tally.Unknown(), Content: Incomplete}
	if a.Content != "" && b.Content != "" {
		f.Content = Different
		if a.Content == b.Content {
			f.Content = Identical
		}
	}
	if x, y := strings.Join(a.Models, ", "), strings.Join(b.Models, ", "); x != y {
		f.Settings = append([]Setting{{Key: modelVersion, A: x, B: y, Decides: true}}, f.Settings...)
	}
	f.Pairs, f.OnlyA, f.OnlyB = match(a, b)
	sameRuns := a.Settings != nil && b.Settings != nil && a.Settings["random.seed"] == b.Settings["random.seed"] && a.Settings["random.pairing"] == b.Settings["random.pairing"]
	odd := 0
	for i := range f.Pairs {
		p := &f.Pairs[i]
		p.weigh(sameRuns)
		if p.PValue.Known() {
			f.Tested++
			if !f.PValue.Known() || p.PValue < f.PValue {
				f.PValue = p.PValue
			}
		}
		if sameRuns && p.SamePhysics && p.Differs() && p.A.Result.Runs == p.B.Result.Runs {
			odd++
		}
	}
	if f.PValue.Known() {
		f.PValue = tally.Real(min(1, float64(f.PValue)*float64(f.Tested)))
	}
	f.warn(a, b, odd)
	return f
}

func (f *Findings) warn(a, b Side, odd int) {
	if a.Settings == nil || b.Settings == nil {
		f.Warnings = append(f.Warnings, "the study of at least one side cannot be read without a file that it names: settings were not compared")
	}
	if odd > 0 {
		f.Warnings = append(f.Warnings, "cases of the same physics, seed and number of runs have other results: one of the two was made by an altered program, or is damaged; `onegrain audit` proves each")
	}
	for _, p := range f.Pairs {
		if !p.SamePhysics {
			f.Warnings = append(f.Warnings, "cases of other physics are compared by the values of what is varied")
			break
		}
	}
	if f.Content == Different && len(f.Settings) == 0 && len(f.OnlyA)+len(f.OnlyB) == 0 && !slices.ContainsFunc(f.Pairs, Pair.Differs) {
		f.Warnings = append(f.Warnings, "the cases tell the same, but rows of other tables differ")
	}
}

// settings are the keys that differ, by name.
func settings(a, b Side) []Setting {
	if a.Settings == nil || b.Settings == nil {
		return nil
	}
	keys := maps.Clone(a.Settings)
	maps.Copy(keys, b.Settings)
	var all []Setting
	for _, key := range slices.Sorted(maps.Keys(keys)) {
		if a.Settings[key] != b.Settings[key] {
			all = append(all, Setting{Key: key, A: a.Settings[key], B: b.Settings[key], Decides: a.Decides != nil && a.Decides(key)})
		}
	}
	return all
}
