package table

import (
	"math"
	"strings"
	"testing"

	"onegrain/studies/column"
)

func varied() []column.Column {
	return []column.Column{
		{Name: "cooling_rate_K_per_h", Kind: column.Real, Unit: "K/h", Means: "varied"},
		{Name: "base", Kind: column.Text, Means: "varied"},
		{Name: "count", Kind: column.Int, Unit: "1", Means: "varied"},
	}
}

func col(name string, kind column.Kind, null bool) column.Column {
	return column.Column{Name: name, Kind: kind, Null: null}
}

func schemaOf(columns ...column.Column) column.Schema {
	return column.Schema{Table: "runs", Columns: columns}
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
func sample(c column.Column, row int) any {
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
	f := NewFrame(must[column.Schema](t)(column.Of(name, varied())))
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
	for _, name := range column.Tables() {
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
	f := NewFrame(schemaOf(col("x", column.Real, true), col("n", column.Int, true)))
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
	f := NewFrame(schemaOf(col("n", column.Int, false)))
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
	f := NewFrame(schemaOf(col("n", column.Int, false), col("x", column.Real, true), col("s", column.Text, true)))
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

func TestRealsCountFlagsAndLeaveGaps(t *testing.T) {
	f := NewFrame(schemaOf(col("ok", column.Flag, true), col("n", column.Int, true), col("s", column.Text, true)))
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
