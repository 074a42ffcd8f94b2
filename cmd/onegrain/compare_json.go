package main

import "onegrain/analysis/compare"

// comparedAll is what `compare --json` tells.
type comparedAll struct {
	A        comparedSide      `json:"a"`
	B        comparedSide      `json:"b"`
	Same     bool              `json:"same"`
	Content  compare.Match     `json:"content"`
	Settings []compare.Setting `json:"settings"`
	OnlyA    []compare.Case    `json:"only_in_a"`
	OnlyB    []compare.Case    `json:"only_in_b"`
	Cases    []comparedCase    `json:"in_both"`
	Counted  comparedTest      `json:"counted_shares"`
	Warnings []string          `json:"warnings"`
}

type comparedSide struct {
	Path    string `json:"path"`
	Cases   int    `json:"cases"`
	Content string `json:"content_sha256,omitempty"`
}

type comparedTest struct {
	Tested       int      `json:"cases_tested"`
	PValue       *float64 `json:"p_value"` // null where nothing was tested
	BeyondChance bool     `json:"beyond_chance"`
	Method       string   `json:"method"`
}

type comparedCase struct {
	CaseA       string          `json:"case_id_a"`
	CaseB       string          `json:"case_id_b"`
	Values      map[string]any  `json:"values"`
	SamePhysics bool            `json:"same_physics"`
	Differs     bool            `json:"differs"`
	Counts      bool            `json:"counts_differ"`
	Exact       bool            `json:"exact_odds_differ"`
	Clear       bool            `json:"clear_diameter_differs"`
	PValue      *float64        `json:"p_value"`
	A           *compare.Result `json:"a"` // null where it was not run
	B           *compare.Result `json:"b"`
}

// record puts a comparison into the form that is told.
func (c *comparison) record() comparedAll {
	all := comparedAll{
		A:    comparedSide{c.a, len(c.sides[0].Cases), c.sides[0].Content},
		B:    comparedSide{c.b, len(c.sides[1].Cases), c.sides[1].Content},
		Same: c.Same(), Content: c.Content, Settings: append([]compare.Setting{}, c.Settings...),
		OnlyA: append([]compare.Case{}, c.OnlyA...), OnlyB: append([]compare.Case{}, c.OnlyB...), Cases: []comparedCase{},
		Counted: comparedTest{c.Tested, known(c.PValue.Known(), float64(c.PValue)), c.BeyondChance(),
			"Fisher's exact test of each case, smallest p-value times the number of cases (Bonferroni)"},
		Warnings: append([]string{}, c.Warnings...),
	}
	for _, p := range c.Pairs {
		all.Cases = append(all.Cases, comparedCase{CaseA: p.A.ID, CaseB: p.B.ID, Values: p.A.Values,
			SamePhysics: p.SamePhysics,
			Differs:     p.Differs(), Counts: p.Counts, Exact: p.Exact, Clear: p.Clear,
			PValue: known(p.PValue.Known(), float64(p.PValue)), A: p.A.Result, B: p.B.Result})
	}
	return all
}

func known(is bool, x float64) *float64 {
	if !is {
		return nil
	}
	return &x
}
