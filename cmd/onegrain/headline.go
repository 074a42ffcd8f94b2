package main

import (
	"fmt"
	"math"
	"slices"

	"onegrain/studies/table"
)

// headline prints the cases: what was varied, how often a single grain came of it, and how large the uncontaminated grain is.
func headline(s streams, cases *table.Frame) error {
	varied := variedOf(cases.Schema)
	g := &grid{}
	for _, c := range varied {
		g.head = append(g.head, c.Name)
	}
	g.head = append(g.head, "runs", "single grain", "95 % interval", "exact", "strays", "clear grain mm", "p10–p90", "full h", "programme h")
	stops := earlyStops(cases)
	if stops {
		g.head = append(g.head, "stopped by")
	}
	best, never := bestCase(cases), false
	placings := placingsOf(cases)
	for r := range cases.Len() {
		var row []string
		for _, c := range varied {
			row = append(row, cell(cases.Value(r, c.Name)))
		}
		x := func(name string) float64 { return real(cases, r, name) }
		mark := ""
		if r == best {
			mark = " *"
		}
		row = append(row, number(x("runs"), 0), number(x("single_grain_fraction"), 2), span(x("single_grain_fraction_low"), x("single_grain_fraction_high"), 2),
			exactly(x("single_grain_probability_exact"), x("expected_strays_exact"), &never)+margin(placings[r], x("single_grain_probability_exact_se")),
			few(x("expected_strays_exact")), number(x("clear_diameter_mm_median"), 1)+mark,
			span(x("clear_diameter_mm_p10"), x("clear_diameter_mm_p90"), 1), number(x("time_to_full_h"), 1), number(x("programme_h"), 1))
		if stops {
			row = append(row, cell(cases.Value(r, "stopped_by")))
		}
		g.add(row...)
		g.mark[r] = r == best
	}
	if err := g.print(s.out); err != nil {
		return err
	}
	if best >= 0 {
		s.say("%s", bestNote)
	}
	if never {
		s.say("%s", neverNote)
	}
	if text := overPlacings(placings); text != "" {
		s.say("%s", text)
	}
	return nil
}

// placingsOf are the numbers of placings by case, 0 where the seeds lie without scatter.
func placingsOf(cases *table.Frame) []int {
	all := make([]int, cases.Len())
	for r := range all {
		n, _ := cases.Value(r, "placings").(int64)
		all[r] = int(n)
	}
	return all
}

// overPlacings says over how many placings exact chances were averaged; empty where none was.
func overPlacings(placings []int) string {
	placings = slices.DeleteFunc(placings, func(n int) bool { return n == 0 })
	if len(placings) == 0 {
		return ""
	}
	over := fmt.Sprint(slices.Min(placings))
	if most := slices.Max(placings); most > slices.Min(placings) {
		over += fmt.Sprintf(" to %d", most)
	}
	return fmt.Sprintf(placingNote, over)
}

// variedOf are the columns that the study put in: those the plain table of cases does not have.
func variedOf(s table.Schema) []table.Column {
	plain, err := table.Of(s.Table, nil)
	if err != nil {
		return nil
	}
	own := map[string]bool{}
	for _, c := range plain.Columns {
		own[c.Name] = true
	}
	var varied []table.Column
	for _, c := range s.Columns {
		if !own[c.Name] {
			varied = append(varied, c)
		}
	}
	return varied
}

// earlyStops tells whether any case was stopped by anything but its last replicate.
func earlyStops(cases *table.Frame) bool {
	for r := range cases.Len() {
		if cases.Value(r, "stopped_by") != "replicates" {
			return true
		}
	}
	return false
}

// few is a number of strays; how far below a thousandth it is changes nothing.
func few(strays float64) string {
	if strays > 0 && strays < 0.001 {
		return "<0.001"
	}
	return short(strays)
}

// exactly is the exact chance, marked where it is none though there may be no stray.
func exactly(chanceOf, strays float64, never *bool) string {
	if impossible(chanceOf, strays) {
		*never = true
		return chance(chanceOf) + " †"
	}
	return chance(chanceOf)
}

// impossible tells whether a single grain fails for want of a domain that fills the body, not for strays.
func impossible(chanceOf, strays float64) bool { return chanceOf == 0 && math.Exp(-strays) > 0 }

// bestCase is the row with the largest uncontaminated grain, as bestNote says; -1 where none has one, or nothing can be compared.
func bestCase(cases *table.Frame) int {
	best := -1
	if cases.Len() < 2 {
		return best
	}
	for r := range cases.Len() {
		if real(cases, r, "clear_diameter_mm_median") > 0 && (best < 0 || better(cases, r, best)) {
			best = r
		}
	}
	return best
}

func better(cases *table.Frame, a, b int) bool {
	for _, name := range []string{"clear_diameter_mm_median", "clear_diameter_mm_p10"} {
		x, y := real(cases, a, name), real(cases, b, name)
		if math.Abs(x-y) > 0.01*math.Max(x, y) {
			return x > y
		}
	}
	x, y := real(cases, a, "time_to_full_h"), real(cases, b, "time_to_full_h")
	return x < y || math.IsNaN(y) && !math.IsNaN(x)
}

// real is a value as a number, NaN where it is none.
func real(f *table.Frame, row int, name string) float64 {
	switch v := f.Value(row, name).(type) {
	case float64:
		return v
	case int64:
		return float64(v)
	}
	return math.NaN()
}

// cell is a value of any kind for people.
func cell(v any) string {
	switch v := v.(type) {
	case nil:
		return "-"
	case float64:
		return short6(v)
	}
	return fmt.Sprint(v)
}
