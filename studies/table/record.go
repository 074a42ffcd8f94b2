package table

import (
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"time"
)

const (
	studyName    = "study.toml"
	failuresName = "failures.jsonl"

	provenanceName = "provenance.json"
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
	Check    string       `json:"sha256,omitempty"`
}

// isProvenance tells whether a name is that of a provenance file.
func isProvenance(name string) bool {
	return strings.HasPrefix(name, "provenance") && strings.HasSuffix(name, ".json")
}

// tell writes this session into the provenance file: a shard has a file of its own, since shards work at the same time.
func (f *Folder) tell() error {
	name := provenanceName
	var k, n int
	if _, err := fmt.Sscanf(f.told.Shard, "%d/%d", &k, &n); err == nil {
		name = fmt.Sprintf("provenance-%d-of-%d.json", k, n)
	}
	return f.enter(name, f.told)
}

// enter writes sessions into a provenance file.
func (f *Folder) enter(name string, told ...Provenance) error {
	all, err := f.sessions(name)
	if err != nil {
		return err
	}
	for _, p := range told {
		same := func(q Provenance) bool { return q.Start.Equal(p.Start) && q.Command == p.Command }
		if i := slices.IndexFunc(all.Sessions, same); i >= 0 {
			all.Sessions[i] = p
		} else {
			all.Sessions = append(all.Sessions, p)
		}
	}
	return f.publishRecord(name, all)
}

// sessions are those of a provenance file, none if it is not there.
func (f *Folder) sessions(name string) (all sessions, err error) {
	data, err := f.disk.ReadFile(f.path(name))
	if errors.Is(err, fs.ErrNotExist) {
		return all, nil
	}
	if err != nil {
		return all, err
	}
	if err := readRecord(data, &all); err != nil {
		return all, &Corrupt{File: f.path(name), Why: err.Error(), Next: "move it away; it tells who wrote the results and when, which nothing else depends on"}
	}
	return all, nil
}

// Failure is a run that ended with an error.
type Failure struct {
	CaseID    string         `json:"case_id"`
	Replicate int            `json:"replicate"` // 0 where the case failed before any replicate
	Values    map[string]any `json:"values"`    // the varied values of the case
	Error     string         `json:"error"`
	Command   string         `json:"command"` // reproduces it
}

// Fail appends to failures.jsonl: one line, written at once, on the disk when it returns. A line that an earlier command could not
// finish is ended first.
func (f *Folder) Fail(what Failure) (err error) {
	if err := f.held(); err != nil {
		return err
	}
	line, err := json.Marshal(what)
	if err != nil {
		return err
	}
	line = append(line, '\n')
	old, err := f.disk.ReadFile(f.path(failuresName))
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if len(old) > 0 && old[len(old)-1] != '\n' {
		line = append([]byte{'\n'}, line...)
	}
	t, err := f.disk.Append(f.path(failuresName))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, t.Close(), f.disk.SyncFolder(f.dir)) }()
	if _, err := t.Write(line); err != nil {
		return err
	}
	return t.Sync()
}
