package table

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io/fs"
	"path"
	"slices"
	"strings"
	"time"

	"onegrain/studies/column"
)

const (
	ending   = ".parquet"
	hashLen  = 16     // hex digits of the SHA-256 in the name of a part
	receipts = "runs" // the table whose files name those of companions
	attempts = 5      // at reading a folder from which `merge` is just taking files away
)

// wholeCases is the file with the table of cases of a command that is no shard.
const wholeCases = "cases" + ending

// companions are the tables whose rows belong to a run.
func companions() []string { return []string{"grains", "boundaries", "history"} }

// all wants every part.
func all(*Frame) bool { return true }

// Table reads a table from all its files: the whole one and the parts in the order of their names.
// Each is proved against the hash in its name or in the manifest. Of a run that is in several parts
// the first counts, but never a failed one before one that was done, and of a case the one that
// counts most runs. A table nobody has written is an empty frame.
func (f *Folder) Table(name string) (*Frame, error) { return f.table(name, all) }

func (f *Folder) table(name string, wanted func(part *Frame) bool) (*Frame, error) {
	rows, err := f.gather(name, wanted)
	if err != nil || name != "cases" {
		return rows, err
	}
	if _, err := f.disk.Stat(f.path(wholeCases)); errors.Is(err, fs.ErrNotExist) {
		return rows.byValues(), nil // parts that shards have left come in no order
	}
	return rows, nil
}

// Done is the table of runs without those of which rows in another table are lost: what need not be
// run again.
func (f *Folder) Done() (*Frame, error) { return f.done(all) }

func (f *Folder) done(wanted func(part *Frame) bool) (*Frame, error) {
	files, err := f.files(companions()...)
	if err != nil {
		return nil, err
	}
	there := names{}.with(files)
	return f.gather(receipts, func(part *Frame) bool {
		return wanted(part) && len(there.lack(part.named())) == 0
	})
}

// names is a set of files.
type names map[string]bool

func (n names) with(more []string) names {
	for _, name := range more {
		n[name] = true
	}
	return n
}

// lack are those files that are not in the set.
func (n names) lack(files []string) []string {
	return slices.DeleteFunc(slices.Clone(files), func(name string) bool { return n[name] })
}

// named are the files that a part of runs names.
func (f *Frame) named() []string { return strings.Fields(f.meta[keyWith]) }

// gather reads a table from those of its files that are wanted.
func (f *Folder) gather(name string, wanted func(*Frame) bool) (rows *Frame, err error) {
	var part []int // of each row: which part it is from
	err = retried(func() error {
		n := 0
		rows, part = nil, nil
		return f.Each(name, nil, func(_ string, one *Frame) (err error) {
			if n++; !wanted(one) {
				return nil
			}
			part = append(part, slices.Repeat([]int{n}, one.Len())...)
			rows, err = joined(rows, one)
			return err
		})
	})
	if err != nil {
		return nil, err
	}
	if rows == nil {
		s, err := column.Of(name, nil)
		return NewFrame(s), err
	}
	return rows.unique(part), nil
}

// retried does something anew as long as another command takes files away meanwhile.
func retried(do func() error) (err error) {
	for range attempts {
		if err = do(); !errors.Is(err, fs.ErrNotExist) {
			break
		}
	}
	return err
}

// Each hands the rows of a table to visit, file by file, for tables that are too large to be read
// at once. Of the columns only those named are read, all where none is; a file that does not have
// one leaves it out. Every file is proved as in Table. What is in several files is handed over as
// often: the caller knows runs by case_id and replicate, and skips what an earlier file had. The
// error is that of visit, or of the reading; it is fs.ErrNotExist where `merge` took files away
// meanwhile, and then the reading is to be begun anew.
func (f *Folder) Each(name string, columns []string, visit func(file string, rows *Frame) error) error {
	if _, err := column.Of(name, nil); err != nil {
		return err
	}
	files, err := f.files(name)
	listed, more := f.listed()
	if err := cmp.Or(err, more); err != nil {
		return err
	}
	for _, file := range files {
		rows, _, err := f.file(file, &listed, columns...)
		if err == nil {
			err = visit(file, rows)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// files of tables, by their names in the folder: of each the whole one, then what `merge` has made,
// then parts.
func (f *Folder) files(tables ...string) (found []string, err error) {
	for _, table := range tables {
		_, err := f.disk.Stat(f.path(table + ending))
		if err == nil {
			found = append(found, table+ending)
		}
		parts, more := f.within(table, ending)
		if err := cmp.Or(unlessAbsent(err), more); err != nil {
			return nil, err
		}
		found = append(found, parts...)
	}
	return found, nil
}

// within are the files in a folder of the folder that end so, by their names, unless they are
// unfinished.
func (f *Folder) within(folder, end string) (found []string, err error) {
	list, err := f.disk.ReadDir(f.path(folder))
	for _, e := range list {
		if strings.HasSuffix(e.Name(), end) && !strings.HasPrefix(e.Name(), ".") {
			found = append(found, folder+"/"+e.Name())
		}
	}
	slices.Sort(found)
	return found, unlessAbsent(err)
}

// file reads one file, proves it, and tells its hash; of its columns only those named, where any
// are.
func (f *Folder) file(name string, listed *manifest, columns ...string) (*Frame, string, error) {
	data, hash, err := f.proved(name, listed)
	if err != nil {
		return nil, "", err
	}
	rows, err := decode(f.path(name), data, columns...)
	return rows, hash, err
}

// A command that puts a file in place of another writes the manifest next; meanwhile the manifest
// may be that of yet another command.
const (
	young    = 10 * time.Second // a file that was just put in place
	pause    = 50 * time.Millisecond
	patience = 20 // pauses until a young file is damaged too
)

// proved reads a file that is of the hash in its name, and of the manifest if one is given: of
// that, or of what it is by now.
func (f *Folder) proved(name string, listed *manifest) (data []byte, hash string, err error) {
	for tries := 0; ; tries++ {
		if data, err = f.disk.ReadFile(f.path(name)); err != nil {
			return nil, "", err
		}
		hash = sum(data)
		if want := promised(name); want != "" && hash[:hashLen] != want {
			return nil, "", &Corrupt{File: f.path(name),
				Why: "its SHA-256 begins with " + hash[:hashLen] + ", its name promises " + want}
		}
		if listed == nil {
			return data, hash, nil
		}
		l, ok := listed.proves(name, hash)
		if ok {
			return data, hash, nil
		}
		if tries > 0 && (tries > patience || !f.young(name)) {
			return nil, "", &Corrupt{File: f.path(name), Why: "its SHA-256 is " + hash + ", the manifest says " + l.SHA256}
		}
		if tries > 0 {
			time.Sleep(pause)
		}
		now, err := f.listed()
		if err != nil {
			return nil, "", err
		}
		listed = &now
	}
}

func (f *Folder) young(name string) bool {
	info, err := f.disk.Stat(f.path(name))
	return err == nil && time.Since(info.ModTime()).Abs() < young
}

// promised is the beginning of the hash that the name of a part promises, empty where it promises
// none.
func promised(name string) string {
	base := path.Base(name)
	for _, begin := range []string{"part-", "merged-"} {
		if hash, ok := strings.CutPrefix(strings.TrimSuffix(base, ending), begin); ok && len(hash) == hashLen {
			return hash
		}
	}
	return ""
}

// unique drops the rows of a run that another part has better: of the runs one that was done, of
// the cases the one that counts most runs; where they are equal the earlier part stays.
func (f *Frame) unique(part []int) *Frame {
	keys := f.keys()
	best := map[runKey]int{} // a row of the part that has it best
	for r, key := range keys {
		if b, ok := best[key]; !ok || slices.Compare(f.rank(r), f.rank(b)) > 0 {
			best[key] = r
		}
	}
	one := f.Schema.Table == receipts || f.Schema.Table == "cases" // row for each run or case
	var rows []int
	for r, n := range part {
		if b := best[keys[r]]; b == r || !one && part[b] == n {
			rows = append(rows, r)
		}
	}
	if len(rows) == f.Len() {
		return f
	}
	return f.Pick(rows)
}

// runKey names a run; a case is replicate 0.
type runKey struct {
	id        string
	replicate int64
}

func (f *Frame) key(r int) runKey {
	id, _ := f.Value(r, "case_id").(string)
	replicate, _ := f.Value(r, "replicate").(int64)
	return runKey{id, replicate}
}

func (f *Frame) keys() []runKey {
	keys := make([]runKey, f.rows)
	for r := range keys {
		keys[r] = f.key(r)
	}
	return keys
}

// rank orders the rows of one run or case, the best one last: of a run that it was done, of a case
// how many runs were, then whether it is finished, then how many of its columns are filled.
func (f *Frame) rank(r int) []int64 {
	switch f.Schema.Table {
	case "cases":
		n, _ := f.Value(r, "runs").(int64)
		by, filled := f.Value(r, "stopped_by"), 0
		for _, values := range f.data {
			filled += btoi(!values[r].IsNull())
		}
		return []int64{n, int64(btoi(by != "interrupted" && by != "failures")), int64(filled)}
	case receipts:
		return []int64{int64(btoi(f.Value(r, "status") != "failed"))}
	}
	return nil
}

func sum(data []byte) string {
	h := sha256.Sum256(data)
	return hex.EncodeToString(h[:])
}
