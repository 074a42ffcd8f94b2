package table

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
)

// Folder is the results folder of one study. Add, Fail and Table are safe while other processes write to the same folder.
type Folder struct {
	dir  string
	meta map[string]string // of every file written
	told Provenance        // of this session
}

const (
	ending  = ".parquet"
	hashLen = 16 // hex digits of the SHA-256 in the name of a part
)

// Create opens the results folder of a study for writing and makes it where it does not exist: study.toml as given, and
// the session in provenance.json. A folder that holds something else is refused.
func Create(dir string, study []byte, p Provenance) (*Folder, error) {
	if err := fresh(dir); err != nil {
		return nil, err
	}
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return nil, err
	}
	p.StudySHA256, p.GoVersion, p.Platform = sum(study), runtime.Version(), runtime.GOOS+"/"+runtime.GOARCH
	f := &Folder{dir: dir, told: p, meta: map[string]string{
		"onegrain.version": p.Version, "onegrain.model_version": p.ModelVersion, "onegrain.study_sha256": p.StudySHA256,
		"onegrain.go_version": p.GoVersion,
	}}
	path := filepath.Join(dir, studyName)
	if old, err := os.ReadFile(path); err != nil || !bytes.Equal(old, study) {
		if err := publish(path, study); err != nil {
			return nil, err
		}
	}
	return f, f.tell()
}

// fresh refuses a folder that has files in it but no study.
func fresh(dir string) error {
	list, err := os.ReadDir(dir)
	if errors.Is(err, fs.ErrNotExist) || err == nil && len(list) == 0 {
		return nil
	}
	if err != nil {
		return err
	}
	if _, err := os.Stat(filepath.Join(dir, studyName)); err != nil {
		return fmt.Errorf("%s: there are files in it, but no %s, so it is no results folder: choose another with --out", dir, studyName)
	}
	return nil
}

// Open opens a results folder for reading. The error says where there is none.
func Open(dir string) (*Folder, error) {
	if _, err := os.Stat(filepath.Join(dir, studyName)); err != nil {
		if errors.Is(err, fs.ErrNotExist) || errors.Is(err, syscall.ENOTDIR) {
			return nil, absent(dir)
		}
		return nil, err
	}
	return &Folder{dir: dir}, nil
}

// absent is a folder without results.
type absent string

func (a absent) Error() string {
	return fmt.Sprintf("%s: no results here (no %s in it): give the folder that `onegrain run` has written", string(a), studyName)
}

func (a absent) Unwrap() error { return fs.ErrNotExist }

// Study is the study as it was given.
func (f *Folder) Study() ([]byte, error) { return os.ReadFile(filepath.Join(f.dir, studyName)) }

// Add publishes rows as one more part of their table, and tells the name of the file in the folder. All rows of a run must
// be in one part. Add the runs table last: a run counts as done once its row is there. An empty frame adds nothing.
func (f *Folder) Add(rows *Frame) (string, error) {
	if rows.Len() == 0 {
		return "", nil
	}
	return f.part(rows)
}

// Complete gives a table without a single file an empty one, so that a reader of all its parts finds the columns. It is for
// the end of a study: what is added later stands beside it.
func (f *Folder) Complete(s Schema) error {
	there, err := f.files(s.Table)
	if err != nil || len(there) > 0 {
		return err
	}
	_, err = f.part(s.Frame())
	return err
}

// part publishes rows under the hash of their file.
func (f *Folder) part(rows *Frame) (string, error) {
	data, err := encode(rows, f.meta)
	if err != nil {
		return "", err
	}
	sub := filepath.Join(f.dir, rows.Schema.Table)
	if err := os.Mkdir(sub, 0o777); err == nil {
		if err := syncFolder(f.dir); err != nil {
			return "", err
		}
	} else if !errors.Is(err, fs.ErrExist) {
		return "", err
	}
	name := rows.Schema.Table + "/part-" + sum(data)[:hashLen] + ending
	return name, publish(filepath.Join(f.dir, filepath.FromSlash(name)), data)
}

// Put publishes a whole table as one file beside study.toml, in place of the one that was there.
func (f *Folder) Put(rows *Frame) error {
	data, err := encode(rows, f.meta)
	if err != nil {
		return err
	}
	name := rows.Schema.Table + ending
	if err := f.unlist(name); err != nil {
		return err
	}
	return publish(filepath.Join(f.dir, name), data)
}

// Table reads a table from all its files: the whole one and the parts in the order of their names. Each is proved against
// the hash in its name or in the manifest. Of a run told by several parts the first counts, but never a failed one before
// one that was done, and of a case the one that counts most runs. A table nobody has written is an empty
// frame.
func (f *Folder) Table(name string) (*Frame, error) {
	s, err := Of(name, nil)
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
		return s.Frame(), nil
	}
	return all.once(part), nil
}

// files of a table, by their names in the folder.
func (f *Folder) files(table string) ([]string, error) {
	var found []string
	if _, err := os.Stat(filepath.Join(f.dir, table+ending)); err == nil {
		found = append(found, table+ending)
	}
	list, err := os.ReadDir(filepath.Join(f.dir, table))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	for _, e := range list {
		if strings.HasSuffix(e.Name(), ending) {
			found = append(found, table+"/"+e.Name())
		}
	}
	return found, nil
}

// file reads one file, proves it, and tells its hash.
func (f *Folder) file(name string, listed *manifest) (*Frame, string, error) {
	path := filepath.Join(f.dir, filepath.FromSlash(name))
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, "", err
	}
	have := sum(data)
	if want, ok := strings.CutPrefix(filepath.Base(path), "part-"); ok {
		if want = strings.TrimSuffix(want, ending); len(want) == hashLen && have[:hashLen] != want {
			return nil, "", &Corrupt{path, "its SHA-256 begins with " + have[:hashLen] + ", its name promises " + want}
		}
	}
	if listed != nil {
		if want, ok := listed.hash(name); ok && want != have {
			return nil, "", &Corrupt{path, "its SHA-256 is " + have + ", the manifest says " + want}
		}
	}
	one, err := decode(path, data)
	return one, have, err
}

// once drops the rows of a run that another part tells better: of the runs one that was done, of the cases the one that counts
// most runs; where they are equal the earlier part is kept.
func (f *Frame) once(part []int) *Frame {
	type run struct{ id, replicate any }
	key := func(r int) run { return run{f.Value(r, "case_id"), f.Value(r, "replicate")} }
	best := map[run]int{} // a row of the part that tells it best
	for r := range part {
		if b, ok := best[key(r)]; !ok || f.rank(r) > f.rank(b) {
			best[key(r)] = r
		}
	}
	one := f.Schema.Table == "runs" || f.Schema.Table == "cases" // row for each run or case
	var keep []int
	for r, n := range part {
		if b := best[key(r)]; b == r || !one && part[b] == n {
			keep = append(keep, r)
		}
	}
	if len(keep) == f.Len() {
		return f
	}
	return f.Pick(keep)
}

// rank says how much a row tells beside others of the same run or case.
func (f *Frame) rank(r int) int64 {
	switch f.Schema.Table {
	case "cases":
		n, _ := f.Value(r, "runs").(int64)
		return n
	case "runs":
		if f.Value(r, "status") != "failed" {
			return 1
		}
	}
	return 0
}

func sum(data []byte) string {
	h := sha256.Sum256(data)
	return hex.EncodeToString(h[:])
}
