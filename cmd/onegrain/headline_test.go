package main

import (
	"bytes"
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"onegrain/studies/table"
)

// told is a table of cases; a row is runs, single grains, exact chance, strays, median of the clear diameter, stopped by.
func told(t *testing.T, rows ...[]any) *table.Frame {
	t.Helper()
	s, err := table.Of("cases", []table.Column{{Name: "start_undercooling_K", Kind: table.Real}})
	if err != nil {
		t.Fatal(err)
	}
	f := s.Frame()
	for i, r := range rows {
		share := math.NaN()
		if n := r[0].(int); n > 0 {
			share = float64(r[1].(int)) / float64(n)
		}
		if err := f.Append(string(rune('a'+i)), float64(i), r[0], r[1], share, share, share, r[2], r[3], r[4], r[4], r[4], nil, nil, r[5], nil, nil, nil); err != nil {
			t.Fatal(err)
		}
	}
	return f
}

func TestTheHeadlineDoesNotMislead(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name       string
		rows       [][]any
		out, err   []string // parts of what is printed
		not, noErr string   // what must not be there
	}{
		{"every run fails", [][]any{{0, 0, 0.5, 0.7, nan, "failures"}, {0, 0, nan, nan, nan, "failures"}}, []string{" 0.500 ", " failures\n", " -  "}, nil, "0.00", "best"},
		{"one case", [][]any{{4, 4, 1.0, 0.0, 9.0, "replicates"}}, []string{" 1.000 ", " 9.0 "}, nil, "*", "best"},
		{"two cases", [][]any{{4, 4, 1.0, 0.0, 9.0, "replicates"}, {4, 4, 1.0, 0.0, 9.5, "replicates"}}, []string{" 9.5 *"}, []string{"* best case"}, "stopped", "†"},
		{"interrupted", [][]any{{4, 4, 1.0, 0.0, 9.0, "replicates"}, {1, 1, 1.0, 0.0, 9.5, "interrupted"}}, []string{" interrupted\n"}, nil, "†", "†"},
		{"nearly certain", [][]any{{4, 4, 0.9999, 1e-4, 9.0, "replicates"}, {4, 0, 1e-4, 9.2, 9.0, "replicates"}}, []string{">0.999", "<0.001", " 9.2 "}, nil, "1.000", "†"},
		{"liquid at the end", [][]any{{4, 0, 0.0, 0.0, 3.0, "replicates"}}, []string{"0.000 †"}, []string{"† even without strays"}, "*", "best"},
		{"hopeless for strays", [][]any{{4, 0, 0.0, 800.0, 3.0, "replicates"}}, []string{"0.000 "}, nil, "†", "†"},
	} {
		var out, said bytes.Buffer
		if err := headline(streams{out: &out, err: &said}, told(t, c.rows...)); err != nil {
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

func TestWideTablesHaveTallHeads(t *testing.T) {
	g := &grid{head: []string{"cooling_rate_K_per_h", "single grain", strings.Repeat("x", 70), "note"}}
	g.add("0.4", "1.00", "1", "text")
	var b bytes.Buffer
	if err := g.print(&b); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(b.String(), "\n")
	want := []string{"cooling_", " rate_K_  single", "   per_h   grain  " + strings.Repeat("x", 70) + "  note", strings.Repeat("-", 94)}
	for i, line := range want {
		if lines[i] != line {
			t.Errorf("line %d: %q, wanted %q", i, lines[i], line)
		}
	}
	if n := utf8.RuneCountInString(lines[4]); n != 94 {
		t.Errorf("%d characters: %q", n, lines[4])
	}
}
