package table

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"
)

const (
	studyName    = "study.toml"
	manifestName = "manifest.json"
	failuresName = "failures.jsonl"
)

// Provenance tells of one session that wrote to a results folder. The only times of a folder are here.
type Provenance struct {
	Version      string    `json:"version"`         // of the program
	ModelVersion string    `json:"model_version"`   // of the physics
	StudySHA256  string    `json:"study_sha256"`    // of the study file; filled by Create
	GoVersion    string    `json:"go_version"`      // filled by Create
	Platform     string    `json:"platform"`        // filled by Create
	Command      string    `json:"command"`         // command line
	Shard        string    `json:"shard,omitempty"` // "K/N" where the session did a part of the study
	Start        time.Time `json:"start"`
	End          time.Time `json:"end,omitzero"` // zero while it works, or if it was killed
}

// sessions is the content of a provenance file.
type sessions struct {
	Sessions []Provenance `json:"sessions"`
}

// tell writes this session into the provenance file: a shard has a file of its own, since shards work at the same time.
func (f *Folder) tell() error {
	name := "provenance.json"
	var k, n int
	if _, err := fmt.Sscanf(f.told.Shard, "%d/%d", &k, &n); err == nil {
		name = fmt.Sprintf("provenance-%d-of-%d.json", k, n)
	}
	path := filepath.Join(f.dir, name)
	var all sessions
	data, err := os.ReadFile(path)
	switch {
	case err == nil:
		if err := json.Unmarshal(data, &all); err != nil {
			return &Corrupt{path, err.Error()}
		}
	case !errors.Is(err, fs.ErrNotExist):
		return err
	}
	mine := func(p Provenance) bool { return p.Start.Equal(f.told.Start) && p.Command == f.told.Command }
	if i := slices.IndexFunc(all.Sessions, mine); i >= 0 {
		all.Sessions[i] = f.told
	} else {
		all.Sessions = append(all.Sessions, f.told)
	}
	return publishJSON(path, all)
}

func publishJSON(path string, v any) error {
	data, err := json.MarshalIndent(v, "", "  ")
	if err != nil {
		return err
	}
	return publish(path, append(data, '\n'))
}

// Failure is a run that ended with an error.
type Failure struct {
	CaseID    string         `json:"case_id"`
	Replicate int            `json:"replicate"` // 0 where the case failed before any replicate
	Values    map[string]any `json:"values"`    // the varied values of the case
	Error     string         `json:"error"`
	Command   string         `json:"command"` // reproduces it
}

// Fail appends to failures.jsonl: one line, written at once, on the disk when it returns.
func (f *Folder) Fail(what Failure) (err error) {
	line, err := json.Marshal(what)
	if err != nil {
		return err
	}
	t, err := os.OpenFile(filepath.Join(f.dir, failuresName), os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o644)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, t.Close()) }()
	if _, err := t.Write(append(line, '\n')); err != nil {
		return err
	}
	return t.Sync()
}

// listing is a line of the manifest.
type listing struct {
	File   string `json:"file"`
	Rows   int    `json:"rows"`
	SHA256 string `json:"sha256"`
}

// Seal writes the manifest of every table file that is there and closes the session. A damaged file is a Corrupt error.
func (f *Folder) Seal(end time.Time) error {
	var all []listing
	for _, table := range names() {
		files, err := f.files(table)
		if err != nil {
			return err
		}
		for _, name := range files {
			one, hash, err := f.file(name, nil)
			if err != nil {
				return err
			}
			all = append(all, listing{name, one.Len(), hash})
		}
	}
	f.told.End = end
	if err := publishJSON(filepath.Join(f.dir, manifestName), manifest{all}); err != nil {
		return err
	}
	return f.tell()
}

// manifest is the content of manifest.json.
type manifest struct {
	Files []listing `json:"files"`
}

// listed is the manifest, empty if there is none yet. Files newer than the manifest are not in it.
func (f *Folder) listed() (m manifest, err error) {
	path := filepath.Join(f.dir, manifestName)
	data, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return m, nil
	}
	if err != nil {
		return m, err
	}
	if err := json.Unmarshal(data, &m); err != nil {
		return m, &Corrupt{path, err.Error()}
	}
	return m, nil
}

// hash is the SHA-256 a file should have.
func (m manifest) hash(file string) (string, bool) {
	i := slices.IndexFunc(m.Files, func(l listing) bool { return l.File == file })
	if i < 0 {
		return "", false
	}
	return m.Files[i].SHA256, true
}

// unlist takes a file out of the manifest before it is replaced, so that a kill in between leaves no false alarm.
func (f *Folder) unlist(file string) error {
	m, err := f.listed()
	if err != nil {
		return err
	}
	if _, ok := m.hash(file); !ok {
		return nil
	}
	m.Files = slices.DeleteFunc(m.Files, func(l listing) bool { return l.File == file })
	return publishJSON(filepath.Join(f.dir, manifestName), m)
}
