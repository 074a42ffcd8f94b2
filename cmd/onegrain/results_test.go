package main

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// found is a table as DuckDB reads it.
type found struct {
	Columns []struct{ Name, Type string }
	Rows    [][]any
}

// column is a column by its name.
func (f found) column(t *testing.T, name string) []any {
	t.Helper()
	for i, c := range f.Columns {
		if c.Name == name {
			out := make([]any, len(f.Rows))
			for r := range f.Rows {
				out[r] = f.Rows[r][i]
			}
			return out
		}
	}
	t.Fatalf("no column %s", name)
	return nil
}

// duckdb reads tables. Without it the test is skipped, unless ONEGRAIN_READERS=1 demands it.
func duckdb(t *testing.T, files ...string) []found {
	t.Helper()
	readers := filepath.Join("..", "..", "testdata", "readers")
	if _, err := os.Stat(filepath.Join(readers, "node_modules")); err != nil {
		if os.Getenv("ONEGRAIN_READERS") == "1" {
			t.Fatal("DuckDB is not installed: run testdata/install.sh")
		}
		t.Skip("DuckDB is not installed: testdata/install.sh does it")
	}
	c := exec.Command("node", append([]string{filepath.Join(readers, "table.mjs")}, files...)...)
	c.Stderr = os.Stderr
	text, err := c.Output()
	if err != nil {
		t.Fatal(err)
	}
	var all []found
	if err := json.Unmarshal(text, &all); err != nil {
		t.Fatal(err)
	}
	return all
}

// The tables of a study must agree with each other in the eyes of a stranger.
func TestTheTablesAgreeWithEachOther(t *testing.T) {
	dir := t.TempDir()
	path, out := filepath.Join(dir, "block.toml"), filepath.Join(dir, "r")
	text := smallBlock + "[keep]\nhistory = true\n[[vary]]\nkey = \"schedule.stage.2.rate_K_per_h\"\nvalues = [0.5, 4]\n"
	text = string(bytes.Replace([]byte(text), []byte("seed = 3\n"), []byte("seed = 3\nreplicates = 5\n"), 1))
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	var told bytes.Buffer
	if code := execute([]string{"run", path, "--out", out}, streams{out: &told, err: &told}); code != exitDone {
		t.Fatalf("exit code %d: %s", code, told.String())
	}
	all := duckdb(t, filepath.Join(out, "runs", "*.parquet"), filepath.Join(out, "cases.parquet"),
		filepath.Join(out, "grains", "*.parquet"),
		filepath.Join(out, "boundaries", "*.parquet"), filepath.Join(out, "history", "*.parquet"))
	runs, cases, grains, boundaries, history := all[0], all[1], all[2], all[3], all[4]
	if len(runs.Rows) != 10 || len(cases.Rows) != 2 {
		t.Fatalf("%d runs, %d cases: wanted 10, 2", len(runs.Rows), len(cases.Rows))
	}
	key := func(f found, r int) [2]any { return [2]any{f.column(t, "case_id")[r], f.column(t, "replicate")[r]} }
	volume := map[[2]any]float64{}
	for r, v := range grains.column(t, "volume_mm3") {
		volume[key(grains, r)] += v.(float64)
	}
	last := map[[2]any]float64{}
	for r, v := range history.column(t, "solid_fraction") {
		last[key(history, r)] = v.(float64)
	}
	singles := map[any]float64{}
	for r, single := range runs.column(t, "single_grain") {
		solid := runs.column(t, "solid_fraction")[r].(float64)
		if got := volume[key(runs, r)] / (6 * 4 * 2); math.Abs(got-solid) > 1e-12 ||
			math.Abs(last[key(runs, r)]-solid) > 1e-12 {
			t.Errorf("run %v: solid fraction %v in runs, %v in grains, %v in history", key(runs, r), solid, got,
				last[key(runs, r)])
		}
		if single.(bool) {
			singles[runs.column(t, "case_id")[r]]++
		}
	}
	for r, id := range cases.column(t, "case_id") {
		if got := cases.column(t, "single_grain_fraction")[r].(float64); got != singles[id]/5 {
			t.Errorf("case %v: single grain fraction %v, counted %v of 5", id, got, singles[id])
		}
	}
	if len(boundaries.Rows) == 0 {
		t.Error("no boundaries, though there are strays")
	}
}
