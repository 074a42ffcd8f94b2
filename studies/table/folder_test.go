package table

import (
	"errors"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"onegrain/studies/column"
)

func session() Provenance {
	return Provenance{Version: "1.0.0", ModelVersion: "m1", Command: "onegrain run a.toml",
		Start: time.Unix(1000, 0).UTC()}
}

// undrawn says of every study that how it draws is not known.
func undrawn([]byte) string { return "" }

func create(t *testing.T) (string, *Folder) {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "results", "a")
	return dir, must[*Folder](t)(Create(dir, []byte("title = \"a\"\n"), undrawn, session()))
}

// told are runs as (case, replicate, status).
func told(t *testing.T, rows ...[3]any) *Frame {
	t.Helper()
	f := NewFrame(must[column.Schema](t)(column.Of("runs", nil)))
	for _, r := range rows {
		row := make([]any, len(f.Schema.Columns))
		copy(row, r[:])
		if err := f.Append(row...); err != nil {
			t.Fatal(err)
		}
	}
	return f
}

func TestAFolderTellsItsRowsOnce(t *testing.T) {
	dir, f := create(t)
	for _, part := range []*Frame{
		told(t, [3]any{"a", 1, "solid"}, [3]any{"a", 2, "failed"}),
		told(t, [3]any{"a", 1, "solid"}, [3]any{"b", 1, "liquid"}),
		told(t, [3]any{"a", 2, "solid"}, [3]any{"b", 2, "failed"}),
		told(t, [3]any{"a", 1, "solid"}, [3]any{"a", 2, "failed"}), // the first once more: the same file
		told(t),
	} {
		must[string](t)(f.Add(part))
	}
	got := must[*Frame](t)(must[*Folder](t)(Open(dir)).Table("runs"))
	status := map[string]any{}
	for r := range got.Len() {
		status[got.Value(r, "case_id").(string)+string('0'+rune(got.Value(r, "replicate").(int64)))] = got.Value(r, "status")
	}
	if got.Len() != 4 || status["a1"] != "solid" || status["a2"] != "solid" || status["b1"] != "liquid" ||
		status["b2"] != "failed" {
		t.Errorf("%d rows: %v", got.Len(), status)
	}
	if list := must[[]os.DirEntry](t)(os.ReadDir(filepath.Join(dir, "runs"))); len(list) != 3 {
		t.Errorf("%d part files: wanted 3", len(list))
	}
}

// An empty part stands for a table without rows, until there are some; it gives the later ones no
// columns of its own.
func TestATableWithoutRowsHasAFile(t *testing.T) {
	dir, f := create(t)
	varied := must[column.Schema](t)(column.Of("runs", []column.Column{{Name: "rate", Kind: column.Real}}))
	for range 2 {
		if err := f.Complete(varied); err != nil {
			t.Fatal(err)
		}
	}
	if list := must[[]os.DirEntry](t)(os.ReadDir(filepath.Join(dir, "runs"))); len(list) != 1 {
		t.Fatalf("%d files: wanted one", len(list))
	}
	if got := must[*Frame](t)(f.Table("runs")); got.Len() != 0 || len(got.Schema.Columns) != len(varied.Columns) {
		t.Errorf("%d rows of %d columns: wanted none of %d", got.Len(), len(got.Schema.Columns), len(varied.Columns))
	}
	for _, id := range []string{"a", "b", "c", "a"} {
		must[string](t)(f.Add(told(t, [3]any{id, 1, "solid"})))
	}
	if err := f.Complete(varied); err != nil {
		t.Fatal(err)
	}
	got := must[*Frame](t)(f.Table("runs"))
	if got.Len() != 3 || len(got.Schema.Columns) != len(varied.Columns)-1 || got.Value(2, "status") != "solid" {
		t.Errorf("%d rows of %d columns: wanted 3 of %d", got.Len(), len(got.Schema.Columns), len(varied.Columns)-1)
	}
	if err := f.Seal(time.Unix(2000, 0)); err != nil {
		t.Fatal(err)
	}
	if m := must[manifest](t)(f.listed()); len(m.Files) != 4 {
		t.Errorf("manifest %+v: wanted four files", m)
	}
}

func TestRowsOfARunComeFromOnePart(t *testing.T) {
	_, f := create(t)
	grains := func(n int, volume float64) *Frame {
		g := NewFrame(must[column.Schema](t)(column.Of("grains", nil)))
		for i := range n {
			row := []any{"a", 1, i + 1, "seed"}
			for range 16 {
				row = append(row, volume)
			}
			if err := g.Append(append(row, nil, nil)...); err != nil {
				t.Fatal(err)
			}
		}
		return g
	}
	must[string](t)(f.Add(grains(3, 1)))
	must[string](t)(f.Add(grains(3, 2)))
	got := must[*Frame](t)(f.Table("grains"))
	if v := must[[]float64](t)(got.Reals("volume_mm3")); len(v) != 3 || v[0] != v[2] {
		t.Errorf("volumes %v: wanted those of one part", v)
	}
}

func TestPartsOfAnOlderVersionStillRead(t *testing.T) {
	_, f := create(t)
	old := NewFrame(schemaOf(col("case_id", column.Text, false), col("replicate", column.Int, false),
		col("status", column.Text, false)))
	if err := old.Append("a", 1, "solid"); err != nil {
		t.Fatal(err)
	}
	must[string](t)(f.Add(old))
	must[string](t)(f.Add(told(t, [3]any{"b", 1, "solid"})))
	got := must[*Frame](t)(f.Table("runs"))
	if got.Len() != 2 || got.Value(0, "wall_s") != nil || len(got.Schema.Columns) != len(told(t).Schema.Columns) {
		t.Errorf("%d rows of %d columns", got.Len(), len(got.Schema.Columns))
	}
	other := NewFrame(schemaOf(col("case_id", column.Text, false), col("replicate", column.Int, false),
		col("status", column.Int, false)))
	if err := other.Append("c", 1, 5); err != nil {
		t.Fatal(err)
	}
	must[string](t)(f.Add(other))
	if _, err := f.Table("runs"); err == nil || !strings.Contains(err.Error(), "two different studies") {
		t.Errorf("columns of two kinds: %v", err)
	}
}

func TestOnlyWholeFilesBearTheEnding(t *testing.T) {
	dir, f := create(t)
	must[string](t)(f.Add(told(t, [3]any{"a", 1, "solid"})))
	if err := os.WriteFile(filepath.Join(dir, "runs", ".unfinished-1"), []byte("half"), 0o644); err != nil {
		t.Fatal(err)
	}
	if got := must[*Frame](t)(f.Table("runs")); got.Len() != 1 {
		t.Errorf("%d rows beside a file that is not finished", got.Len())
	}
}

func TestDamageIsFoundAndNamed(t *testing.T) {
	dir, f := create(t)
	name := must[string](t)(f.Add(filled(t, "runs", 50)))
	if err := f.Put(filled(t, "cases", 5)); err != nil {
		t.Fatal(err)
	}
	if err := f.Seal(time.Unix(2000, 0)); err != nil {
		t.Fatal(err)
	}
	for table, file := range map[string]string{"runs": name, "cases": "cases.parquet"} {
		path := filepath.Join(dir, file)
		whole := must[[]byte](t)(os.ReadFile(path))
		r := rand.New(rand.NewPCG(1, uint64(len(table))))
		for i := range 100 {
			hurt := flipped(whole, r)
			if i%2 == 1 {
				hurt = whole[:r.IntN(len(whole))]
			}
			// a young one is waited for
			if err := errors.Join(os.WriteFile(path, hurt, 0o644), os.Chtimes(path, time.Unix(1, 0),
				time.Unix(1, 0))); err != nil {
				t.Fatal(err)
			}
			_, err := f.Table(table)
			var c *Corrupt
			if !errors.As(err, &c) || c.File != path || !strings.Contains(err.Error(), file) {
				t.Fatalf("damage %d: error %v: wanted one that names %s", i, err, file)
			}
		}
		if err := os.WriteFile(path, whole, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// A damaged file must not bring the reader down even where no hash stands guard.
func TestTheReaderItselfSurvivesDamage(t *testing.T) {
	whole := must[[]byte](t)(encode(filled(t, "runs", 20), nil))
	r := rand.New(rand.NewPCG(2, 2))
	for i := range 300 {
		var c *Corrupt
		if _, err := decode("f", flipped(whole, r)); err != nil && !errors.As(err, &c) {
			t.Fatalf("damage %d: error %v of type %T", i, err, err)
		}
	}
}

// flipped is a copy with one bit turned over.
func flipped(whole []byte, r *rand.Rand) []byte {
	hurt := append([]byte(nil), whole...)
	hurt[r.IntN(len(hurt))] ^= 1 << r.IntN(8)
	return hurt
}

func TestAFileReplacedAfterTheManifestIsNoFalseAlarm(t *testing.T) {
	_, f := create(t)
	for n := 1; n < 3; n++ {
		if err := f.Put(filled(t, "cases", n)); err != nil {
			t.Fatal(err)
		}
		if got := must[*Frame](t)(f.Table("cases")); got.Len() != n {
			t.Errorf("%d cases: wanted %d", got.Len(), n)
		}
		if err := f.Seal(time.Unix(2000, 0)); err != nil {
			t.Fatal(err)
		}
	}
}

func TestFoldersThatAreNoResults(t *testing.T) {
	dir := t.TempDir()
	if _, err := Open(dir); !errors.Is(err, os.ErrNotExist) || !strings.Contains(err.Error(), "no results here") {
		t.Errorf("open: %v", err)
	}
	if err := os.WriteFile(filepath.Join(dir, "letter.txt"), nil, 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := Create(dir, nil, undrawn, session()); err == nil || !strings.Contains(err.Error(), "--out") {
		t.Errorf("create: %v", err)
	}
	if _, err := Create(filepath.Join(dir, "letter.txt", "x"), nil, undrawn, session()); err == nil {
		t.Error("a folder inside a file was made")
	}
	_, f := create(t)
	if got := must[*Frame](t)(f.Table("history")); got.Len() != 0 {
		t.Errorf("%d rows nobody wrote", got.Len())
	}
	if _, err := f.Table("nothing"); err == nil {
		t.Error("an unknown table was read")
	}
}

func TestOfACaseTheRowWithMostRunsCounts(t *testing.T) {
	_, f := create(t)
	counted := func(runs ...int) *Frame {
		c := NewFrame(must[column.Schema](t)(column.Of("cases", nil)))
		for i, n := range runs {
			row := make([]any, len(c.Schema.Columns))
			row[0], row[1], row[2], row[c.Schema.Index("stopped_by")] = string(rune('a'+i)), n, 0, "replicates"
			if err := c.Append(row...); err != nil {
				t.Fatal(err)
			}
		}
		return c
	}
	must[string](t)(f.Add(counted(8, 16)))
	must[string](t)(f.Add(counted(16, 8)))
	if err := f.Put(counted(9, 9, 9)); err != nil {
		t.Fatal(err)
	}
	got := must[*Frame](t)(f.Table("cases"))
	runs := map[any]any{}
	for r := range got.Len() {
		runs[got.Value(r, "case_id")] = got.Value(r, "runs")
	}
	if got.Len() != 3 || runs["a"] != int64(16) || runs["b"] != int64(16) || runs["c"] != int64(9) {
		t.Errorf("%d rows: %v", got.Len(), runs)
	}
}

// What cannot be put in place leaves nothing behind, and the error is the file system's.
func TestAFileThatCannotBePublished(t *testing.T) {
	dir, f := create(t)
	var pe *os.PathError
	if err := f.publish("study.toml/x", nil); !errors.As(err, &pe) {
		t.Errorf("no folder, but a file: %v", err)
	}
	if err := os.MkdirAll(filepath.Join(dir, "cases.parquet", "in the way"), 0o777); err != nil {
		t.Fatal(err)
	}
	var le *os.LinkError
	if err := f.Put(filled(t, "cases", 1)); !errors.As(err, &le) {
		t.Errorf("a folder in the way: %v", err)
	}
	for _, e := range must[[]os.DirEntry](t)(os.ReadDir(dir)) {
		if strings.HasPrefix(e.Name(), ".") {
			t.Errorf("%s is left behind", e.Name())
		}
	}
	if err := os.WriteFile(filepath.Join(dir, "runs"), nil, 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := f.Add(filled(t, "runs", 1)); err == nil {
		t.Error("a part was added to a folder that is a file")
	}
	if err := os.Mkdir(filepath.Join(dir, "failures.jsonl"), 0o777); err != nil {
		t.Fatal(err)
	}
	if err := f.Fail(Failure{}); !errors.As(err, &pe) {
		t.Errorf("failures: %v", err)
	}
}
