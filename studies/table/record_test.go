package table

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
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
	if len(all.Sessions) != 2 || all.Sessions[0].End.Unix() != 2000 || !all.Sessions[1].End.IsZero() || all.Sessions[0].StudySHA256 == all.Sessions[1].StudySHA256 {
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
	if want := `{"case_id":"a","replicate":1,"values":{"rate":0.5},"error":"broken","command":"onegrain run"}`; strings.Count(text, "\n") != 2 || !strings.Contains(text, want) {
		t.Errorf("failures:\n%s", text)
	}
}
