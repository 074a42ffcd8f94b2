package table

import (
	"encoding/json"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"onegrain/studies/disk"
	"onegrain/studies/disk/trial"
)

func TestManifestAndProvenance(t *testing.T) {
	dir, f := create(t)
	name := must[string](t)(f.Add(filled(t, "runs", 7)))
	if err := f.Seal(time.Unix(2000, 0).UTC()); err != nil {
		t.Fatal(err)
	}
	data := must[[]byte](t)(os.ReadFile(filepath.Join(dir, name)))
	m := must[manifest](t)(f.listed())
	if len(m.Files) != 1 || m.Files[0] != (listing{File: name, Rows: 7, SHA256: sum(data)}) {
		t.Errorf("manifest %+v", m)
	}
	p := session()
	p.Start, p.Shard = time.Unix(3000, 0).UTC(), ""
	must[*Folder](t)(Create(dir, []byte("title = \"b\"\n"), undrawn, p))
	var all sessions
	if err := json.Unmarshal(must[[]byte](t)(os.ReadFile(filepath.Join(dir, "provenance.json"))), &all); err != nil {
		t.Fatal(err)
	}
	if len(all.Sessions) != 2 || all.Sessions[0].End.Unix() != 2000 || !all.Sessions[1].End.IsZero() ||
		all.Sessions[0].StudySHA256 == all.Sessions[1].StudySHA256 {
		t.Errorf("sessions %+v", all.Sessions)
	}
	p.Shard = "2/3"
	must[*Folder](t)(Create(dir, []byte("title = \"b\"\n"), undrawn, p))
	if _, err := os.Stat(filepath.Join(dir, "provenance-2-of-3.json")); err != nil {
		t.Error(err)
	}
	if s := must[[]byte](t)(f.Study()); string(s) != "title = \"b\"\n" {
		t.Errorf("study %q", s)
	}
}

func TestFailuresAreLines(t *testing.T) {
	dir, f := create(t)
	for n := range 2 {
		if err := f.Fail(Failure{"a", n, map[string]any{"rate": 0.5}, "broken", "onegrain run"}); err != nil {
			t.Fatal(err)
		}
	}
	text := string(must[[]byte](t)(os.ReadFile(filepath.Join(dir, "failures.jsonl"))))
	want := `{"case_id":"a","replicate":1,"values":{"rate":0.5},"error":"broken","command":"onegrain run"}`
	if strings.Count(text, "\n") != 2 || !strings.Contains(text, want) {
		t.Errorf("failures:\n%s", text)
	}
}

// readCounter counts how often the failures are read.
type readCounter struct {
	disk.Disk
	n int
}

func (c *readCounter) ReadFile(path string) ([]byte, error) {
	if filepath.Base(path) == failuresName {
		c.n++
	}
	return c.Disk.ReadFile(path)
}

// A failure does not read those before it, unless somebody else has written there; a line that was
// cut off is ended first.
func TestFailuresAreReadOnce(t *testing.T) {
	d := &readCounter{Disk: trial.NewMemory()}
	f := must[*Folder](t)(Create("r", []byte("title = \"a\"\n"), undrawn, session(), d))
	fail := func(n int) {
		t.Helper()
		if err := f.Fail(Failure{Replicate: n}); err != nil {
			t.Fatal(err)
		}
	}
	for n := range 50 {
		fail(n)
	}
	if d.n > 1 {
		t.Errorf("read %d times for 50 failures", d.n)
	}
	other := must[disk.File](t)(d.Append("r/" + failuresName))
	if _, err := other.Write([]byte(`{"case_id":"cut`)); err != nil {
		t.Fatal(err)
	}
	fail(50)
	fail(51)
	lines := strings.Split(string(must[[]byte](t)(d.ReadFile("r/"+failuresName))), "\n")
	if len(lines) != 54 || lines[50] != `{"case_id":"cut` || !json.Valid([]byte(lines[51])) ||
		!json.Valid([]byte(lines[52])) {
		t.Errorf("%d lines, the last are %q", len(lines), lines[max(0, len(lines)-5):])
	}
}

// Whenever a command ends while it puts a table in place of another, the manifest proves the file
// that is there then.
func TestManifestProvesATableThatIsReplaced(t *testing.T) {
	m := trial.NewMemory()
	f := must[*Folder](t)(Create("r", []byte("title = \"a\"\n"), undrawn, session(), m))
	if err := f.Put(filled(t, "cases", 3)); err != nil {
		t.Fatal(err)
	}
	same := rand.New(rand.NewPCG(1, 1))
	for at, ended := 1, true; ended; at++ {
		d := m.PowerLoss(same) // all was synced: a copy
		cut := must[*Folder](t)(Open("r", &trial.Failing{Disk: d, Fail: func(n int, _, _ string) error {
			if n > at { // the first looks for the study
				return syscall.EIO
			}
			return nil
		}}))
		ended = cut.Put(filled(t, "cases", 4)) != nil
		rows, err := must[*Folder](t)(Open("r", d)).Table("cases")
		if err != nil || rows.Len() != 3 && rows.Len() != 4 {
			t.Fatalf("after %d operations: %v", at, err)
		}
	}
}
