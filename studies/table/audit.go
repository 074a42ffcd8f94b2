package table

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"slices"

	"onegrain/studies/column"
	"onegrain/studies/disk"
)

// Audit is what reading every file of a folder has shown.
type Audit struct {
	Files  int       `json:"files"`  // read
	Rows   int       `json:"rows"`   // in them
	Damage []Corrupt `json:"damage"` // what is not as it was written, or lost
	Notes  []string  `json:"notes"`  // what harms nothing
}

// auditor is an audit at work.
type auditor struct {
	f       *Folder
	a       Audit
	listed  manifest
	there   map[string]bool     // files that were read, sound or not
	tellers map[string]*telling // of each table with runs
	fresh   int                 // sound files that the manifest does not list
	own     func(id string) bool
	version Version
}

// Audit reads every file and compares it with its hash, the manifest and the other tables: what is damaged, missing, not of this folder,
// told twice, told otherwise elsewhere, or of another version of the study or of the model: a case is of this one where own says so, where
// it is not nil. It changes nothing. The error is one of storage.
func (f *Folder) Audit(own func(id string) bool) (*Audit, error) {
	u := &auditor{f: f, own: own, a: Audit{Damage: []Corrupt{}, Notes: []string{}}, there: map[string]bool{}, tellers: map[string]*telling{}}
	for _, step := range []func() error{u.records, u.tables, u.missing, u.receipts, u.counts, u.others, u.leftovers} {
		if err := step(); err != nil {
			return nil, err
		}
	}
	if u.fresh > 0 {
		u.note("%d files are sound but not listed yet: they are newer than the manifest; the next `onegrain run` or `onegrain merge` lists them", u.fresh)
	}
	return &u.a, nil
}

func (u *auditor) note(format string, values ...any) {
	u.a.Notes = append(u.a.Notes, fmt.Sprintf(format, values...))
}

func (u *auditor) damage(name, why, next string) {
	if next == "" {
		next = again
	}
	u.a.Damage = append(u.a.Damage, Corrupt{u.f.path(name), why, next})
}

// damaged notes an error that is damage; any other is returned.
func (u *auditor) damaged(err error) error {
	var c *Corrupt
	if !errors.As(err, &c) {
		return err
	}
	if c.Next == "" {
		c.Next = again
	}
	u.a.Damage = append(u.a.Damage, *c)
	return nil
}

// records proves the manifest, the provenance, and by it the study.
func (u *auditor) records() (err error) {
	if u.listed, err = u.f.listed(); err != nil {
		if err := u.damaged(err); err != nil {
			return err
		}
	}
	if u.version, err = u.f.Version(); err != nil {
		if err := u.damaged(err); err != nil {
			return err
		}
	}
	past, err := u.f.within(versionsName, record)
	if err != nil {
		return err
	}
	u.a.Files += len(past)
	list, err := u.f.disk.ReadDir(u.f.dir)
	if err != nil {
		return err
	}
	study, err := u.f.Study()
	if err != nil {
		return err
	}
	u.a.Files++
	known, told := false, 0
	for _, e := range list {
		if !isProvenance(e.Name()) {
			continue
		}
		u.a.Files++
		all, err := u.f.sessions(e.Name())
		if err != nil {
			if err := u.damaged(err); err != nil {
				return err
			}
		}
		told += len(all.Sessions)
		known = known || slices.ContainsFunc(all.Sessions, func(p Provenance) bool { return p.StudySHA256 == sum(study) })
	}
	switch {
	case told == 0:
		u.note("%s tells of no session, so nothing proves %s", u.f.path("provenance.json"), studyName)
	case !known:
		u.damage(studyName, "it is none of the studies that provenance.json tells of", "run the study again with --out "+u.f.dir+", which puts its file there")
	}
	return nil
}

// tables proves every file of every table, and rows that are there twice.
func (u *auditor) tables() error {
	for _, table := range column.Tables() {
		t := newTelling(u.f, table)
		u.tellers[table] = t
		files, err := u.f.files(table)
		if err != nil {
			return err
		}
		for _, name := range files {
			if err := u.table(t, name); err != nil {
				return err
			}
		}
		if table == "cases" {
			continue // of a case the row that counts most runs is taken
		}
		u.a.Damage = append(u.a.Damage, t.differ...)
		if t.dropped > 0 {
			u.note("%s: %d runs are told more than once, alike: `onegrain merge` drops what is double", table, t.dropped)
		}
	}
	return nil
}

func (u *auditor) table(t *telling, name string) error {
	u.there[name] = true
	u.a.Files++
	_, listed := u.listed.find(name)
	rows, hash, err := u.f.file(name, &u.listed)
	if err != nil {
		return u.damaged(err)
	}
	u.a.Rows += rows.Len()
	l, _ := u.listed.proves(name, hash)
	switch {
	case listed && l.Rows != rows.Len():
		u.damage(name, fmt.Sprintf("it has %d rows, the manifest says %d", rows.Len(), l.Rows), "")
	case rows.Schema.Table != t.table:
		u.damage(name, fmt.Sprintf("it holds rows of %s", rows.Schema.Table), "")
	case !listed && promised(name) == "" && name != "cases"+ending:
		u.damage(name, "it is not in the manifest, and its name is none that onegrain gives", "move it away")
	case !listed:
		u.fresh++
	}
	if u.stranger(name, rows) {
		return nil
	}
	if t.table == "cases" {
		return nil
	}
	return t.read(name, rows)
}

// missing finds what the manifest lists and nobody finds.
func (u *auditor) missing() error {
	gone, err := u.f.gone(u.listed)
	for _, name := range gone {
		u.damage(name, "it is listed in the manifest and missing", "run the study again, which runs anew what is lost")
	}
	return err
}

// receipts finds runs of which the rows in other tables are lost: files of runs name those that hold them.
func (u *auditor) receipts() error {
	runs := u.tellers[receipts]
	sound := map[runKey]bool{}
	for _, name := range runs.files {
		if len(absentFrom(u.there, runs.named[name])) == 0 {
			for key := range runs.runs[name] {
				sound[key] = true
			}
		}
	}
	for _, name := range runs.files {
		lost := absentFrom(u.there, runs.named[name])
		for key := range runs.runs[name] {
			if len(lost) > 0 && !sound[key] {
				u.damage(lost[0], "it is missing; "+name+" counts on it", "run the study again, which runs anew what is lost")
				break
			}
		}
	}
	return nil
}

func absentFrom(there map[string]bool, wanted []string) (lost []string) {
	for _, name := range wanted {
		if !there[name] {
			lost = append(lost, name)
		}
	}
	return lost
}

// counts compares what the table of cases counts with the runs that are there. Where files are damaged nothing can be counted.
func (u *auditor) counts() error {
	if len(u.a.Damage) > 0 {
		return nil
	}
	found := map[string]int64{}
	for key, t := range u.tellers[receipts].best {
		if t.done {
			found[key.id]++
		}
	}
	rows, err := u.f.Table("cases")
	if err != nil {
		return u.damaged(err)
	}
	for r := range rows.Len() {
		id, _ := rows.Value(r, "case_id").(string)
		if n, _ := rows.Value(r, "runs").(int64); n > found[id] {
			u.damage(receipts, fmt.Sprintf("the cases count %d runs of case %s, and there are %d: a file is lost", n, id, found[id]), "run the study again, which runs anew what is lost")
			break
		}
	}
	return nil
}

// others proves the files that are no tables.
func (u *auditor) others() error {
	volumes, err := u.f.within(fieldsName, volume)
	if err != nil {
		return err
	}
	for _, name := range volumes {
		u.a.Files++
		data, err := u.f.disk.ReadFile(u.f.path(name))
		if err != nil {
			return err
		}
		switch l, ok := u.listed.find(name); {
		case !ok:
			u.fresh++
		case l.SHA256 != sum(data):
			u.damage(name, "its SHA-256 is "+sum(data)+", the manifest says "+l.SHA256, "move it away and draw that run again with `onegrain draw --vti`")
		}
	}
	return u.failures()
}

// failures proves the lines that the manifest knows, and reads the others.
func (u *auditor) failures() error {
	data, err := u.f.disk.ReadFile(u.f.path(failuresName))
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	u.a.Files++
	if l, ok := u.listed.find(failuresName); ok && sum(firstLines(data, l.Rows)) != l.SHA256 {
		u.damage(failuresName, fmt.Sprintf("its first %d lines are not those of the manifest", l.Rows), "move it away: no result depends on it")
		return nil
	}
	for i, line := range bytes.Split(data, []byte("\n")) {
		if len(line) > 0 && !json.Valid(line) {
			u.note("%s: line %d was cut off when a command was killed", u.f.path(failuresName), i+1)
		}
	}
	return nil
}

// leftovers notes what killed commands have left.
func (u *auditor) leftovers() error {
	n := 0
	for _, folder := range append(column.Tables(), fieldsName, ".") {
		list, err := u.f.disk.ReadDir(u.f.path(folder))
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		for _, e := range list {
			n += btoi(disk.Unfinished(e.Name()))
		}
	}
	if n > 0 {
		u.note("%d unfinished files: of commands still at work, or left by some that were killed; `onegrain merge` takes them away when they are an hour old", n)
	}
	return nil
}
