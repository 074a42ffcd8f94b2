package table

import (
	"errors"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"
	"time"

	"onegrain/studies/column"
	"onegrain/studies/disk"
)

const (
	mergedRows = 5 * groupRows // in one file that merge makes, but for the rows of one part
	stale      = time.Hour     // unfinished files that are older belong to nobody
)

// merger makes few files of many.
type merger struct {
	f       *Folder
	tell    func(table string, before, after, rows int)
	most    int // rows of a file
	version Version
	tellers map[string]*telling
	old     []string // files to be taken away, in that order
	made    []string // files of companions that the new files of runs name
}

// Merge makes few files of many parts: of each table files of some 500,000 rows, ordered by case and replicate, in row groups of
// 100,000; of the cases one. What is told twice is told once. tell is called for each table that had more than one file.
//
// Everything is read and proved first: damage, or runs that two files tell differently, are an error (Corrupt) and nothing is changed.
// Then the new files are published, those of runs last, then the manifest, and only then are the old files taken away. So it may be
// stopped at any moment and done again, and other processes may add parts meanwhile. Parts that no file of runs names are left
// alone, unless all they tell is told elsewhere: their command may be about to publish its receipt.
func (f *Folder) Merge(tell func(table string, before, after, rows int)) (err error) {
	for range attempts {
		m := &merger{f: f, tell: tell, most: mergedRows, tellers: map[string]*telling{}}
		if err = m.merge(); !errors.Is(err, fs.ErrNotExist) {
			break // else another merge takes files away
		}
	}
	return err
}

func (m *merger) merge() (err error) {
	if m.version, err = m.f.Version(); err != nil {
		return err
	}
	for _, table := range append([]string{receipts}, companions()...) {
		if err := m.read(table); err != nil {
			return err
		}
	}
	for _, table := range companions() {
		names, err := m.write(table, nil)
		if err != nil {
			return err
		}
		m.made = append(m.made, names...)
	}
	slices.Sort(m.made)
	if _, err := m.write(receipts, map[string]string{keyWith: strings.Join(m.made, " ")}); err != nil {
		return err
	}
	if err := m.cases(); err != nil {
		return err
	}
	return m.f.retire(m.old)
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

// read proves all files of a table and notes who tells what.
func (m *merger) read(table string) error {
	t := newTelling(m.f, table)
	m.tellers[table] = t
	listed, err := m.f.listed()
	if err != nil {
		return err
	}
	files, err := m.f.files(table)
	if err != nil {
		return err
	}
	for _, name := range files {
		rows, _, err := m.f.file(name, &listed)
		if err != nil {
			return err
		}
		if m.version.mixes(Version{Draws: rows.meta[keyDraws]}) {
			continue // to be moved by the next run
		}
		if err := t.read(name, rows); err != nil {
			return err
		}
	}
	if len(t.differ) > 0 {
		return &t.differ[0]
	}
	return nil
}

// spare tells whether a file is to be left alone, as may be that of a command still at work.
func (m *merger) spare(table, name string) bool {
	if table == receipts || len(m.tellers[table].runs[name]) == 0 {
		return false
	}
	named := map[string]bool{}
	for _, names := range m.tellers[receipts].named {
		for _, n := range names {
			named[n] = true
		}
	}
	if named[name] {
		return false
	}
	for key := range m.tellers[table].runs[name] {
		elsewhere := false
		for other, runs := range m.tellers[table].runs {
			elsewhere = elsewhere || named[other] && runs[key]
		}
		if !elsewhere {
			return true
		}
	}
	return false
}

// write publishes the merged files of a table and tells their names.
func (m *merger) write(table string, meta map[string]string) (names []string, err error) {
	t := m.tellers[table]
	var files []string
	for _, name := range t.files {
		if !m.spare(table, name) {
			files = append(files, name)
		}
	}
	b := batcher{m: m, table: table, meta: map[string]string{}}
	maps.Copy(b.meta, meta)
	for _, name := range files {
		rows, _, err := m.f.file(name, nil)
		if err != nil {
			return nil, err
		}
		if kept := t.pick(name, rows); m.whole(table, name, rows, kept) {
			b.names = append(b.names, name)
		} else if err := b.add(kept); err != nil {
			return nil, err
		}
	}
	if err := b.flush(len(files) > 0 && len(b.names) == 0); err != nil {
		return nil, err
	}
	for _, name := range files {
		if !slices.Contains(b.names, name) {
			m.old = append(m.old, name)
		}
	}
	if len(files) > 1 && m.tell != nil {
		m.tell(table, len(files), len(b.names), b.rows)
	}
	return b.names, nil
}

// whole tells whether a file is large enough to stay as it is. Files of runs never do: they name others, which change.
func (m *merger) whole(table, name string, rows, kept *Frame) bool {
	return table != receipts && isMerged(name) && kept.Len() == rows.Len() && rows.Len() >= m.most/2
}

// retire takes old files out of the manifest and then away, those of runs first: a part of runs must never be there without those
// that it names.
func (f *Folder) retire(old []string) error {
	slices.SortStableFunc(old, func(a, b string) int { return btoi(path.Dir(b) == receipts) - btoi(path.Dir(a) == receipts) })
	if err := f.list(old); err != nil {
		return err
	}
	for i, name := range old {
		if err := f.disk.Remove(f.path(name)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		if folder := path.Dir(name); i+1 == len(old) || path.Dir(old[i+1]) != folder {
			if err := f.disk.SyncFolder(f.path(folder)); err != nil {
				return err
			}
		}
	}
	return f.tidy() // folders stay, even empty ones: another process may be about to write into them
}

// tidy takes away what killed commands have left unfinished. Its age is told by the clock that dated the manifest, that of the disk.
func (f *Folder) tidy() error {
	now, err := f.disk.Stat(f.path(manifestName))
	if err != nil {
		return err
	}
	for _, folder := range append(column.Tables(), fieldsName, ".") {
		list, err := f.disk.ReadDir(f.path(folder))
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		for _, e := range list {
			if info, err := e.Info(); err == nil && disk.Unfinished(e.Name()) && now.ModTime().Sub(info.ModTime()) > stale {
				_ = f.disk.Remove(f.path(path.Join(folder, e.Name()))) // that it stays harms nobody
			}
		}
	}
	return nil
}
