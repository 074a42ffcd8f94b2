package run

import (
	"path/filepath"
	"reflect"
	"strings"
	"testing"
)

func TestRunnerOddsOnlyAndShards(t *testing.T) {
	s := load(t, small)
	dir := t.TempDir()
	f := folder(t, dir, s)
	var seen []int
	watch := func(sum Summary) { seen = append(seen, sum.Runs) }
	if got := run(t, &Runner{Study: s, Folder: f, Workers: 2, OddsOnly: true, Watch: watch}); got.Cases != 6 ||
		got.Runs != 6 {
		t.Errorf("%+v, wanted 6 cases and a run of each", got)
	}
	if !reflect.DeepEqual(seen, []int{1, 2, 3, 4, 5, 6}) {
		t.Errorf("watched at %v, wanted each run", seen)
	}
	for _, name := range []string{"runs", "grains", "boundaries", "history"} {
		if list, err := filepath.Glob(filepath.Join(dir, name, "*.parquet")); err != nil || len(list) != 1 {
			t.Errorf("%s: files %v (%v), wanted an empty one", name, list, err)
		}
	}
	whole := folder(t, t.TempDir(), s)
	run(t, &Runner{Study: s, Folder: whole, Workers: 2})
	parts := folder(t, t.TempDir(), s)
	for k := 1; k <= 4; k++ {
		run(t, &Runner{Study: s, Folder: parts, Workers: 2, Shard: k, Shards: 4})
	}
	for _, name := range []string{"runs", "cases"} {
		if !reflect.DeepEqual(rowsOf(t, parts, name), rowsOf(t, whole, name)) {
			t.Errorf("%s of four shards differ from those of one command", name)
		}
	}
	exact := rowsOf(t, f, "cases")
	for key, row := range rowsOf(t, whole, "cases") {
		if found := exact[key]; found == nil || !reflect.DeepEqual(found[8:10], row[8:10]) {
			t.Errorf("case %s: odds %v alone, %v beside the runs", key, found, row)
		}
	}
}

// TestRunnerScatter: seeds placed anew in each replicate have odds of their own; their mean is the
// case's, whatever an earlier command has left to do, and the same bits where the odds alone are
// asked for, before or without the runs.
func TestRunnerScatter(t *testing.T) {
	s := load(t, strings.Replace(strings.Replace(small, "size_mm = [2, 2]", "size_mm = [2, 2]\nturn_sd_deg = 20", 1),
		"replicates = 12", "replicates = 17", 1))
	f := folder(t, t.TempDir(), s)
	run(t, &Runner{Study: s, Folder: f, Workers: 2})
	want := rowsOf(t, f, "cases")
	run(t, &Runner{Study: s, Folder: f, Workers: 2})
	if got := rowsOf(t, f, "cases"); !reflect.DeepEqual(got, want) {
		t.Errorf("odds worked out again differ:\n%v\n%v", got, want)
	}
	alone := folder(t, t.TempDir(), s)
	if got := run(t, &Runner{Study: s, Folder: alone, Workers: 3, OddsOnly: true}); got.Runs != 6*17 || got.Cases != 6 {
		t.Errorf("%+v, wanted 17 placings of 6 cases", got)
	}
	odds := rowsOf(t, alone, "cases")
	for key, row := range want {
		if got := odds[key]; row[17] != int64(17) || !reflect.DeepEqual(got[8:10], row[8:10]) ||
			!reflect.DeepEqual(got[17:], row[17:]) {
			t.Errorf("the odds alone of case %s differ:\n%v\n%v", key, got, row)
		}
	}
	run(t, &Runner{Study: s, Folder: alone, Workers: 2})
	if got := rowsOf(t, alone, "cases"); !reflect.DeepEqual(got, want) {
		t.Errorf("runs after the odds alone differ:\n%v\n%v", got, want)
	}
}
