package main

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"onegrain/analysis"
	"onegrain/studies"
	"onegrain/studies/column"
	"onegrain/studies/table"
)

// told is the headline of a folder with such a table of cases; a row is runs, single grains, exact
// chance, strays, median of the clear diameter, stopped by, and why it can be no single grain.
func told(t *testing.T, rows ...[]any) *analysis.Headline {
	t.Helper()
	s, err := column.Of("cases", []column.Column{{Name: "start_undercooling_K", Kind: column.Real}})
	if err != nil {
		t.Fatal(err)
	}
	f := table.NewFrame(s)
	for i, r := range rows {
		share := math.NaN()
		if n := r[0].(int); n > 0 {
			share = float64(r[1].(int)) / float64(n)
		}
		var because any
		if len(r) > 6 {
			because = r[6]
		}
		row := []any{string(rune('a' + i)), float64(i), r[0], r[1], share, share, share, r[2], r[3], r[4], r[4], r[4],
			nil, nil, r[5], nil, nil, nil, because}
		row = append(row, make([]any, len(s.Columns)-len(row))...) // the study has no laws of a file
		if err := f.Append(row...); err != nil {
			t.Fatal(err)
		}
	}
	folder, err := table.Create(t.TempDir()+"/results", []byte("[body]\ncell_mm = 0.1\n"), studies.Draws,
		table.Provenance{})
	if err != nil {
		t.Fatal(err)
	}
	if err := folder.Put(f); err != nil {
		t.Fatal(err)
	}
	h, err := analysis.Head(folder, 0.95)
	if err != nil {
		t.Fatal(err)
	}
	return h
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

func TestTheHeadlineDoesNotMislead(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name       string
		rows       [][]any
		out, err   []string // parts of what is printed
		not, noErr string   // what must not be there
	}{
		{"every run fails", [][]any{{0, 0, 0.5, 0.7, nan, "failures"}, {0, 0, nan, nan, nan, "failures"}},
			[]string{" 0.500 *", " failures\n", " -  "}, []string{"falls short with 50 %"}, "0.00", "†"},
		{"one case", [][]any{{4, 4, 1.0, 0.0, 9.0, "replicates"}}, []string{" 1.000 ", " 9.0 "}, nil, "*", "best"},
		{"two cases", [][]any{{4, 4, 1.0, 0.0, 9.0, "replicates"}, {4, 4, 1.0, 0.0, 9.5, "replicates"}}, []string{" 9.5 *"},
			[]string{"* best case"}, "stopped", "†"},
		{"interrupted", [][]any{{4, 4, 1.0, 0.0, 9.0, "replicates"}, {1, 1, 1.0, 0.0, 9.5, "interrupted"}},
			[]string{" interrupted\n"}, nil, "†", "†"},
		{"nearly certain", [][]any{{4, 4, 0.9999, 1e-4, 9.0, "replicates"}, {4, 0, 1e-4, 9.2, 9.0, "replicates"}},
			[]string{">0.999", "<0.001", " 9.2 "}, nil, "1.000", "†"},
		{"liquid at the end", [][]any{{4, 0, 0.0, 0.0, 3.0, "replicates", "liquid"}}, []string{"0.000 †"},
			[]string{"† no single grain even without strays: liquid is left when the programme ends"}, "*", "join"},
		{"apart", [][]any{{4, 0, 0.0, 0.0, 3.0, "replicates", "apart"}, {4, 0, 0.0, 0.0, 2.0, "replicates", "unseeded"}},
			[]string{"0.000 ‡", "0.000 §"},
			[]string{"‡ no single grain even without strays: the seeded grains do not join", "§ no single grain even " +
				"without strays: there is no seed", "No case reaches a chance of 95 %"}, "†", "liquid"},
		{"a folder that does not tell", [][]any{{4, 0, 0.0, 0.0, 3.0, "replicates"}}, []string{"0.000 ¶"},
			[]string{"no domain of seeded grains fills"}, "*", "best"},
		{"the largest piece is not likely", [][]any{{4, 0, 0.021, 3.9, 12.0, "replicates"},
			{4, 4, 0.97, 0.03, 9.0, "replicates"}}, []string{" 9.0 *"},
			[]string{"* best case: first the wanted chance"}, "12.0 *", "falls short"},
		{"none is likely", [][]any{{4, 0, 0.021, 3.9, 12.0, "replicates"}, {4, 4, 0.5, 0.69, 9.0, "replicates"}},
			[]string{" 9.0 *"}, []string{"the best one falls short with 50 %"}, "12.0 *", "†"},
		{"hopeless for strays", [][]any{{4, 0, 0.0, 800.0, 3.0, "replicates"}}, []string{"0.000 "}, nil, "†", "†"},
	} {
		var out, said bytes.Buffer
		if err := headline(streams{out: &out, err: &said}, told(t, c.rows...), 0.95); err != nil {
			t.Fatal(err)
		}
		for _, part := range c.out {
			if !strings.Contains(out.String(), part) {
				t.Errorf("%s: no %q in\n%s", c.name, part, out.String())
			}
		}
		for _, part := range c.err {
			if !strings.Contains(said.String(), part) {
				t.Errorf("%s: no %q in\n%s", c.name, part, said.String())
			}
		}
		if strings.Contains(out.String(), c.not) || strings.Contains(said.String(), c.noErr) {
			t.Errorf("%s: %q or %q in\n%s%s", c.name, c.not, c.noErr, out.String(), said.String())
		}
	}
}
