package table

import (
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"

	"onegrain/studies/column"
)

// outside is what DuckDB, which shares no code with us, finds in a file.
type outside struct {
	Columns []struct{ Name, Type string }
	Rows    [][]any
	Keys    map[string]string
}

// duckdb reads tables, each by the pattern of its files. Without the reader installed the test is
// skipped, unless ONEGRAIN_READERS=1 demands it.
func duckdb(t *testing.T, files ...string) []outside {
	t.Helper()
	script := must[string](t)(filepath.Abs("../../testdata/readers/table.mjs"))
	if _, err := os.Stat(filepath.Join(filepath.Dir(script), "node_modules")); err != nil {
		if os.Getenv("ONEGRAIN_READERS") == "1" {
			t.Fatal("DuckDB is not installed: run testdata/install.sh")
		}
		t.Skip("DuckDB is not installed: testdata/install.sh does it")
	}
	c := exec.Command("node", append([]string{script}, files...)...)
	c.Stderr = os.Stderr
	text, err := c.Output()
	if err != nil {
		t.Fatalf("DuckDB cannot read %s: %v", files, err)
	}
	var found []outside
	if err := json.Unmarshal(text, &found); err != nil {
		t.Fatal(err)
	}
	return found
}

// asJSON is a value as table.mjs prints it: whole numbers as text.
func asJSON(v any) any {
	if n, ok := v.(int64); ok {
		return strconv.FormatInt(n, 10)
	}
	return v
}

func TestDuckDBReadsEveryTable(t *testing.T) {
	dir, f := create(t)
	var written []*Frame
	var files []string
	for _, name := range column.Tables() {
		rows := filled(t, name, 300)
		must[string](t)(f.Add(rows))
		written = append(written, rows)
		files = append(files, filepath.Join(dir, name, "*.parquet"))
	}
	for i, got := range duckdb(t, files...) {
		t.Run(written[i].Schema.Table, func(t *testing.T) { same(t, got, written[i]) })
	}
}

// same compares what an outsider found with what was written, value by value.
func same(t *testing.T, got outside, rows *Frame) {
	types := map[column.Kind]string{column.Int: "BIGINT", column.Real: "DOUBLE", column.Text: "VARCHAR",
		column.Flag: "BOOLEAN"}
	if len(got.Columns) != len(rows.Schema.Columns) || len(got.Rows) != rows.Len() {
		t.Fatalf("%d columns, %d rows: wanted %d, %d", len(got.Columns), len(got.Rows), len(rows.Schema.Columns), rows.Len())
	}
	var told []described
	if err := json.Unmarshal([]byte(got.Keys[keyColumns]), &told); err != nil ||
		got.Keys[keyTable] != rows.Schema.Table || got.Keys["onegrain.model_version"] != "m1" {
		t.Fatalf("key-values %v: %v", got.Keys, err)
	}
	for i, c := range rows.Schema.Columns {
		if got.Columns[i].Name != c.Name || got.Columns[i].Type != types[c.Kind] || told[i].Unit != c.Unit {
			t.Errorf("column %d is %v in %q: wanted %s %s in %q", i, got.Columns[i], told[i].Unit, c.Name, types[c.Kind], c.Unit)
		}
		for r := range rows.Len() {
			if want := asJSON(rows.Value(r, c.Name)); got.Rows[r][i] != want {
				t.Fatalf("row %d of %s is %v: wanted %v", r, c.Name, got.Rows[r][i], want)
			}
		}
	}
}

// Parts read as one table by an outsider, and a table without rows is one too, alone and beside
// parts that came later.
func TestDuckDBReadsPartsTogether(t *testing.T) {
	dir, f := create(t)
	for _, name := range []string{"runs", "boundaries"} {
		if err := f.Complete(must[column.Schema](t)(column.Of(name, nil))); err != nil {
			t.Fatal(err)
		}
	}
	for n := range 3 {
		must[string](t)(f.Add(told(t, [3]any{fmt.Sprint("case", n), 1, "solid"})))
	}
	got := duckdb(t, filepath.Join(dir, "runs", "*.parquet"), filepath.Join(dir, "boundaries", "*.parquet"))
	if len(got[0].Rows) != 3 {
		t.Errorf("%d rows: wanted 3", len(got[0].Rows))
	}
	if n := len(must[column.Schema](t)(column.Of("boundaries", nil)).Columns); len(got[1].Rows) != 0 ||
		len(got[1].Columns) != n {
		t.Errorf("%d rows of %d columns: wanted none of %d", len(got[1].Rows), len(got[1].Columns), n)
	}
}
