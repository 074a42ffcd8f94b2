package table

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"io/fs"
	"slices"
	"strings"
	"time"

	"onegrain/studies/column"
)

const (
	manifestName = "manifest.json"
	fieldsName   = "fields"
	volume       = ".vti"
)

// listing is a line of the manifest. Of failures.jsonl, to which lines are only ever added, it tells of the first Rows lines.
type listing struct {
	File   string `json:"file"`
	Rows   int    `json:"rows"`
	SHA256 string `json:"sha256"`

	// Coming: about to be put in place. The file is this one or, until then, another that is listed, or none.
	Coming bool `json:"coming,omitempty"`
}

// manifest is the content of manifest.json.
type manifest struct {
	Files []listing `json:"files"`
	Check string    `json:"sha256,omitempty"`
}

// find is what the manifest says of a file.
func (m manifest) find(file string) (listing, bool) {
	i := slices.IndexFunc(m.Files, func(l listing) bool { return l.File == file })
	if i < 0 {
		return listing{}, false
	}
	return m.Files[i], true
}

// proves tells whether a file may have this hash: one that is listed, or any if none is.
func (m manifest) proves(file, hash string) (l listing, ok bool) {
	l, listed := m.find(file)
	for _, l := range m.Files {
		if l.File == file && l.SHA256 == hash {
			return l, true
		}
	}
	return l, !listed
}

// listed is the manifest, empty if there is none yet. Files newer than the manifest are not in it.
func (f *Folder) listed() (m manifest, err error) {
	data, err := f.disk.ReadFile(f.path(manifestName))
	if errors.Is(err, fs.ErrNotExist) {
		return m, nil
	}
	if err != nil {
		return m, err
	}
	if err := readRecord(data, &m); err != nil {
		return manifest{}, &Corrupt{File: f.path(manifestName), Why: err.Error(), Next: "move it away and run `onegrain merge` on the folder, which writes it anew"}
	}
	return m, nil
}

// unlist takes a file out of the manifest before it is replaced, so that a kill in between leaves no false alarm.
func (f *Folder) unlist(file string) error {
	f.book.Lock()
	defer f.book.Unlock()
	m, err := f.listed()
	if err != nil {
		return err
	}
	if _, ok := m.find(file); !ok {
		return nil
	}
	m.Files = slices.DeleteFunc(m.Files, func(l listing) bool { return l.File == file })
	return f.publishRecord(manifestName, m)
}

// relist puts a line into the manifest: in place of what it says of that file or, of one that is coming, beside it.
func (f *Folder) relist(l listing) error {
	f.book.Lock()
	defer f.book.Unlock()
	m, err := f.listed()
	if err != nil {
		return err
	}
	m.Files = slices.DeleteFunc(m.Files, func(old listing) bool { return old.File == l.File && (!l.Coming || old == l) })
	m.Files = append(m.Files, l)
	slices.SortFunc(m.Files, func(a, b listing) int { return cmp.Compare(a.File, b.File) })
	return f.publishRecord(manifestName, m)
}

// Seal writes the manifest of every file that is there and closes the session. A damaged file is a Corrupt error.
func (f *Folder) Seal(end time.Time) error {
	if err := f.list(nil); err != nil {
		return err
	}
	f.told.End = end
	return f.tell()
}

// Missing are the files that the manifest lists and that are gone.
func (f *Folder) Missing() ([]string, error) {
	m, err := f.listed()
	if err != nil {
		return nil, err
	}
	return f.gone(m)
}

func (f *Folder) gone(m manifest) (gone []string, err error) {
	for _, l := range m.Files {
		if l.Coming {
			continue
		}
		switch _, err := f.disk.Stat(f.path(l.File)); {
		case errors.Is(err, fs.ErrNotExist):
			gone = append(gone, l.File)
		case err != nil:
			return gone, err
		}
	}
	return gone, nil
}

// list writes the manifest until it tells what is there, but for what is about to be taken away: other processes may write, and
// merge, at the same time.
func (f *Folder) list(without []string) error {
	f.book.Lock()
	defer f.book.Unlock()
	var last manifest
	for range attempts {
		m, err := f.survey()
		if errors.Is(err, fs.ErrNotExist) {
			continue // taken away meanwhile
		}
		if err != nil {
			return err
		}
		m.Files = slices.DeleteFunc(m.Files, func(l listing) bool { return slices.Contains(without, l.File) })
		if last.Files != nil && slices.Equal(m.Files, last.Files) {
			return nil
		}
		if err := f.publishRecord(manifestName, m); err != nil {
			return err
		}
		last = m
	}
	return nil // others keep writing: their own manifests come later
}

// survey lists every file that is there. What is known already of a file that never changes is kept, unread.
func (f *Folder) survey() (m manifest, err error) {
	old, err := f.listed()
	if err != nil {
		return m, err
	}
	f.mu.Lock()
	known := manifest{Files: append(slices.Clip(old.Files), f.mine...)}
	f.mu.Unlock()
	m.Files = []listing{}
	for _, table := range column.Tables() {
		files, err := f.files(table)
		if err != nil {
			return m, err
		}
		for _, name := range files {
			l, err := f.listingOf(name, known)
			if err != nil {
				return m, err
			}
			m.Files = append(m.Files, l)
		}
	}
	others, err := f.others(old)
	m.Files = append(m.Files, others...)
	slices.SortFunc(m.Files, func(a, b listing) int { return cmp.Compare(a.File, b.File) })
	return m, err
}

// listingOf is the line of a table's file. It is read where nothing is known of it, and where its name does not say what is in it.
func (f *Folder) listingOf(name string, known manifest) (listing, error) {
	l, ok := known.find(name)
	if ok && promised(name) != "" {
		return l, nil
	}
	data, err := f.disk.ReadFile(f.path(name))
	if err != nil {
		return l, err
	}
	if l, sure := known.proves(name, sum(data)); ok && sure {
		l.Coming = false
		return l, nil
	}
	one, hash, err := f.file(name, nil)
	if err != nil {
		return l, err
	}
	return listing{File: name, Rows: one.Len(), SHA256: hash}, nil
}

// others lists the files that are no tables.
func (f *Folder) others(old manifest) (all []listing, err error) {
	volumes, err := f.within(fieldsName, volume)
	if err != nil {
		return nil, err
	}
	for _, name := range volumes {
		l, ok := old.find(name)
		if !ok {
			data, err := f.disk.ReadFile(f.path(name))
			if err != nil {
				return nil, err
			}
			l = listing{File: name, SHA256: sum(data)}
		}
		all = append(all, l)
	}
	data, err := f.disk.ReadFile(f.path(failuresName))
	if errors.Is(err, fs.ErrNotExist) {
		return all, nil
	}
	if err == nil {
		lines := bytes.Count(data, []byte("\n"))
		all = append(all, listing{File: failuresName, Rows: lines, SHA256: sum(firstLines(data, lines))})
	}
	return all, err
}

// firstLines is the beginning of a text.
func firstLines(data []byte, n int) []byte {
	at := 0
	for ; n > 0; n-- {
		i := bytes.IndexByte(data[at:], '\n')
		if i < 0 {
			return data
		}
		at += i + 1
	}
	return data[:at]
}

// A record is JSON that ends with the hash of all that stands before, so that no bit of it can turn over unnoticed.
const recordCheck = ",\n  \"sha256\": \""

func (f *Folder) publishRecord(name string, v any) error {
	data, err := recorded(v)
	if err != nil {
		return err
	}
	return f.publish(name, data)
}

// recorded is a record as it is written.
func recorded(v any) ([]byte, error) {
	data, err := json.MarshalIndent(v, "", "  ")
	if err != nil {
		return nil, err
	}
	if at := bytes.LastIndex(data, []byte(recordCheck)); at >= 0 {
		data = append(data[:at:at], "\n}"...) // the hash of an earlier state
	}
	body := bytes.TrimSuffix(data, []byte("\n}"))
	return []byte(string(body) + recordCheck + sum(body) + "\"\n}\n"), nil
}

// readRecord reads a record and proves it.
func readRecord(data []byte, v any) error {
	at := bytes.LastIndex(data, []byte(recordCheck))
	if at < 0 {
		return errors.New("there is no SHA-256 at its end")
	}
	if want := recordCheck + sum(data[:at]) + "\"\n}\n"; string(data[at:]) != want {
		return errors.New("its text does not fit the SHA-256 at its end")
	}
	d := json.NewDecoder(strings.NewReader(string(data)))
	d.DisallowUnknownFields()
	return d.Decode(v)
}
