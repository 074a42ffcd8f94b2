package table

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"syscall"

	"onegrain/studies/column"
	"onegrain/studies/disk"
)

// Folder is the results folder of one study. Add, Fail, Put, AddVolume, Table and Merge are safe
// while other processes write to the same folder.
type Folder struct {
	dir     string
	disk    disk.Disk
	meta    map[string]string // of every file written
	session Provenance
	version Version // that this session writes; none where the folder was opened to read or to merge

	mu      sync.Mutex
	unnamed []string  // parts of companions that were added since the last part of runs
	added   []listing // parts that were added by this session

	manifestLock sync.Mutex // held while the manifest is changed
	failuresLock sync.Mutex
	failuresSize int64 // of failures.jsonl as this session has left it
}

// Create opens the results folder of a study for writing and makes it where it does not exist: it
// is taken for this version of the study (see Version), then study.toml is there as given, and the
// session in provenance.json. A folder that holds something else is refused; one that is another's
// is Taken. draws says how a study draws its random numbers, empty for not known. `on` is the disk
// it lies on, the machine's own if none is given.
func Create(dir string, study []byte, draws func(study []byte) string, p Provenance, on ...disk.Disk) (*Folder, error) {
	p.StudySHA256, p.GoVersion, p.Platform = sum(study), runtime.Version(), runtime.GOOS+"/"+runtime.GOARCH
	f := &Folder{dir: dir, disk: chosen(on), session: p, meta: map[string]string{
		keyVersion: p.Version, keyModel: p.ModelVersion, keyStudy: p.StudySHA256, "onegrain.go_version": p.GoVersion,
	}}
	v := Version{Study: string(study), Model: p.ModelVersion, Draws: draws(study)}
	if v.Draws != "" {
		f.meta[keyDraws] = v.Draws
	}
	err := disk.InOrder(f.fresh, func() error { return disk.MkdirAll(f.disk, dir) },
		func() error { return f.take(v, draws) },
		f.writeSession, // before the study, so that a session tells of whatever study is found
		func() error {
			if old, err := f.Study(); err == nil && bytes.Equal(old, study) || unlessAbsent(err) != nil {
				return err
			}
			return f.publish(studyName, study)
		})
	if err != nil {
		return nil, err
	}
	return f, nil
}

func chosen(on []disk.Disk) disk.Disk {
	if len(on) > 0 && on[0] != nil {
		return on[0]
	}
	return disk.Real()
}

// fresh refuses a folder that has files of others in it but no study.
func (f *Folder) fresh() error {
	list, err := f.disk.ReadDir(f.dir)
	others := false
	for _, e := range list {
		name := e.Name()
		if name == studyName {
			return nil
		}
		// what a killed command may leave at its start
		others = others || !disk.Unfinished(name) && !isProvenance(name) && name != versionsName
	}
	if others {
		return fmt.Errorf("%s: there are files in it, but no %s, so it is no results folder: choose another with --out",
			f.dir, studyName)
	}
	return unlessAbsent(err)
}

// Open opens a results folder for reading. The error says where there is none.
func Open(dir string, on ...disk.Disk) (*Folder, error) {
	f := &Folder{dir: dir, disk: chosen(on), meta: map[string]string{}}
	_, err := f.disk.Stat(f.path(studyName))
	if errors.Is(err, fs.ErrNotExist) || errors.Is(err, syscall.ENOTDIR) {
		return nil, absent(dir)
	}
	return f, err
}

// absent is a folder without results.
type absent string

func (a absent) Error() string {
	return fmt.Sprintf("%s: no results here (no %s in it): give the folder that `onegrain run` has written",
		string(a), studyName)
}

func (a absent) Unwrap() error { return fs.ErrNotExist }

// path of a file that is named as in the manifest.
func (f *Folder) path(name string) string { return filepath.Join(f.dir, filepath.FromSlash(name)) }

func (f *Folder) publish(name string, data []byte) error {
	return disk.Put(f.disk, f.dir, name, disk.Bytes(data))
}

// Study is the study as it was given.
func (f *Folder) Study() ([]byte, error) { return f.disk.ReadFile(f.path(studyName)) }

// Add publishes rows as one more part of their table; its result is the name of the file in the
// folder. All rows of a run must be in one part, and all parts of the same runs are added one after
// the other, that of runs last: it is the receipt, which names the others and makes the runs count
// as done. An empty frame adds nothing.
func (f *Folder) Add(rows *Frame) (string, error) {
	if rows.Len() == 0 {
		return "", nil
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	meta := maps.Clone(f.meta)
	if rows.Schema.Table == receipts {
		meta[keyWith] = strings.Join(f.unnamed, " ")
	}
	name, err := f.part(rows, meta)
	if err == nil {
		err = f.stillHeld(name)
	}
	switch {
	case err != nil:
		return name, err
	case rows.Schema.Table == receipts:
		f.unnamed = nil
	case slices.Contains(companions(), rows.Schema.Table) && !slices.Contains(f.unnamed, name):
		f.unnamed = append(f.unnamed, name)
	}
	return name, nil
}

// stillHeld looks after a part is in place whether the folder has become another's meanwhile:
// either this sees it, or who takes the folder sees the part and moves it. Under the lock.
func (f *Folder) stillHeld(name string) error {
	err := f.held()
	var taken *Taken
	if errors.As(err, &taken) {
		for _, late := range append([]string{name}, f.unnamed...) {
			if err := unlessAbsent(f.disk.Remove(f.path(late))); err != nil {
				return err
			}
		}
	}
	return err
}

// Complete gives a table without a single file an empty one, so that a reader of all its parts
// finds the columns. It is for the end of a study: what is added later stands beside it.
func (f *Folder) Complete(s column.Schema) error {
	there, err := f.files(s.Table)
	if err != nil || len(there) > 0 {
		return err
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	_, err = f.part(NewFrame(s), f.meta)
	return err
}

// part publishes rows under the hash of their file; under the lock.
func (f *Folder) part(rows *Frame, meta map[string]string) (string, error) {
	name, data, err := partOf("part-", rows, meta)
	if err == nil {
		err = f.publish(name, data)
	}
	if err == nil {
		f.added = append(f.added, listing{File: name, Rows: rows.Len(), SHA256: sum(data)})
	}
	return name, err
}

// partOf is a file of rows and its name in the folder.
func partOf(begin string, rows *Frame, meta map[string]string) (name string, data []byte, err error) {
	data, err = encode(rows, meta)
	if err != nil {
		return "", nil, err
	}
	return rows.Schema.Table + "/" + begin + sum(data)[:hashLen] + ending, data, nil
}

// Put publishes a whole table as one file beside study.toml, in place of the one that was there.
func (f *Folder) Put(rows *Frame) error {
	return disk.InOrder(f.held, func() error { return f.put(rows, f.meta) })
}

func (f *Folder) put(rows *Frame, meta map[string]string) error {
	data, err := encode(rows, meta)
	if err != nil {
		return err
	}
	name := rows.Schema.Table + ending
	l := listing{File: name, Rows: rows.Len(), SHA256: sum(data), Coming: true}
	return disk.InOrder(
		func() error { return f.list(l) }, // so that after a kill at any moment the manifest proves the file that is there
		func() error { return f.publish(name, data) },
		func() error {
			l.Coming = false
			return f.list(l)
		})
}

// AddVolume publishes a file in the folder "fields", whole or not at all.
func (f *Folder) AddVolume(name string, write func(io.Writer) error) error {
	name = fieldsName + "/" + name
	return disk.InOrder(f.held, func() error { return f.unlist(name) },
		func() error { return disk.Put(f.disk, f.dir, name, write) })
}
