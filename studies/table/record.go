package table

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"
	"time"

	"onegrain/studies/disk"
)

const (
	studyName      = "study.toml"
	failuresName   = "failures.jsonl"
	provenanceName = "provenance.json"
)

// A record is JSON that ends with the hash of all that stands before, so that no bit of it can turn
// over unnoticed.
const (
	recordCheck = ",\n  \"sha256\": \""
	recordEnd   = "\n}"
)

// recordOf is a record as it is written.
func recordOf(v any) ([]byte, error) {
	data, err := json.MarshalIndent(v, "", "  ")
	body := bytes.TrimSuffix(data, []byte(recordEnd))
	return append(body, checkOf(body)...), err
}

func checkOf(body []byte) string { return recordCheck + sum(body) + "\"" + recordEnd + "\n" }

func (f *Folder) publishRecord(name string, v any) error {
	data, err := recordOf(v)
	if err == nil {
		err = f.publish(name, data)
	}
	return err
}

// readRecord reads a record and proves it. Of one that is damaged nothing is to be used; next says
// what to do then.
func (f *Folder) readRecord(name string, v any, next string) error {
	data, err := f.disk.ReadFile(f.path(name))
	if err != nil {
		return err
	}
	at := bytes.LastIndex(data, []byte(recordCheck))
	switch {
	case at < 0:
		err = errors.New("there is no SHA-256 at its end")
	case string(data[at:]) != checkOf(data[:at]):
		err = errors.New("its text does not fit the SHA-256 at its end")
	default:
		d := json.NewDecoder(bytes.NewReader(append(data[:at:at], recordEnd...)))
		d.DisallowUnknownFields()
		err = d.Decode(v)
	}
	if err != nil {
		return &Corrupt{File: f.path(name), Why: err.Error(), Next: next}
	}
	return nil
}

// unlessAbsent is an error but for that of a file that is not there.
func unlessAbsent(err error) error {
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	return err
}

// Provenance is one session that wrote to a results folder. The only times of a folder are here.
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

// isProvenance says whether a name is that of a provenance file.
func isProvenance(name string) bool {
	return strings.HasPrefix(name, "provenance") && strings.HasSuffix(name, ".json")
}

// provenances are the provenance files.
func (f *Folder) provenances() ([]string, error) {
	records, err := f.within(".", ".json")
	return slices.DeleteFunc(records, func(name string) bool { return !isProvenance(path.Base(name)) }), err
}

// writeSession writes this session into the provenance file: a shard has a file of its own, since
// shards work at the same time.
func (f *Folder) writeSession() error {
	name := provenanceName
	var k, n int
	if _, err := fmt.Sscanf(f.session.Shard, "%d/%d", &k, &n); err == nil {
		name = fmt.Sprintf("provenance-%d-of-%d.json", k, n)
	}
	return f.addSessions(name, f.session)
}

// addSessions writes sessions into a provenance file.
func (f *Folder) addSessions(name string, more ...Provenance) error {
	all, err := f.sessions(name)
	if err != nil {
		return err
	}
	for _, p := range more {
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
	err = f.readRecord(name, &all,
		"move it away; it says who wrote the results and when, and nothing else depends on it")
	if err != nil {
		return sessions{}, unlessAbsent(err)
	}
	return all, nil
}

// Sessions are all that have written to the folder, in the order of time.
func (f *Folder) Sessions() (all []Provenance, err error) {
	list, err := f.provenances()
	for _, name := range list {
		one, err := f.sessions(name)
		if err != nil {
			return nil, err
		}
		all = append(all, one.Sessions...)
	}
	slices.SortStableFunc(all, func(a, b Provenance) int { return a.Start.Compare(b.Start) })
	return all, err
}

// Failure is a run that ended with an error.
type Failure struct {
	CaseID    string         `json:"case_id"`
	Replicate int            `json:"replicate"` // 0 where the case failed before any replicate
	Values    map[string]any `json:"values"`    // the varied values of the case
	Error     string         `json:"error"`     // of a panic with the stack
	Command   string         `json:"command"`   // reproduces it
}

// Fail appends to failures.jsonl: one line, written at once, on the disk when it returns. A line
// that an earlier command could not finish is ended first. Safe for concurrent use.
func (f *Folder) Fail(what Failure) (err error) {
	if err := f.held(); err != nil {
		return err
	}
	line, err := json.Marshal(what)
	if err != nil {
		return err
	}
	line = append(line, '\n')
	f.failuresLock.Lock()
	defer f.failuresLock.Unlock()
	size, err := f.failuresEnd()
	if err != nil {
		return err
	}
	if size < 0 {
		line = append([]byte{'\n'}, line...)
	}
	t, err := f.disk.Append(f.path(failuresName))
	if err != nil {
		return err
	}
	err = errors.Join(disk.InOrder(func() error { return disk.Bytes(line)(t) }, t.Sync), t.Close())
	if f.failuresSize == 0 { // the file may be new
		err = errors.Join(err, f.disk.SyncFolder(f.dir))
	}
	if f.failuresSize = 0; err == nil {
		f.failuresSize = max(size, -size) + int64(len(line))
	}
	return err
}

// failuresEnd is the size of failures.jsonl, below 0 where its last line is not ended. It is read
// once, and again only where others have written to it since: their last line may be cut off.
func (f *Folder) failuresEnd() (int64, error) {
	info, err := f.disk.Stat(f.path(failuresName))
	if err != nil {
		f.failuresSize = 0
		return 0, unlessAbsent(err)
	}
	if f.failuresSize > 0 && info.Size() == f.failuresSize {
		return f.failuresSize, nil
	}
	data, err := f.disk.ReadFile(f.path(failuresName))
	size := int64(len(data))
	if size > 0 && data[size-1] != '\n' {
		size = -size
	}
	return size, err
}
