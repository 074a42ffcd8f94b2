package table

import (
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"onegrain/studies/column"
	"onegrain/studies/disk/trial"
)

// mergedAt merges into files of at most some rows.
func mergedAt(f *Folder, most int) error {
	return (&merger{f: f, most: most}).merge()
}

// batchOf adds all rows of some runs, as the runner does.
func batchOf(t *testing.T, f *Folder, keys ...runKey) {
	t.Helper()
	for _, table := range []string{"grains", "runs"} {
		must[string](t)(f.Add(must[*Frame](t)(frameOf(table, keys...))))
	}
}

func keysOf(cases int, replicates int64) (keys []runKey) {
	for i := range cases {
		for k := int64(1); k <= replicates; k++ {
			keys = append(keys, runKey{caseName(i), k})
		}
	}
	return keys
}

func onMemory(t *testing.T) (*trial.Memory, *Folder) {
	t.Helper()
	m := trial.NewMemory()
	return m, must[*Folder](t)(Create("r", []byte("title = \"a\"\n"), undrawn, session(), m))
}

// Merging into several files, again, and with more: the same content in few files, each ordered;
// nothing is written twice.
func TestMergingIntoSeveralFiles(t *testing.T) {
	_, f := onMemory(t)
	keys := keysOf(20, 10)
	order := rand.New(rand.NewPCG(3, 3)).Perm(len(keys))
	for i := 0; i < len(order); i += 5 {
		var some []runKey
		for _, k := range order[i : i+5] {
			some = append(some, keys[k])
		}
		batchOf(t, f, some...)
	}
	hash := must[string](t)(f.ContentHash())
	var before []string
	for round, want := range []string{"fewer", "the same", "the same"} {
		if err := mergedAt(f, 100); err != nil {
			t.Fatal(err)
		}
		files := append(must[[]string](t)(f.files("runs")), must[[]string](t)(f.files("grains"))...)
		if want == "the same" && fmt.Sprint(files) != fmt.Sprint(before) || len(files) > 8 {
			t.Errorf("round %d: %d files, before %v, now %v", round, len(files), before, files)
		}
		before = files
		if got := must[string](t)(f.ContentHash()); got != hash {
			t.Errorf("round %d: content %s, was %s", round, got, hash)
		}
		if a := must[*Audit](t)(f.Audit(nil)); len(a.Damage)+len(a.Notes) > 0 {
			t.Errorf("round %d: %+v", round, a)
		}
	}
	for _, name := range before {
		rows, _, err := f.file(name, nil)
		if err != nil {
			t.Fatal(err)
		}
		if !isMerged(name) || !equal(rows, rows.byRun()) {
			t.Errorf("%s is not ordered by case and replicate", name)
		}
	}
	if done := must[*Frame](t)(f.Done()); done.Len() != 200 {
		t.Errorf("%d runs are done, wanted 200", done.Len())
	}
}

// A large file of companions stays as it is when more is merged, and the files of runs name it.
func TestMergingMoreLeavesLargeFilesAlone(t *testing.T) {
	_, f := onMemory(t)
	batchOf(t, f, keysOf(10, 10)...)
	if err := mergedAt(f, 50); err != nil {
		t.Fatal(err)
	}
	large := must[[]string](t)(f.files("grains"))
	batchOf(t, f, runKey{caseName(30), 1})
	if err := mergedAt(f, 50); err != nil {
		t.Fatal(err)
	}
	now := must[[]string](t)(f.files("grains"))
	if len(large) != 1 || len(now) != 2 || !strings.Contains(strings.Join(now, " "), large[0]) {
		t.Errorf("before %v, now %v", large, now)
	}
	if done := must[*Frame](t)(f.Done()); done.Len() != 101 {
		t.Errorf("%d runs are done, wanted 101", done.Len())
	}
}

// A part whose receipt is not there yet is left alone; when all it tells is told elsewhere it goes.
func TestPartsWithoutAReceipt(t *testing.T) {
	_, f := onMemory(t)
	early := must[string](t)(f.Add(must[*Frame](t)(frameOf("grains", runKey{caseName(0), 1}))))
	other := must[*Folder](t)(Open("r", f.disk))
	batchOf(t, other, runKey{caseName(1), 1})
	if err := f.Merge(nil); err != nil {
		t.Fatal(err)
	}
	if files := fmt.Sprint(must[[]string](t)(f.files("grains"))); !strings.Contains(files, early) {
		t.Fatalf("%s, which a command is about to name, is gone: %s", early, files)
	}
	must[string](t)(f.Add(must[*Frame](t)(frameOf("runs", runKey{caseName(0), 1}))))
	if done := must[*Frame](t)(f.Done()); done.Len() != 2 {
		t.Errorf("%d runs are done, wanted 2", done.Len())
	}
	// of a command that was killed, and its run done by another
	must[string](t)(f.Add(must[*Frame](t)(frameOf("grains", runKey{caseName(1), 1}))))
	if err := f.Merge(nil); err != nil {
		t.Fatal(err)
	}
	if files := must[[]string](t)(f.files("grains")); len(files) != 1 {
		t.Errorf("files %v: wanted one", files)
	}
	if a := must[*Audit](t)(f.Audit(nil)); len(a.Damage)+len(a.Notes) > 0 {
		t.Errorf("%+v", a)
	}
}

// Runs that two files tell differently are damage: nothing is changed. Columns that one version
// does not have yet are no difference, nor is the time that the computation took.
func TestMergingWhatIsToldDifferently(t *testing.T) {
	for _, c := range []struct {
		column string
		value  any
		damage bool
	}{{"wall_s", 7.0, false}, {"clear_diameter_mm", 7.5, true}, {"status", "liquid", true}, {"status", "failed",
		false}, {"solid_fraction", 0.5, false}} {
		_, f := onMemory(t)
		key := runKey{caseName(0), 1}
		batchOf(t, f, key)
		other := must[*Frame](t)(frameOf("runs", key))
		at := other.Schema.Index(c.column)
		row := rowsOfRun("runs", key)[0]
		row[at] = c.value
		if c.column == "solid_fraction" { // as if the version before had no such column
			first := must[*Frame](t)(frameOf("runs", key))
			first.Schema.Columns = append(first.Schema.Columns[:at:at], first.Schema.Columns[at+1:]...)
			first.data = append(first.data[:at:at], first.data[at+1:]...)
			_, f = onMemory(t)
			must[string](t)(f.Add(first))
		}
		again := NewFrame(other.Schema)
		if err := again.Append(row...); err != nil {
			t.Fatal(err)
		}
		must[string](t)(f.Add(again))
		before := fmt.Sprint(must[[]string](t)(f.files("runs")))
		a := must[*Audit](t)(f.Audit(nil))
		err := f.Merge(nil)
		var corrupt *Corrupt
		if (len(a.Damage) > 0) != c.damage || errors.As(err, &corrupt) != c.damage || err != nil && !c.damage {
			t.Errorf("another %s: audit %+v, merge %v: wanted damage %v", c.column, a.Damage, err, c.damage)
		}
		if after := fmt.Sprint(must[[]string](t)(f.files("runs"))); c.damage && after != before {
			t.Errorf("another %s: files were %s, are %s", c.column, before, after)
		}
		if !c.damage {
			if got := must[*Frame](t)(f.Table("runs")); got.Len() != 1 || got.Value(0, "status") != "solid" {
				t.Errorf("another %s: %d rows, status %v", c.column, got.Len(), got.Value(0, "status"))
			}
		}
	}
}

// What merge writes says where all of it comes from.
func TestMergedFilesTellTheirOrigin(t *testing.T) {
	m, f := onMemory(t)
	batchOf(t, f, runKey{caseName(0), 1})
	p := session()
	p.Version, p.Start = "1.1.0", time.Unix(2000, 0)
	newer := must[*Folder](t)(Create("r", []byte("title = \"a\"\n"), undrawn, p, m))
	batchOf(t, newer, runKey{caseName(1), 1})
	if err := must[*Folder](t)(Open("r", m)).Merge(nil); err != nil {
		t.Fatal(err)
	}
	files := must[[]string](t)(f.files("runs"))
	rows, _, err := f.file(files[0], nil)
	if err != nil {
		t.Fatal(err)
	}
	if got := rows.meta["onegrain.version"]; len(files) != 1 || got != "1.0.0, 1.1.0" ||
		rows.meta["onegrain.model_version"] != "m1" {
		t.Errorf("%v, version %q, model %q", files, got, rows.meta["onegrain.model_version"])
	}
	if fmt.Sprint(rows.named()) != fmt.Sprint(must[[]string](t)(f.files("grains"))) {
		t.Errorf("names %v", rows.named())
	}
}

// Shards leave cases in parts; merged they stand in the order of what was varied.
func TestCasesOfShardsAreMergedInOrder(t *testing.T) {
	m, f := onMemory(t)
	s := must[column.Schema](t)(column.Of("cases", []column.Column{{Name: "rate", Kind: column.Real},
		{Name: "n", Kind: column.Int}, {Name: "word", Kind: column.Text}, {Name: "on", Kind: column.Flag}}))
	for i, values := range [][]any{{2.0, 1, "b", true}, {1.0, 2, "a", false}, {1.0, 1, "b", true}, {1.0, 1, "b", false},
		{1.0, 1, "a", true}} {
		g := NewFrame(s)
		row := make([]any, len(s.Columns))
		row[0], row[s.Index("runs")], row[s.Index("single_grain_runs")] = caseName(i), 0, 0
		row[s.Index("stopped_by")] = "replicates"
		copy(row[1:], values)
		if err := g.Append(row...); err != nil {
			t.Fatal(err)
		}
		must[string](t)(f.Add(g))
	}
	unmerged := must[*Frame](t)(f.Table("cases"))
	if err := f.Merge(nil); err != nil {
		t.Fatal(err)
	}
	merged := must[*Frame](t)(f.Table("cases"))
	var ids string
	for r := range merged.Len() {
		for i := range 5 {
			if merged.Value(r, "case_id") == caseName(i) {
				ids += fmt.Sprint(i)
			}
		}
	}
	if ids != "43210" || !equal(unmerged, merged) {
		t.Errorf("order %s, wanted 43210; before merging the same: %v", ids, equal(unmerged, merged))
	}
	if list := must[[]fs.DirEntry](t)(m.ReadDir("r/cases")); len(list) > 0 {
		t.Errorf("parts are still there: %v", list)
	}
}

// A merge by another process at any moment of a shard's last step: the shard finishes, and nothing
// is lost.
func TestMergingWhileAShardTellsItsCases(t *testing.T) {
	for at := 1; ; at++ {
		m, whole := onMemory(t)
		must[string](t)(whole.Add(must[*Frame](t)((&saga{}).casesFrame(map[string]int{}))))
		n := 0
		shard := must[*Folder](t)(Open("r", &trial.Failing{Disk: m, Fail: func(int, string, string) error {
			if n++; n == at+1 { // the first is of Open
				return whole.Merge(nil)
			}
			return nil
		}}))
		more := must[*Frame](t)((&saga{}).casesFrame(map[string]int{caseName(0): historyReplicates}))
		if _, err := shard.Add(more); err != nil {
			t.Fatalf("a merge before operation %d: %v", at, err)
		}
		if n <= at { // no operation was left to come before
			if at < 5 {
				t.Errorf("only %d operations", n)
			}
			return
		}
		rows := must[*Frame](t)(must[*Folder](t)(Open("r", m)).Table("cases"))
		counted := map[any]any{}
		for r := range rows.Len() {
			counted[rows.Value(r, "case_id")] = rows.Value(r, "runs")
		}
		if rows.Len() != historyCases || counted[caseName(0)] != int64(historyReplicates) {
			t.Errorf("a merge before operation %d: %d cases, runs %v", at, rows.Len(), counted)
		}
	}
}

// The cases are put in place anew between a reader's look at the manifest and its look at them.
func TestReadingWhileTheCasesAreReplaced(t *testing.T) {
	m, writer := onMemory(t)
	if err := writer.Put(must[*Frame](t)((&saga{}).casesFrame(map[string]int{}))); err != nil {
		t.Fatal(err)
	}
	replaced := false
	reader := must[*Folder](t)(Open("r", &trial.Failing{Disk: m, Fail: func(_ int, op, path string) error {
		if op != "read" || path != "r/cases.parquet" || replaced {
			return nil
		}
		replaced = true
		return writer.Put(must[*Frame](t)((&saga{}).casesFrame(map[string]int{caseName(0): 1})))
	}}))
	if rows, err := reader.Table("cases"); err != nil || !replaced || rows.Value(0, "runs") != int64(1) {
		t.Errorf("replaced: %v, %v", replaced, err)
	}
}

// Two commands replace them at a time: for a moment the manifest is that of one and the file that
// of the other.
func TestReadingWhileTheManifestIsOfAnother(t *testing.T) {
	dir := t.TempDir()
	f := must[*Folder](t)(Create(filepath.Join(dir, "r"), []byte("title = \"a\"\n"), undrawn, session()))
	var manifests [2][]byte
	for n := range 2 {
		if err := f.Put(must[*Frame](t)((&saga{}).casesFrame(map[string]int{caseName(0): n}))); err != nil {
			t.Fatal(err)
		}
		manifests[n] = must[[]byte](t)(os.ReadFile(f.path(manifestName)))
	}
	if err := f.publish(manifestName, manifests[0]); err != nil {
		t.Fatal(err)
	}
	done := make(chan error)
	go func() {
		time.Sleep(3 * pause)
		done <- f.publish(manifestName, manifests[1])
	}()
	if _, err := f.Table("cases"); err != nil {
		t.Error(err)
	}
	if err := <-done; err != nil {
		t.Fatal(err)
	}
	old := time.Now().Add(-time.Minute)
	if err := errors.Join(f.publish(manifestName, manifests[0]),
		os.Chtimes(f.path("cases.parquet"), old, old)); err != nil {
		t.Fatal(err)
	}
	var c *Corrupt
	if _, err := f.Table("cases"); !errors.As(err, &c) {
		t.Errorf("a file that is not of the manifest, and not young: %v", err)
	}
}

// What merge takes away goes in such an order that no file of runs is ever there without those that
// it names.
func TestMergingTakesRunsAwayFirst(t *testing.T) {
	m, f := onMemory(t)
	for i := range 3 {
		batchOf(t, f, runKey{caseName(i), 1})
	}
	var gone []string
	d := &trial.Failing{Disk: m, Fail: func(_ int, op, path string) error {
		if op == "remove" {
			gone = append(gone, filepath.Base(filepath.Dir(path)))
		}
		return nil
	}}
	if err := must[*Folder](t)(Open("r", d)).Merge(nil); err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(gone, " "); got != "runs runs runs grains grains grains" {
		t.Errorf("taken away in the order %s", got)
	}
}

// Cases are ordered by what was varied; a value that an older version did not have comes first.
func TestCasesWithoutAValueComeFirst(t *testing.T) {
	f := NewFrame(schemaOf(col("case_id", column.Text, false), col("rate", column.Real, true),
		col("word", column.Text, true)))
	for _, row := range [][]any{{"c", 1.0, "b"}, {"a", nil, "b"}, {"d", 2.0, nil}, {"b", 1.0, nil}} {
		if err := f.Append(row...); err != nil {
			t.Fatal(err)
		}
	}
	ids := must[[]string](t)(f.byValues().Texts("case_id"))
	if got := strings.Join(ids, " "); got != "a b c d" {
		t.Errorf("order %s, wanted a b c d", got)
	}
}
