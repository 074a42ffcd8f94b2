package table

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"strings"
)

// cases moves rows of cases: to a part, which nothing ever takes the place of, and to the one file with what is there already.
func (m *mover) cases() error {
	parts, err := m.f.within("cases", ending)
	if err != nil {
		return err
	}
	if err := m.files(parts); err != nil {
		return err
	}
	name := "cases" + ending
	part, _, err := m.f.file(name, &m.listed)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if err == nil {
		stay, gone := m.split(part)
		if gone != nil {
			home, err := m.home(part.meta)
			if err != nil {
				return err
			}
			if _, err := m.put(home, name, gone, 1, false, nil); err != nil {
				return err
			}
			m.count(gone)
		}
		switch {
		case gone == nil:
		case stay == nil:
			m.old = append(m.old, name)
		default:
			if err := m.f.put(stay, part.meta); err != nil {
				return err
			}
		}
	}
	for _, home := range m.homes {
		all, err := home.Table("cases")
		if err != nil {
			return err
		}
		if err := home.put(all, home.meta); err != nil {
			return err
		}
	}
	return nil
}

// fields moves the volumes of cases that are not of this version.
func (m *mover) fields() error {
	volumes, err := m.f.within(fieldsName, volume)
	if err != nil {
		return err
	}
	for _, name := range volumes {
		id, _, _ := strings.Cut(path.Base(name), "-")
		if m.own(id) {
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
		if err := home.Keep(path.Base(name), func(w io.Writer) error {
			_, err := w.Write(data)
			return err
		}); err != nil {
			return err
		}
		m.old = append(m.old, name)
	}
	return nil
}

// failures moves the lines of cases that are not of this version.
func (m *mover) failures() error {
	data, err := m.f.disk.ReadFile(m.f.path(failuresName))
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
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
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if !bytes.Contains(there, gone) {
		if err := errors.Join(home.unlist(failuresName), home.publish(failuresName, append(there, gone...))); err != nil {
			return err
		}
	}
	return errors.Join(m.f.unlist(failuresName), m.f.publish(failuresName, stay))
}

// stranger finds rows that are of another version than the folder, and tells whether nothing else of the file is to be compared.
func (u *auditor) stranger(name string, rows *Frame) bool {
	n, others := 0, map[string]bool{}
	drawn := Version{Draws: rows.meta[keyDraws]}
	for r := range rows.rows {
		if id := rows.key(r).id; u.version.mixes(drawn) || u.own != nil && !u.own(id) {
			n, others[id] = n+1, true
		}
	}
	if n > 0 {
		u.damage(name, fmt.Sprintf("%d of its %d rows are of another version of the study or of the model (cases: %d)", n, rows.rows, len(others)),
			"run the study again, which moves them to "+u.f.path("earlier"))
	}
	return n > 0 && n == rows.rows
}
