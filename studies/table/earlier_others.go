package table

import (
	"bytes"
	"encoding/json"
	"errors"
	"path"
	"strings"

	"onegrain/studies/disk"
)

// cases moves rows of cases: to parts, which nothing ever takes the place of, and from there to the
// one file with what is there already.
func (m *mover) cases() error {
	files, err := m.f.files("cases")
	if err == nil {
		err = m.files(files)
	}
	for _, home := range m.homes {
		var all *Frame
		if err == nil {
			all, err = home.Table("cases")
		}
		if err == nil {
			err = home.put(all, home.meta)
		}
	}
	return err
}

// volumes moves those of cases that are not of this version.
func (m *mover) volumes() error {
	names, err := m.f.within(fieldsName, volume)
	if err != nil {
		return err
	}
	for _, name := range names {
		if id, _, _ := strings.Cut(path.Base(name), "-"); m.own(id) {
			continue
		}
		home, err := m.home(nil)
		if err != nil {
			return err
		}
		data, err := m.f.disk.ReadFile(m.f.path(name))
		if err != nil {
			return err
		}
		if err := home.AddVolume(path.Base(name), disk.Bytes(data)); err != nil {
			return err
		}
		m.old = append(m.old, name)
	}
	return nil
}

// failures moves the lines of cases that are not of this version.
func (m *mover) failures() error {
	data, err := m.f.disk.ReadFile(m.f.path(failuresName))
	if err != nil {
		return unlessAbsent(err)
	}
	var stay, gone []byte
	for line := range bytes.Lines(data) {
		var f Failure
		if json.Unmarshal(line, &f) == nil && !m.own(f.CaseID) {
			gone = append(gone, line...)
		} else {
			stay = append(stay, line...)
		}
	}
	if len(gone) == 0 {
		return nil
	}
	home, err := m.home(nil)
	if err != nil {
		return err
	}
	there, err := home.disk.ReadFile(home.path(failuresName))
	if unlessAbsent(err) != nil {
		return err
	}
	if !bytes.Contains(there, gone) {
		err := errors.Join(home.unlist(failuresName), home.publish(failuresName, append(there, gone...)))
		if err != nil {
			return err
		}
	}
	return errors.Join(m.f.unlist(failuresName), m.f.publish(failuresName, stay))
}
