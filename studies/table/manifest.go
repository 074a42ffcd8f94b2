package table

import (
	"bytes"
	"cmp"
	"errors"
	"io/fs"
	"path"
	"slices"
	"time"

	"onegrain/studies/column"
	"onegrain/studies/disk"
)

const (
	manifestName = "manifest.json"
	fieldsName   = "fields"
	volume       = ".vti"
)

// listing is a line of the manifest. Of failures.jsonl, to which lines are only ever added, it
// tells of the first Rows lines.
type listing struct {
	File   string `json:"file"`
	Rows   int    `json:"rows"`
	SHA256 string `json:"sha256"`

	// Coming: about to be put in place. The file is this one or, until then, another that is listed,
	// or none.
	Coming bool `json:"coming,omitempty"`
}

// manifest is the content of manifest.json.
type manifest struct {
	Files []listing `json:"files"`
}

// find is what the manifest says of a file.
func (m manifest) find(file string) (listing, bool) {
	i := slices.IndexFunc(m.Files, func(l listing) bool { return l.File == file })
	if i < 0 {
		return listing{}, false
	}
	return m.Files[i], true
}

// proves says whether a file may have this hash: one that is listed, or any if none is.
func (m manifest) proves(file, hash string) (l listing, ok bool) {
	i := slices.IndexFunc(m.Files, func(l listing) bool { return l.File == file && l.SHA256 == hash })
	if i >= 0 {
		return m.Files[i], true
	}
	l, listed := m.find(file)
	return l, !listed
}

func (m manifest) sort() {
	slices.SortFunc(m.Files, func(a, b listing) int { return cmp.Compare(a.File, b.File) })
}

// listed is the manifest, empty if there is none yet. Files newer than the manifest are not in it.
func (f *Folder) listed() (m manifest, err error) {
	err = f.readRecord(manifestName, &m,
		"move it away and run `onegrain merge` on the folder, which writes it again")
	if err != nil {
		return manifest{}, unlessAbsent(err)
	}
	return m, nil
}

// relist changes the manifest where change says that there is something to change.
func (f *Folder) relist(change func(m *manifest) bool) error {
	f.manifestLock.Lock()
	defer f.manifestLock.Unlock()
	m, err := f.listed()
	if err != nil || !change(&m) {
		return err
	}
	m.sort()
	return f.publishRecord(manifestName, m)
}

// unlist takes a file out of the manifest before it is replaced, so that a kill in between leaves
// no false alarm.
func (f *Folder) unlist(file string) error {
	return f.relist(func(m *manifest) bool {
		before := len(m.Files)
		m.Files = slices.DeleteFunc(m.Files, func(l listing) bool { return l.File == file })
		return len(m.Files) < before
	})
}

// list puts a line into the manifest: in place of what it says of that file or, of one that is
// coming, beside it.
func (f *Folder) list(l listing) error {
	return f.relist(func(m *manifest) bool {
		m.Files = slices.DeleteFunc(m.Files, func(old listing) bool {
			return old.File == l.File && (!l.Coming || old == l)
		})
		m.Files = append(m.Files, l)
		return true
	})
}

// Seal writes the manifest of every file that is there and closes the session. A damaged file is a
// Corrupt error.
func (f *Folder) Seal(end time.Time) error {
	f.session.End = end
	return disk.InOrder(func() error { return f.listAll(nil) }, f.writeSession)
}

// Missing are the files that the manifest lists and that are gone.
func (f *Folder) Missing() (gone []string, err error) {
	m, err := f.listed()
	if err != nil {
		return nil, err
	}
	for _, l := range m.Files {
		_, err := f.disk.Stat(f.path(l.File))
		if unlessAbsent(err) != nil {
			return gone, err
		}
		if err != nil && !l.Coming {
			gone = append(gone, l.File)
		}
	}
	return gone, nil
}

// listAll writes the manifest until it has what is there, but for what is about to be taken away:
// other processes may write, and merge, at the same time.
func (f *Folder) listAll(without []string) error {
	f.manifestLock.Lock()
	defer f.manifestLock.Unlock()
	var last manifest
	for range attempts {
		m, err := f.present(without)
		if errors.Is(err, fs.ErrNotExist) {
			continue // taken away meanwhile
		}
		if err != nil || last.Files != nil && slices.Equal(m.Files, last.Files) {
			return err
		}
		if err := f.publishRecord(manifestName, m); err != nil {
			return err
		}
		last = m
	}
	return nil // others keep writing: their own manifests come later
}

// present lists every file that is there. What is known already of a file that never changes is
// taken over, unread.
func (f *Folder) present(without []string) (m manifest, err error) {
	known, err := f.listed()
	if err != nil {
		return m, err
	}
	f.mu.Lock()
	known.Files = append(known.Files, f.added...)
	f.mu.Unlock()
	m.Files = []listing{}
	files, err := f.files(column.Tables()...)
	volumes, more := f.within(fieldsName, volume)
	if err := cmp.Or(err, more); err != nil {
		return m, err
	}
	for _, name := range (names{}).with(without).lack(append(files, volumes...)) {
		l, err := f.listingOf(name, known)
		if err != nil {
			return m, err
		}
		m.Files = append(m.Files, l)
	}
	data, err := f.disk.ReadFile(f.path(failuresName))
	if err == nil {
		lines := bytes.Count(data, []byte("\n"))
		m.Files = append(m.Files, listing{File: failuresName, Rows: lines, SHA256: sum(firstLines(data, lines))})
	}
	m.sort()
	return m, unlessAbsent(err)
}

// listingOf is the line of a table's file or of a volume. It is read where nothing is known of it,
// and where its name does not say what is in it.
func (f *Folder) listingOf(name string, known manifest) (listing, error) {
	l, ok := known.find(name)
	field := path.Ext(name) == volume
	if ok && (promised(name) != "" || field) {
		return l, nil
	}
	if field {
		data, err := f.disk.ReadFile(f.path(name))
		return listing{File: name, SHA256: sum(data)}, err
	}
	rows, hash, err := f.file(name, nil)
	if err != nil {
		return l, err
	}
	return listing{File: name, Rows: rows.Len(), SHA256: hash}, nil
}

// firstLines are the first n lines of a text, all where it has fewer.
func firstLines(data []byte, n int) []byte {
	lines := bytes.SplitAfterN(data, []byte("\n"), n+1)
	return bytes.Join(lines[:min(n, len(lines))], nil)
}
