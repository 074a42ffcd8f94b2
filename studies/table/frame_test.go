package table

import (
	"math"
	"strings"
	"testing"
)

func varied() []Column {
	return []Column{{"cooling_rate_K_per_h", Real, false, "K/h", "varied"}, {"base", Text, false, "", "varied"}, {"count", Int, false, "1", "varied"}}
}

func must[T any](t *testing.T) func(v T, err error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}

// sample is a value that a column can hold, another for each row.
func sample(c Column, row int) any {
	switch {
	case c.Null && row%3 == 2:
		return nil
	case c.Null && row%3 == 1: // zero values must not become nulls
		return [...]any{0, 0.0, "", false}[c.Kind]
	}
	return [...]any{1<<62 + row, 0.1 * float64(row+1), "x° " + strings.Repeat("é", row%5), row%2 == 0}[c.Kind]
}

func filled(t *testing.T, name string, rows int) *Frame {
	t.Helper()
	f := must[Schema](t)(Of(name, varied())).Frame()
	for r := range rows {
		var row []any
		for _, c := range f.Schema.Columns {
			row = append(row, sample(c, r))
		}
		if err := f.Append(row...); err != nil {
			t.Fatal(err)
		}
	}
	return f
}

func equal(a, b *Frame) bool {
	if a.Len() != b.Len() || len(a.Schema.Columns) != len(b.Schema.Columns) {
		return false
	}
	for i, c := range a.Schema.Columns {
		if c != b.Schema.Columns[i] {
			return false
		}
		for r := range a.Len() {
			if a.Value(r, c.Name) != b.Value(r, c.Name) {
				return false
			}
		}
	}
	return true
}

func TestEveryTableComesBackAsItWas(t *testing.T) {
	for _, name := range names() {
		for _, rows := range []int{0, 1, 3, 2500} {
			f := filled(t, name, rows)
			data := must[[]byte](t)(encode(f, nil))
			g := must[*Frame](t)(decode("x", data))
			if !equal(f, g) {
				t.Errorf("%s, %d rows: not the same after reading", name, rows)
			}
			if again := must[[]byte](t)(encode(g, nil)); string(again) != string(data) {
				t.Errorf("%s, %d rows: the same rows give other bytes", name, rows)
			}
		}
	}
}

func TestExtremeValuesComeBackBitForBit(t *testing.T) {
	f := Schema{"runs", []Column{{"x", Real, true, "", ""}, {"n", Int, true, "", ""}}}.Frame()
	reals := []float64{0, math.Copysign(0, -1), math.MaxFloat64, math.SmallestNonzeroFloat64, -1.0 / 3}
	for i, x := range reals {
		if err := f.Append(x, []int64{0, -1, math.MaxInt64, math.MinInt64, 7}[i]); err != nil {
			t.Fatal(err)
		}
	}
	g := must[*Frame](t)(decode("x", must[[]byte](t)(encode(f, nil))))
	back := must[[]float64](t)(g.Reals("x"))
	for i, x := range reals {
		if math.Float64bits(back[i]) != math.Float64bits(x) || g.Value(i, "n") != f.Value(i, "n") {
			t.Errorf("row %d: %v, %v came back as %v, %v", i, x, f.Value(i, "n"), back[i], g.Value(i, "n"))
		}
	}
}

func TestMoreRowsThanAGroupHolds(t *testing.T) {
	f := Schema{"runs", []Column{{"n", Int, false, "", ""}}}.Frame()
	for n := range groupRows + 5 {
		if err := f.Append(n); err != nil {
			t.Fatal(err)
		}
	}
	g := must[*Frame](t)(decode("x", must[[]byte](t)(encode(f, nil))))
	if g.Len() != f.Len() || g.Value(groupRows+4, "n") != int64(groupRows+4) {
		t.Errorf("%d rows, last %v", g.Len(), g.Value(g.Len()-1, "n"))
	}
}

func TestARowThatDoesNotFitIsRefusedWhole(t *testing.T) {
	f := Schema{"runs", []Column{{"n", Int, false, "", ""}, {"x", Real, true, "", ""}, {"s", Text, true, "", ""}}}.Frame()
	for _, c := range []struct {
		row  []any
		want string
	}{
		{[]any{1, 2.0}, "2 values: wanted 3"},
		{[]any{1.0, 2.0, "a"}, "column n: 1 (float64): wanted a finite int64"},
		{[]any{nil, 2.0, "a"}, "column n: no value"},
		{[]any{1, math.Inf(1), "a"}, "column x: +Inf (float64): wanted a finite double"},
		{[]any{1, 2.0, true}, "column s: true (bool): wanted a finite text"},
		{[]any{1, float32(2), "a"}, "column x: 2 (float32)"},
	} {
		err := f.Append(c.row...)
		if err == nil || !strings.Contains(err.Error(), c.want) || f.Len() != 0 {
			t.Errorf("%v: error %v (%d rows): wanted %q", c.row, err, f.Len(), c.want)
		}
	}
	if err := f.Append(1, math.NaN(), nil); err != nil || f.Value(0, "x") != nil {
		t.Errorf("NaN: %v, stored as %v: wanted an empty value", err, f.Value(0, "x"))
	}
}

func TestVariedColumnsMustNotHideOurs(t *testing.T) {
	for _, bad := range []string{"wall_s", "Status", "case_id", ""} {
		if _, err := Of("runs", []Column{{Name: bad, Kind: Real}}); err == nil {
			t.Errorf("varied column %q was accepted", bad)
		}
	}
	if _, err := Of("runs", []Column{{Name: "a", Kind: Real}, {Name: "A", Kind: Real}}); err == nil {
		t.Error("two columns that differ by case only were accepted")
	}
	if _, err := Of("nothing", nil); err == nil || !strings.Contains(err.Error(), "runs, cases, grains") {
		t.Errorf("unknown table: %v", err)
	}
}

func TestVariedColumnsStandBehindTheRun(t *testing.T) {
	s := must[Schema](t)(Of("runs", varied()))
	if s.Columns[2].Name != "cooling_rate_K_per_h" || s.Columns[5].Name != "status" {
		t.Errorf("runs begins with %v", s.Columns[:6])
	}
	s = must[Schema](t)(Of("cases", varied()))
	if s.Columns[1].Name != "cooling_rate_K_per_h" || s.Columns[4].Name != "runs" {
		t.Errorf("cases begins with %v", s.Columns[:5])
	}
}

func TestRealsCountFlagsAndLeaveGaps(t *testing.T) {
	f := Schema{"runs", []Column{{"ok", Flag, true, "", ""}, {"n", Int, true, "", ""}, {"s", Text, true, "", ""}}}.Frame()
	for _, row := range [][]any{{true, 3, "a"}, {false, nil, nil}, {nil, 0, "b"}} {
		if err := f.Append(row...); err != nil {
			t.Fatal(err)
		}
	}
	ok, n := must[[]float64](t)(f.Reals("ok")), must[[]float64](t)(f.Reals("n"))
	if ok[0] != 1 || ok[1] != 0 || !math.IsNaN(ok[2]) || n[0] != 3 || !math.IsNaN(n[1]) || n[2] != 0 {
		t.Errorf("flags %v, ints %v", ok, n)
	}
	if s := must[[]float64](t)(f.Reals("s")); !math.IsNaN(s[0]) {
		t.Errorf("texts as numbers: %v", s)
	}
	if _, err := f.Reals("nothing"); err == nil {
		t.Error("a column that does not exist was read")
	}
	if f.Value(0, "nothing") != nil {
		t.Error("a column that does not exist has a value")
	}
}

func TestEveryColumnIsDocumented(t *testing.T) {
	units := map[string]string{"mm3": "mm3", "mm2": "mm2", "mm": "mm", "h": "h", "K": "K", "C": "Cel", "deg": "deg", "s": "s", "fraction": "1"}
	for _, name := range names() {
		s := must[Schema](t)(Of(name, nil))
		for _, c := range s.Columns {
			end := c.Name[strings.LastIndex(c.Name, "_")+1:]
			if u, ok := units[end]; ok && c.Unit != u {
				t.Errorf("%s.%s: unit %q: its name says %q", name, c.Name, c.Unit, u)
			}
			if c.Means == "" || (c.Unit == "") != (c.Kind == Text || c.Kind == Flag) {
				t.Errorf("%s.%s: meaning %q, unit %q", name, c.Name, c.Means, c.Unit)
			}
			if !strings.Contains(s.Markdown(), "| `"+c.Name+"` | "+c.Kind.String()) {
				t.Errorf("%s.%s is missing in the documentation", name, c.Name)
			}
		}
	}
}
