package table

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"slices"

	"onegrain/studies/column"
)

// Audit is what reading every file of a folder has shown.
type Audit struct {
	Files  int       `json:"files"`  // read
	Rows   int       `json:"rows"`   // in them
	Damage []Corrupt `json:"damage"` // what is not as it was written, or lost
	Notes  []string  `json:"notes"`  // what harms nothing
}

const runAgain = "run the study again, which computes what is lost"

// auditor is an audit at work.
type auditor struct {
	*Folder
	a        Audit
	manifest manifest
	there    names // files that were read, sound or not
	claims   map[string]*claims
	fresh    int // sound files that the manifest does not list
	own      func(id string) bool
	version  Version
}

// Audit reads every file and compares it with its hash, the manifest and the other tables: what is
// damaged, missing, not of this folder, there twice, otherwise elsewhere, or of another version of
// the study or of the model: a case is of this one where own says so, where it is not nil. It
// changes nothing. The error is one of storage.
func (f *Folder) Audit(own func(id string) bool) (*Audit, error) {
	u := &auditor{Folder: f, own: own, there: names{}, claims: map[string]*claims{},
		a: Audit{Damage: []Corrupt{}, Notes: []string{}}}
	steps := []func() error{
		func() (err error) { u.manifest, err = f.listed(); return err },
		func() (err error) { u.version, err = f.Version(); return err },
		u.study, u.tables, u.missing, u.receipts, u.counts, u.volumes, u.failures, u.unfinished,
	}
	for _, step := range steps {
		if err := u.damaged(step()); err != nil {
			return nil, err
		}
	}
	if u.fresh > 0 {
		u.note("%d files are sound but not listed yet: they are newer than the manifest; "+
			"the next `onegrain run` or `onegrain merge` lists them", u.fresh)
	}
	return &u.a, nil
}

func (u *auditor) note(format string, values ...any) {
	u.a.Notes = append(u.a.Notes, fmt.Sprintf(format, values...))
}

func (u *auditor) damage(name, why, next string) {
	u.a.Damage = append(u.a.Damage, Corrupt{u.path(name), why, cmp.Or(next, again)})
}

// damaged notes an error that is damage; any other is returned.
func (u *auditor) damaged(err error) error {
	var c *Corrupt
	if !errors.As(err, &c) {
		return err
	}
	u.a.Damage = append(u.a.Damage, Corrupt{c.File, c.Why, cmp.Or(c.Next, again)})
	return nil
}

// study proves the provenance, and by it the study.
func (u *auditor) study() error {
	versions, err := u.within(versionsName, versionEnd)
	records, more := u.provenances()
	study, last := u.Study()
	if err := cmp.Or(err, more, last); err != nil {
		return err
	}
	u.a.Files += len(versions) + len(records) + 1
	var all []Provenance
	for _, name := range records {
		one, err := u.sessions(name)
		if err := u.damaged(err); err != nil {
			return err
		}
		all = append(all, one.Sessions...)
	}
	switch {
	case len(all) == 0:
		u.note("%s names no command that wrote results, so %s cannot be checked", u.path(provenanceName), studyName)
	case !slices.ContainsFunc(all, func(p Provenance) bool { return p.StudySHA256 == sum(study) }):
		u.damage(studyName, "it is none of the studies that provenance.json names",
			"run the study again with --out "+u.dir+", which puts its file there")
	}
	return nil
}

// tables proves every file of every table, and rows that are there twice.
func (u *auditor) tables() error {
	for _, table := range column.Tables() {
		c := newClaims(u.Folder)
		u.claims[table] = c
		files, err := u.files(table)
		if err != nil {
			return err
		}
		for _, name := range files {
			if err := u.damaged(u.table(table, name)); err != nil {
				return err
			}
		}
		u.a.Damage = append(u.a.Damage, c.differ...)
		if c.dropped > 0 {
			u.note("%s: %d runs are in more than one file, with the same rows: `onegrain merge` keeps them once", table,
				c.dropped)
		}
	}
	return nil
}

func (u *auditor) table(table, name string) error {
	u.there[name] = true
	u.a.Files++
	_, listed := u.manifest.find(name)
	rows, hash, err := u.file(name, &u.manifest)
	if err != nil {
		return err
	}
	u.a.Rows += rows.Len()
	l, _ := u.manifest.proves(name, hash)
	switch {
	case listed && l.Rows != rows.Len():
		u.damage(name, fmt.Sprintf("it has %d rows, the manifest says %d", rows.Len(), l.Rows), "")
	case rows.Schema.Table != table:
		u.damage(name, fmt.Sprintf("it holds rows of %s", rows.Schema.Table), "")
	case !listed && promised(name) == "" && name != wholeCases:
		u.damage(name, "it is not in the manifest, and onegrain gives no such name", "move it away")
	case !listed:
		u.fresh++
	}
	if u.stranger(name, rows) || table == "cases" { // of a case the row that counts most runs is taken
		return nil
	}
	return u.claims[table].read(name, rows)
}

// stranger finds rows that are of another version than the folder, and says whether nothing else
// of the file is to be compared.
func (u *auditor) stranger(name string, rows *Frame) bool {
	others := names{}
	drawn := u.version.mixes(rows.meta[keyDraws])
	strange := rows.where(func(key runKey) bool { return drawn || u.own != nil && !u.own(key.id) })
	for _, r := range strange {
		others[rows.key(r).id] = true
	}
	if len(strange) > 0 {
		u.damage(name, fmt.Sprintf("%d of its %d rows are of another version of the study or of the model (cases: %d)",
			len(strange), rows.rows, len(others)), "run the study again, which moves them to "+u.path("earlier"))
	}
	return len(strange) > 0 && len(strange) == rows.rows
}

// missing finds what the manifest lists and nobody finds.
func (u *auditor) missing() error {
	gone, err := u.Missing()
	for _, name := range gone {
		u.damage(name, "it is listed in the manifest and missing", runAgain)
	}
	return err
}

// receipts finds runs of which the rows in other tables are lost: files of runs name those that
// hold them.
func (u *auditor) receipts() error {
	runs := u.claims[receipts]
	sound := map[runKey]bool{}
	lost := map[string][]string{}
	for _, name := range runs.files {
		lost[name] = u.there.lack(runs.named[name])
		for key := range runs.runs[name] {
			sound[key] = sound[key] || len(lost[name]) == 0
		}
	}
	for _, name := range runs.files {
		for key := range runs.runs[name] {
			if !sound[key] {
				u.damage(lost[name][0], "it is missing; "+name+" needs it", runAgain)
				break
			}
		}
	}
	return nil
}

// counts compares what the table of cases counts with the runs that are there. Where files are
// damaged nothing can be counted.
func (u *auditor) counts() error {
	if len(u.a.Damage) > 0 {
		return nil
	}
	found := map[string]int64{}
	for key, c := range u.claims[receipts].best {
		found[key.id] += int64(btoi(c.done))
	}
	rows, err := u.Table("cases")
	if err != nil {
		return err
	}
	for r := range rows.Len() {
		id := rows.key(r).id
		if n, _ := rows.Value(r, "runs").(int64); n > found[id] {
			u.damage(receipts, fmt.Sprintf("the cases count %d runs of case %s, and there are %d: a file is lost",
				n, id, found[id]), runAgain)
			break
		}
	}
	return nil
}

// volumes proves the files of fields.
func (u *auditor) volumes() error {
	names, err := u.within(fieldsName, volume)
	if err != nil {
		return err
	}
	for _, name := range names {
		u.a.Files++
		data, err := u.disk.ReadFile(u.path(name))
		if err != nil {
			return err
		}
		switch l, ok := u.manifest.find(name); {
		case !ok:
			u.fresh++
		case l.SHA256 != sum(data):
			u.damage(name, "its SHA-256 is "+sum(data)+", the manifest says "+l.SHA256,
				"move it away and draw that run again with `onegrain draw --vti`")
		}
	}
	return nil
}

// failures proves the lines that the manifest knows, and reads the others.
func (u *auditor) failures() error {
	data, err := u.disk.ReadFile(u.path(failuresName))
	if err != nil {
		return unlessAbsent(err)
	}
	u.a.Files++
	if l, ok := u.manifest.find(failuresName); ok && sum(firstLines(data, l.Rows)) != l.SHA256 {
		u.damage(failuresName, fmt.Sprintf("its first %d lines are not those of the manifest", l.Rows),
			"move it away: no result depends on it")
		return nil
	}
	for i, line := range bytes.Split(data, []byte("\n")) {
		if len(line) > 0 && !json.Valid(line) {
			u.note("%s: line %d was cut off when a command was killed", u.path(failuresName), i+1)
		}
	}
	return nil
}

// unfinished notes what killed commands have left.
func (u *auditor) unfinished() error {
	left, err := u.leftovers()
	if len(left) > 0 {
		u.note("%d unfinished files: of commands still at work, or left by some that were killed; "+
			"`onegrain merge` removes them when they are an hour old", len(left))
	}
	return err
}
