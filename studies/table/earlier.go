package table

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"onegrain/studies/disk"
)

// Moved is what Recall has moved out of the way.
type Moved struct {
	Cases, Runs int
	To          []string // folders of results below the results folder, as earlier/0123456789ab
}

// Recall is what need not be done again: the table of runs without those of which rows in another
// table are lost, and that of cases. A case is known by own, and its runs by the draws that their
// part names; all else is of another version, and is moved to a results folder of its own before
// Recall returns.
//
// The move may be killed at any moment and done again, and several commands of the same version may
// do it at the same time: what goes is put in place there first, what stays of a file that held
// both is put in place here next, then the manifest no longer lists the old files, and only then
// are they taken away. A run always stays together with the rows of other tables that its part
// names.
func (f *Folder) Recall(own func(id string) bool) (runs, cases *Frame, moved Moved, err error) {
	m := &mover{f: f, own: own, homes: map[string]*Folder{}, gone: map[runKey]bool{}}
	if m.past, _, err = f.versions(); err != nil {
		return nil, nil, moved, err
	}
	for range attempts {
		var clean bool
		if runs, cases, clean, err = m.look(); err != nil || clean {
			break
		}
		if err = m.move(); unlessAbsent(err) != nil {
			break // else another command moves the same
		}
	}
	ids := map[string]bool{}
	for key := range m.gone {
		ids[key.id] = true
		moved.Runs += btoi(key.replicate > 0)
	}
	moved.Cases, moved.To = len(ids), slices.Sorted(maps.Keys(m.homes))
	return runs, cases, moved, err
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

// look reads what is of this version; clean: that is all there is.
func (m *mover) look() (runs, cases *Frame, clean bool, err error) {
	clean = true
	named := names{}
	ours := func(part *Frame) bool {
		_, gone := m.split(part)
		clean = clean && gone == nil
		named.with(part.named())
		return gone == nil
	}
	var files []string
	if runs, err = m.f.done(ours); err == nil {
		cases, err = m.f.table("cases", ours)
	}
	if err == nil {
		files, err = m.f.files(companions()...)
	}
	if err != nil {
		return nil, nil, false, err
	}
	for _, name := range named.lack(files) {
		// of a command at work, or of one that was killed before it wrote the receipt
		part, _, err := m.f.file(name, nil)
		if unlessAbsent(err) != nil {
			return nil, nil, false, err
		}
		if err == nil {
			ours(part)
		}
	}
	return runs, cases, clean, nil
}

// split parts the rows of a file; what there are none of is nil.
func (m *mover) split(part *Frame) (stay, gone *Frame) {
	drawn := m.drawn(part.meta)
	stays := func(key runKey) bool { return drawn && m.own(key.id) }
	ours := part.where(stays)
	switch len(ours) {
	case part.rows:
		return part, nil
	case 0:
		return nil, part
	}
	return part.Pick(ours), part.Pick(part.where(func(key runKey) bool { return !stays(key) }))
}

// drawn says whether the runs of a file were drawn as this version draws them. One of a program
// that did not write that down counts only where the text of its study is known.
func (m *mover) drawn(meta map[string]string) bool {
	draws := m.f.version.Draws
	if meta[keyDraws] != "" || draws == "" {
		return draws == "" || meta[keyDraws] == draws
	}
	for _, hash := range strings.Split(meta[keyStudy], ", ") {
		known := func(v Version) bool { return sum([]byte(v.Study)) == hash && !v.mixes(draws) }
		if !slices.ContainsFunc(m.past, known) {
			return false
		}
	}
	return true
}

// home is the results folder for the rows of a file that are of another version: that of the last
// one before this, unless it draws otherwise.
func (m *mover) home(meta map[string]string) (*Folder, error) {
	v := m.f.version
	if meta != nil {
		v = Version{Model: meta[keyModel], Draws: meta[keyDraws]}
		v.Study = fmt.Sprintf("# The study of these results is not known here. SHA-256 of its text: %s\n", meta[keyStudy])
	}
	for _, old := range m.past {
		before := !old.same(m.f.version) && !old.mixes(meta[keyDraws])
		if before || meta[keyStudy] == sum([]byte(old.Study)) && meta[keyModel] == old.Model {
			v = old
		}
	}
	if home := m.homes[v.name()]; home != nil {
		return home, nil
	}
	p := m.f.session
	p.ModelVersion = v.Model
	if err := disk.MkdirBelow(m.f.disk, m.f.dir, v.name()); err != nil {
		return nil, err
	}
	draws := func([]byte) string { return v.Draws }
	home, err := Create(m.f.path(v.name()), []byte(v.Study), draws, p, m.f.disk)
	sessions, more := m.f.Sessions()
	if err := cmp.Or(err, more); err != nil {
		return nil, err
	}
	sessions = slices.DeleteFunc(sessions, func(p Provenance) bool {
		return p.StudySHA256 == m.f.session.StudySHA256 && p.ModelVersion == m.f.session.ModelVersion
	})
	m.homes[v.name()] = home
	return home, home.addSessions(provenanceName, sessions...)
}

// move moves all that is there of other versions.
func (m *mover) move() (err error) {
	m.became, m.old = map[string][2]string{}, nil
	if m.listed, err = m.f.listed(); err != nil {
		return err
	}
	runs, err := m.f.files(receipts) // before the tables that they name: whoever adds a part adds those first
	files, more := m.f.files(companions()...)
	if err := cmp.Or(err, more); err != nil {
		return err
	}
	seal := func() (err error) {
		for _, name := range slices.Sorted(maps.Keys(m.homes)) {
			if err == nil {
				err = m.homes[name].Seal(m.f.session.Start)
			}
		}
		return err
	}
	return disk.InOrder(func() error { return m.files(append(files, runs...)) }, m.cases, m.volumes, m.failures, seal,
		func() error { return m.f.retire(m.old) })
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
		var now [2]string // first what goes: what stays of the one file of cases takes its place
		if gone != nil {
			now[1], err = m.away(name, gone, stay == nil && name != wholeCases, data)
		}
		if stay != nil && err == nil {
			now[0], err = m.put(m.f, name, stay, 0, gone == nil, data)
		}
		if err != nil {
			return err
		}
		if m.became[name] = now; now[0] != name {
			m.old = append(m.old, name)
		}
	}
	return nil
}

// away puts the rows of a file that go where they belong, and counts them.
func (m *mover) away(name string, gone *Frame, whole bool, data []byte) (string, error) {
	home, err := m.home(gone.meta)
	if err != nil {
		return "", err
	}
	if gone.Schema.Table == receipts || gone.Schema.Table == "cases" {
		for r := range gone.rows {
			m.gone[gone.key(r)] = true
		}
	}
	return m.put(home, name, gone, 1, whole, data)
}

// put puts the rows of a file that stay (0) or go (1) in place, the file as it is where it holds no
// others and what it names is called so still.
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
	if to == m.f && name == wholeCases {
		return name, to.put(rows, rows.meta)
	}
	meta := maps.Clone(rows.meta)
	if _, receipt := meta[keyWith]; receipt {
		meta[keyWith] = strings.Join(with, " ")
	}
	name, data, err := partOf("part-", rows, meta)
	if err != nil {
		return "", err
	}
	return name, to.publish(name, data)
}
