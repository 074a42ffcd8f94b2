package table

import (
	"cmp"
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
	report  func(table string, before, after, rows int)
	most    int // rows of a file
	version Version
	claims  map[string]*claims // of each table with runs
	old     []string           // files to be taken away, in that order
}

// Merge makes few files of many parts: of each table files of some 500,000 rows, ordered by case
// and replicate, in row groups of 100,000; of the cases one. What is there twice is there once
// then. report is called for each table that had more than one file.
//
// Everything is read and proved first: damage, or runs that are otherwise in another file, are an
// error (Corrupt) and nothing is changed. Then the new files are published, those of runs last,
// then the manifest, and only then are the old files taken away. So it may be stopped at any moment
// and done again, and other processes may add parts meanwhile. Parts that no file of runs names are
// left alone, unless all they have is elsewhere: their command may be about to publish its receipt.
func (f *Folder) Merge(report func(table string, before, after, rows int)) (err error) {
	return retried(func() error { return (&merger{f: f, report: report, most: mergedRows}).merge() })
}

func (m *merger) merge() (err error) {
	if m.version, err = m.f.Version(); err != nil {
		return err
	}
	m.claims = map[string]*claims{}
	for _, table := range append([]string{receipts}, companions()...) {
		if err := m.read(table); err != nil {
			return err
		}
	}
	meta := map[string]string{}
	var made []string // files of companions, which the new files of runs name
	for _, table := range append(companions(), receipts) {
		if table == receipts {
			slices.Sort(made)
			meta[keyWith] = strings.Join(made, " ")
		}
		names, err := m.write(table, maps.Clone(meta))
		if err != nil {
			return err
		}
		made = append(made, names...)
	}
	return disk.InOrder(m.cases, func() error { return m.f.retire(m.old) })
}

// read proves all files of a table and notes which has which run.
func (m *merger) read(table string) error {
	c := newClaims(m.f)
	m.claims[table] = c
	err := m.f.Each(table, nil, func(name string, rows *Frame) error {
		if m.version.mixes(rows.meta[keyDraws]) {
			return nil // to be moved by the next run
		}
		return c.read(name, rows)
	})
	if err == nil && len(c.differ) > 0 {
		err = &c.differ[0]
	}
	return err
}

// spare says whether a file is to be left alone, as may be that of a command still at work.
func (m *merger) spare(table, name string) bool {
	c := m.claims[table]
	if table == receipts || len(c.runs[name]) == 0 {
		return false
	}
	named := slices.Concat(slices.Collect(maps.Values(m.claims[receipts].named))...)
	if slices.Contains(named, name) {
		return false
	}
	rest := maps.Clone(c.runs[name])
	for _, other := range named {
		maps.DeleteFunc(rest, func(key runKey, _ bool) bool { return c.runs[other][key] })
	}
	return len(rest) > 0
}

// write publishes the merged files of a table, whose names it returns: rows come together until a
// file is full.
func (m *merger) write(table string, meta map[string]string) (made []string, err error) {
	c := m.claims[table]
	files := slices.DeleteFunc(slices.Clone(c.files), func(name string) bool { return m.spare(table, name) })
	var batch *Frame
	flush := func() error {
		name, data, err := partOf("merged-", batch.byRun(), meta)
		made, batch = append(made, name), nil
		if err != nil || slices.Contains(c.files, name) {
			return err // made by an earlier merge
		}
		return m.f.publish(name, data)
	}
	total := 0
	for _, name := range files {
		rows, _, err := m.f.file(name, nil)
		if err != nil {
			return nil, err
		}
		counting := c.pick(name, rows)
		if m.whole(table, name, rows, counting) {
			made = append(made, name)
			continue
		}
		total += counting.Len()
		collect(meta, rows.meta)
		if batch, err = joined(batch, counting); err == nil && batch.Len() >= m.most {
			err = flush()
		}
		if err != nil {
			return nil, err
		}
	}
	if batch != nil && (batch.Len() > 0 || len(made) == 0) { // an empty file only where there is no other
		if err := flush(); err != nil {
			return nil, err
		}
	}
	m.old = append(m.old, names{}.with(made).lack(files)...)
	if len(files) > 1 && m.report != nil {
		m.report(table, len(files), len(made), total)
	}
	return made, nil
}

// whole says whether a file is large enough to stay as it is. Files of runs never do: they name
// others, which change.
func (m *merger) whole(table, name string, rows, counting *Frame) bool {
	return table != receipts && isMerged(name) && counting.Len() == rows.Len() && rows.Len() >= m.most/2
}

// isMerged says whether `merge` has made a file.
func isMerged(name string) bool { return strings.HasPrefix(path.Base(name), "merged-") }

// collect gathers what files say of themselves, each word once.
func collect(into, meta map[string]string) {
	for k, v := range meta {
		if k == keyWith {
			continue
		}
		words := strings.Split(v, ", ")
		if into[k] != "" {
			words = append(words, strings.Split(into[k], ", ")...)
			slices.Sort(words)
		}
		into[k] = strings.Join(slices.Compact(words), ", ")
	}
}

// cases makes one table of the parts that shards have left, in the order of the varied values.
func (m *merger) cases() error {
	parts, err := m.f.within("cases", ending)
	if err != nil || len(parts) == 0 {
		return err
	}
	all, err := m.f.Table("cases")
	meta := map[string]string{}
	for _, name := range parts {
		one, _, more := m.f.file(name, nil)
		if err := cmp.Or(err, more); err != nil {
			return err
		}
		collect(meta, one.meta)
	}
	if err := m.f.put(all.byValues(), meta); err != nil {
		return err
	}
	m.old = append(m.old, parts...)
	if m.report != nil {
		m.report("cases", len(parts), 1, all.Len())
	}
	return nil
}

// retire takes old files out of the manifest and then away, those of runs first: a part of runs
// must never be there without those that it names.
func (f *Folder) retire(old []string) error {
	slices.SortStableFunc(old, func(a, b string) int {
		return btoi(path.Dir(b) == receipts) - btoi(path.Dir(a) == receipts)
	})
	if err := f.listAll(old); err != nil {
		return err
	}
	for i, name := range old {
		err := unlessAbsent(f.disk.Remove(f.path(name)))
		if folder := path.Dir(name); err == nil && (i+1 == len(old) || path.Dir(old[i+1]) != folder) {
			err = f.disk.SyncFolder(f.path(folder))
		}
		if err != nil {
			return err
		}
	}
	// folders stay, even empty ones: another process may be about to write into them
	now, err := f.disk.Stat(f.path(manifestName))
	if err != nil {
		return err
	}
	left, err := f.leftovers()
	for name, info := range left { // the age is told by the clock that dated the manifest, that of the disk
		if now.ModTime().Sub(info.ModTime()) > stale {
			_ = f.disk.Remove(f.path(name)) // that it stays harms nobody
		}
	}
	return err
}

// leftovers are the unfinished files in the folder: of commands at work, or of some that were
// killed.
func (f *Folder) leftovers() (map[string]fs.FileInfo, error) {
	left := map[string]fs.FileInfo{}
	for _, folder := range append(column.Tables(), fieldsName, ".") {
		list, err := f.disk.ReadDir(f.path(folder))
		if unlessAbsent(err) != nil {
			return nil, err
		}
		for _, e := range list {
			if info, err := e.Info(); err == nil && disk.Unfinished(e.Name()) {
				left[path.Join(folder, e.Name())] = info
			}
		}
	}
	return left, nil
}
