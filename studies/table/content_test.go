package table

import (
	"fmt"
	"strings"
	"testing"
)

// The hash sees rows, not files: any cut, any order, any repetition; and it sees every value but
// the time the computation took.
func TestContentHashSeesRowsNotFiles(t *testing.T) {
	rows := [][3]any{{"a", 1, "solid"}, {"a", 2, "liquid"}, {"b", 1, "solid"}}
	hash := func(parts ...[]int) string {
		_, f := create(t)
		for _, p := range parts {
			var some [][3]any
			for _, i := range p {
				some = append(some, rows[i])
			}
			must[string](t)(f.Add(told(t, some...)))
		}
		return must[string](t)(f.ContentHash())
	}
	whole := hash([]int{0, 1, 2})
	for _, parts := range [][][]int{{{2}, {0}, {1}}, {{2, 1, 0}}, {{0, 1}, {1, 2}}} {
		if got := hash(parts...); got != whole {
			t.Errorf("parts %v: hash %s, whole %s", parts, got, whole)
		}
	}
	if hash([]int{0, 1}) == whole {
		t.Error("canary: a row less gives the same hash")
	}
	seen := map[string]string{}
	base := told(t, rows...)
	for i, c := range base.Schema.Columns {
		_, f := create(t)
		g := NewFrame(base.Schema)
		for r := range base.Len() {
			row := make([]any, len(base.Schema.Columns))
			for k, c := range base.Schema.Columns {
				row[k] = base.Value(r, c.Name)
			}
			if r == 1 {
				row[i] = [...]any{77, 0.25, "x", true}[c.Kind]
			}
			if err := g.Append(row...); err != nil {
				t.Fatal(err)
			}
		}
		must[string](t)(f.Add(g))
		got := must[string](t)(f.ContentHash())
		if (got == whole) != (c.Name == uncounted) {
			t.Errorf("another value in %s: hash %s, before %s", c.Name, got, whole)
		}
		if other := seen[got]; other != "" {
			t.Errorf("%s and %s give the same hash", c.Name, other)
		}
		seen[got] = c.Name
	}
	if len(whole) != 64 || strings.Trim(whole, "0123456789abcdef") != "" {
		t.Errorf("hash %q", whole)
	}
	if got := fmt.Sprint(hash()); got == whole {
		t.Error("an empty folder has the same hash")
	}
}
