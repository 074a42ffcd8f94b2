package table

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"slices"
	"strings"

	"onegrain/studies/disk"
)

// Moved tells what Recall has moved out of the way.
type Moved struct {
	Cases, Runs int
	To          []string // folders of results below the results folder, as earlier/0123456789ab
}

// Recall is what need not be done again: the table of runs without those of which rows in another table are lost, and that of cases. A
// case is known by own, and its runs by the draws that their part tells; all else is of another version, and is moved to
// a results folder of its own before Recall returns.
//
// The move may be killed at any moment and done again, and several commands of the same version may do it at the same time: what goes is
// put in place there first, what stays of a file that held both is put in place here next, then the manifest no longer lists
// the old files, and only then are they taken away. A run always stays together with the rows of other tables that its part names.
func (f *Folder) Recall(own func(id string) bool) (runs, cases *Frame, moved Moved, err error) {
	m := &mover{f: f, own: own, homes: map[string]*Folder{}, gone: map[runKey]bool{}}
	if m.past, _, err = f.versions(); err != nil {
		return nil, nil, moved, err
	}
	for range attempts {
		var all bool
		if runs, cases, all, err = m.look(); err != nil || all {
			break
		}
		if err = m.move(); err != nil && !errors.Is(err, fs.ErrNotExist) {
			break // else another command moves the same
		}
	}
	return runs, cases, m.told(), err
}

// mover moves what is of other versions.
type mover struct {
	f     *Folder
	own   func(id string) bool
	past  []Version          // that the folder has held
	homes map[string]*Folder // to which it moves them, by name
	gone  map[runKey]bool    // moved runs, and cases as replicate 0

	listed manifest
	became map[string][2]string // of a file: what of it stays, what of it goes
	old    []string             // files to be taken away
}

func (m *mover) told() (moved Moved) {
	ids := map[string]bool{}
	for key := range m.gone {
		ids[key.id] = true
		moved.Runs += btoi(key.replicate > 0)
	}
	moved.Cases, moved.To = len(ids), slices.Sorted(maps.Keys(m.homes))
	return moved
}

// look reads what is of this version, and tells whether that is all there is.
func (m *mover) look() (runs, cases *Frame, all bool, err error) {
	all = true
	named := map[string]bool{}
	ours := func(part *Frame) bool {
		_, gone := m.split(part)
		all = all && gone == nil
		for _, name := range part.named() {
			named[name] = true
		}
		return gone == nil
	}
	if runs, err = m.f.done(ours); err != nil {
		return nil, nil, false, err
	}
	if cases, err = m.f.table("cases", ours); err != nil {
		return nil, nil, false, err
	}
	for _, table := range companions() {
		files, err := m.f.files(table)
		if err != nil {
			return nil, nil, false, err
		}
		for _, name := range files {
			if named[name] {
				continue
			}
			part, _, err := m.f.file(name, nil) // of a command at work, or of one that was killed before it wrote the receipt
			if err != nil && !errors.Is(err, fs.ErrNotExist) {
				return nil, nil, false, err
			}
			if err == nil {
				ours(part)
			}
		}
	}
	return runs, cases, all, nil
}

// split parts the rows of a file; what there are none of is nil.
func (m *mover) split(part *Frame) (stay, gone *Frame) {
	drawn := m.drawn(part.meta)
	var mine, others []int
	for r := range part.rows {
		if drawn && m.own(part.key(r).id) {
			mine = append(mine, r)
		} else {
			others = append(others, r)
		}
	}
	switch {
	case len(others) == 0:
		return part, nil
	case len(mine) == 0:
		return nil, part
	}
	return part.Pick(mine), part.Pick(others)
}

// drawn tells whether the runs of a file were drawn as this version draws them. One of a program that did not write that down counts only
// where the text of its study is known.
func (m *mover) drawn(meta map[string]string) bool {
	if told := meta[keyDraws]; told != "" || m.f.version.Draws == "" {
		return told == m.f.version.Draws || m.f.version.Draws == ""
	}
	for _, hash := range strings.Split(meta[keyStudy], ", ") {
		if !slices.ContainsFunc(m.past, func(v Version) bool { return sum([]byte(v.Study)) == hash && !v.mixes(m.f.version) }) {
			return false
		}
	}
	return true
}

// home is the results folder for the rows of a file that are of another version: that of the last one before this, unless it draws otherwise.
func (m *mover) home(meta map[string]string) (*Folder, error) {
	from, v := Version{Model: meta[keyModel], Draws: meta[keyDraws]}, m.f.version
	if meta != nil {
		v = from
		v.Study = fmt.Sprintf("# The study of these results is not known here. SHA-256 of its text: %s\n", meta[keyStudy])
	}
	for _, old := range m.past {
		if !old.same(m.f.version) && !old.mixes(from) || meta[keyStudy] == sum([]byte(old.Study)) && from.Model == old.Model {
			v = old
		}
	}
	if home := m.homes[v.name()]; home != nil {
		return home, nil
	}
	p := m.f.told
	p.ModelVersion = v.Model
	if err := disk.MkdirBelow(m.f.disk, m.f.dir, v.name()); err != nil {
		return nil, err
	}
	home, err := Create(m.f.path(v.name()), []byte(v.Study), func([]byte) string { return v.Draws }, p, m.f.disk)
	if err != nil {
		return nil, err
	}
	told, err := m.f.Sessions()
	if err != nil {
		return nil, err
	}
	told = slices.DeleteFunc(told, func(p Provenance) bool {
		return p.StudySHA256 == m.f.told.StudySHA256 && p.ModelVersion == m.f.told.ModelVersion
	})
	m.homes[v.name()] = home
	return home, home.enter(provenanceName, told...)
}

// move moves all that is there of other versions.
func (m *mover) move() (err error) {
	m.became, m.old = map[string][2]string{}, nil
	if m.listed, err = m.f.listed(); err != nil {
		return err
	}
	runs, err := m.f.files(receipts) // before the tables that they name: whoever adds a part adds those first
	if err != nil {
		return err
	}
	for _, table := range companions() {
		files, err := m.f.files(table)
		if err != nil {
			return err
		}
		if err := m.files(files); err != nil {
			return err
		}
	}
	for _, step := range []func() error{func() error { return m.files(runs) }, m.cases, m.fields, m.failures} {
		if err := step(); err != nil {
			return err
		}
	}
	for _, name := range slices.Sorted(maps.Keys(m.homes)) {
		if err := m.homes[name].Seal(m.f.told.Start); err != nil {
			return err
		}
	}
	return m.f.retire(m.old)
}

// files moves those of one table.
func (m *mover) files(names []string) error {
	for _, name := range names {
		data, _, err := m.f.proved(name, &m.listed)
		if err != nil {
			return err
		}
		part, err := decode(m.f.path(name), data)
		if err != nil {
			return err
		}
		stay, gone := m.split(part)
		var now [2]string
		if stay != nil {
			if now[0], err = m.put(m.f, name, stay, 0, gone == nil, data); err != nil {
				return err
			}
		}
		if gone != nil {
			home, err := m.home(part.meta)
			if err != nil {
				return err
			}
			if now[1], err = m.put(home, name, gone, 1, stay == nil, data); err != nil {
				return err
			}
			m.count(gone)
		}
		if m.became[name] = now; now[0] != name {
			m.old = append(m.old, name)
		}
	}
	return nil
}

// put puts the rows of a file that stay (0) or go (1) in place, the file as it is where it holds no others and what it names is called so still.
func (m *mover) put(to *Folder, name string, rows *Frame, side int, whole bool, data []byte) (string, error) {
	var with []string
	for _, n := range rows.named() {
		if now, known := m.became[n]; !known { // it is lost, and so it stays
			with = append(with, n)
		} else if now[side] != "" {
			with = append(with, now[side])
		}
	}
	if whole && slices.Equal(with, rows.named()) {
		if to == m.f {
			return name, nil
		}
		return name, to.publish(name, data)
	}
	meta := maps.Clone(rows.meta)
	if _, receipt := meta[keyWith]; receipt {
		meta[keyWith] = strings.Join(with, " ")
	}
	name, data, err := called("part-", rows, meta)
	if err != nil {
		return "", err
	}
	return name, to.publish(name, data)
}

func (m *mover) count(gone *Frame) {
	for r := range gone.rows {
		if key := gone.key(r); gone.Schema.Table == receipts || gone.Schema.Table == "cases" {
			m.gone[key] = true
		}
	}
}
