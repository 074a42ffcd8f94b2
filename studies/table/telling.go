package table

import (
	"cmp"
	"crypto/sha256"
	"fmt"
	"path"
	"slices"

	"onegrain/studies/column"
)

// telling keeps which file tells of which run, in one table that has rows of runs.
type telling struct {
	f     *Folder
	table string
	files []string                   // as they were read
	named map[string][]string        // of each file of runs: the files it names
	runs  map[string]map[runKey]bool // of each file: the runs it tells of
	best  map[runKey]tale

	dropped int       // runs that are told again by a later file
	differ  []Corrupt // runs that two files tell differently
}

// tale is what a file tells of a run.
type tale struct {
	file   string
	digest [sha256.Size]byte // of the rows, without wall_s
	done   bool              // false for a run that failed
}

func newTelling(f *Folder, table string) *telling {
	return &telling{f: f, table: table, named: map[string][]string{}, runs: map[string]map[runKey]bool{}, best: map[runKey]tale{}}
}

// read takes in a file. The first one that tells of a run is kept, but never a failed run before one that was done.
func (t *telling) read(file string, rows *Frame) error {
	t.files = append(t.files, file)
	t.named[file] = rows.named()
	t.runs[file] = map[runKey]bool{}
	for key, now := range rows.tales(file) {
		t.runs[file][key] = true
		old, known := t.best[key]
		switch {
		case !known:
			t.best[key] = now
			continue
		case now.done && !old.done:
			t.best[key] = now
		case now.done == old.done && now.digest != old.digest:
			if err := t.compare(key, old.file, file, rows); err != nil {
				return err
			}
		}
		t.dropped++
	}
	return nil
}

// tales is what a file tells of each run.
func (f *Frame) tales(file string) map[runKey]tale {
	columns := f.counted()
	all := map[runKey]tale{}
	failed := f.Schema.Index("status")
	for r := range f.rows {
		key := f.key(r)
		now := all[key]
		now.file, now.done = file, failed < 0 || f.Schema.Table != receipts || f.data[failed].value(column.Text, r) != "failed"
		now.digest = sha256.Sum256(append(now.digest[:], f.line(r, columns)...))
		all[key] = now
	}
	return all
}

// compare looks closely at a run that two files seem to tell differently: one may have columns that the other's version did not.
func (t *telling) compare(key runKey, first, second string, rows *Frame) error {
	old, _, err := t.f.file(first, nil)
	if err != nil {
		return err
	}
	a, b := old.of(key), rows.of(key)
	same := a.Len() == b.Len()
	for _, i := range a.counted() {
		name := a.Schema.Columns[i].Name
		for r := 0; same && r < a.Len() && b.Schema.Index(name) >= 0; r++ {
			same = a.Value(r, name) == b.Value(r, name)
		}
	}
	for _, i := range b.counted() { // what only the second knows
		same = same && (a.Schema.Index(b.Schema.Columns[i].Name) < 0 || slices.ContainsFunc(a.counted(), func(k int) bool { return a.Schema.Columns[k].Name == b.Schema.Columns[i].Name }))
	}
	if !same {
		t.differ = append(t.differ, Corrupt{t.f.path(second),
			fmt.Sprintf("it tells replicate %d of case %s otherwise than %s does", key.replicate, key.id, t.f.path(first)),
			"if random.seed or random.pairing of the study was changed in between, give each its own folder; else move both files away and run the study again"})
	}
	return nil
}

// of are the rows of one run.
func (f *Frame) of(key runKey) *Frame {
	var rows []int
	for r := range f.rows {
		if f.key(r) == key {
			rows = append(rows, r)
		}
	}
	return f.Pick(rows)
}

// pick are the rows of a file that are kept.
func (t *telling) pick(file string, rows *Frame) *Frame {
	var keep []int
	for r := range rows.rows {
		if t.best[rows.key(r)].file == file {
			keep = append(keep, r)
		}
	}
	return rows.Pick(keep)
}

// byRun orders rows by case and replicate; those of one run stay as they are.
func (f *Frame) byRun() *Frame {
	order := make([]int, f.rows)
	keys := make([]runKey, f.rows)
	for r := range order {
		order[r], keys[r] = r, f.key(r)
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(keys[a].id, keys[b].id), cmp.Compare(keys[a].replicate, keys[b].replicate))
	})
	return f.Pick(order)
}

// isMerged tells whether `merge` has made a file.
func isMerged(name string) bool { return len(path.Base(name)) > 7 && path.Base(name)[:7] == "merged-" }
