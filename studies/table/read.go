package table

import (
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

// companions are the tables whose rows belong to a run.
func companions() []string { return []string{"grains", "boundaries", "history"} }

// Table reads a table from all its files: the whole one and the parts in the order of their names. Each is proved against
// the hash in its name or in the manifest. Of a run told by several parts the first counts, but never a failed one before
// one that was done, and of a case the one that counts most runs. A table nobody has written is an empty
// frame.
func (f *Folder) Table(name string) (*Frame, error) {
	return f.table(name, func(*Frame) bool { return true })
}

func (f *Folder) table(name string, wanted func(part *Frame) bool) (*Frame, error) {
	all, err := f.gather(name, wanted)
	if err != nil || name != "cases" {
		return all, err
	}
	if _, err := f.disk.Stat(f.path(name + ending)); errors.Is(err, fs.ErrNotExist) {
		return all.byValues(), nil // parts that shards have left come in no order
	}
	return all, nil
}

// Done is the table of runs without those of which rows in another table are lost: what need not be run again.
func (f *Folder) Done() (*Frame, error) { return f.done(func(*Frame) bool { return true }) }

func (f *Folder) done(wanted func(part *Frame) bool) (*Frame, error) {
	there := map[string]bool{}
	for _, table := range companions() {
		files, err := f.files(table)
		if err != nil {
			return nil, err
		}
		for _, name := range files {
			there[name] = true
		}
	}
	return f.gather(receipts, func(part *Frame) bool { return wanted(part) && len(part.lost(there)) == 0 })
}

// lost are the files that a part of runs names and that are not there.
func (f *Frame) lost(there map[string]bool) (lost []string) {
	for _, name := range f.named() {
		if !there[name] {
			lost = append(lost, name)
		}
	}
	return lost
}

// named are the files that a part of runs names.
func (f *Frame) named() []string { return strings.Fields(f.meta[keyWith]) }

// gather reads a table from those of its files that are wanted.
func (f *Folder) gather(name string, wanted func(*Frame) bool) (all *Frame, err error) {
	for range attempts {
		if all, err = f.gatherOnce(name, wanted); !errors.Is(err, fs.ErrNotExist) {
			break
		}
	}
	return all, err
}

func (f *Folder) gatherOnce(name string, wanted func(*Frame) bool) (*Frame, error) {
	s, err := column.Of(name, nil)
	if err != nil {
		return nil, err
	}
	files, err := f.files(name)
	if err != nil {
		return nil, err
	}
	listed, err := f.listed()
	if err != nil {
		return nil, err
	}
	var all *Frame
	var part []int // of each row: which part told it
	for n, file := range files {
		one, _, err := f.file(file, &listed)
		if err != nil {
			return nil, err
		}
		if !wanted(one) {
			continue
		}
		if all == nil || all.Len() == 0 {
			all = one // an empty part may have the varied columns of an earlier study
		} else if one.Len() == 0 {
			continue
		} else if err := all.join(one); err != nil {
			return nil, err
		}
		for range one.Len() {
			part = append(part, n)
		}
	}
	if all == nil {
		return NewFrame(s), nil
	}
	return all.once(part), nil
}

// files of a table, by their names in the folder: the whole one, then what `merge` has made, then parts.
func (f *Folder) files(table string) ([]string, error) {
	var found []string
	_, err := f.disk.Stat(f.path(table + ending))
	switch {
	case err == nil:
		found = append(found, table+ending)
	case !errors.Is(err, fs.ErrNotExist):
		return nil, err
	}
	parts, err := f.within(table, ending)
	return append(found, parts...), err
}

// within are the files in a folder of the folder that end so, by their names, unless they are unfinished.
func (f *Folder) within(folder, end string) (found []string, err error) {
	list, err := f.disk.ReadDir(f.path(folder))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	for _, e := range list {
		if strings.HasSuffix(e.Name(), end) && !strings.HasPrefix(e.Name(), ".") {
			found = append(found, folder+"/"+e.Name())
		}
	}
	slices.Sort(found)
	return found, nil
}

// file reads one file, proves it, and tells its hash; of its columns only those named, where any are.
func (f *Folder) file(name string, listed *manifest, only ...string) (*Frame, string, error) {
	data, have, err := f.proved(name, listed)
	if err != nil {
		return nil, "", err
	}
	one, err := decode(f.path(name), data, only...)
	return one, have, err
}

// A command that puts a file in place of another writes the manifest next; meanwhile the manifest may be that of yet another command.
const (
	young    = 10 * time.Second // a file that was just put in place
	pause    = 50 * time.Millisecond
	patience = 20 // pauses until a young file is damaged too
)

// proved reads a file that is of the hash in its name, and of the manifest if one is given: of that, or of what it is by now.
func (f *Folder) proved(name string, listed *manifest) (data []byte, have string, err error) {
	for tries := 0; ; tries++ {
		if data, err = f.disk.ReadFile(f.path(name)); err != nil {
			return nil, "", err
		}
		have = sum(data)
		if want := promised(name); want != "" && have[:hashLen] != want {
			return nil, "", &Corrupt{File: f.path(name), Why: "its SHA-256 begins with " + have[:hashLen] + ", its name promises " + want}
		}
		if listed == nil {
			return data, have, nil
		}
		l, ok := listed.proves(name, have)
		if ok {
			return data, have, nil
		}
		if tries > 0 && (tries > patience || !f.young(name)) {
			return nil, "", &Corrupt{File: f.path(name), Why: "its SHA-256 is " + have + ", the manifest says " + l.SHA256}
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

// promised is the beginning of the hash that the name of a part promises, empty where it promises none.
func promised(name string) string {
	base := path.Base(name)
	for _, begin := range []string{"part-", "merged-"} {
		if hash, ok := strings.CutPrefix(strings.TrimSuffix(base, ending), begin); ok && len(hash) == hashLen {
			return hash
		}
	}
	return ""
}

// once drops the rows of a run that another part tells better: of the runs one that was done, of the cases the one that counts
// most runs; where they are equal the earlier part is kept.
func (f *Frame) once(part []int) *Frame {
	best := map[runKey]int{} // a row of the part that tells it best
	for r := range part {
		if b, ok := best[f.key(r)]; !ok || f.better(r, b) {
			best[f.key(r)] = r
		}
	}
	one := f.Schema.Table == "runs" || f.Schema.Table == "cases" // row for each run or case
	var keep []int
	for r, n := range part {
		if b := best[f.key(r)]; b == r || !one && part[b] == n {
			keep = append(keep, r)
		}
	}
	if len(keep) == f.Len() {
		return f
	}
	return f.Pick(keep)
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

// better tells whether a row tells more than another of the same run or case.
func (f *Frame) better(r, than int) bool { return slices.Compare(f.rank(r), f.rank(than)) > 0 }

// rank says how much a row tells: of a run that it was done, of a case how many runs were, then whether it is finished, then how many
// of its columns are filled.
func (f *Frame) rank(r int) []int64 {
	switch f.Schema.Table {
	case "cases":
		n, _ := f.Value(r, "runs").(int64)
		finished, filled := int64(1), int64(0)
		if by := f.Value(r, "stopped_by"); by == "interrupted" || by == "failures" {
			finished = 0
		}
		for i, c := range f.Schema.Columns {
			if f.data[i].value(c.Kind, r) != nil {
				filled++
			}
		}
		return []int64{n, finished, filled}
	case "runs":
		if f.Value(r, "status") != "failed" {
			return []int64{1}
		}
	}
	return nil
}

func sum(data []byte) string {
	h := sha256.Sum256(data)
	return hex.EncodeToString(h[:])
}
