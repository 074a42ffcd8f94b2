package main

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"onegrain/sim"
	"onegrain/studies"
)

// A folder of results may come from anybody: whatever is a link in it, no command ever writes
// behind it. The command puts its own file in the place of the link, or says what is in the way and
// ends with the code of storage.
func TestNothingIsWrittenThroughLinks(t *testing.T) {
	study := quickStudy(t, quick)
	more := quickStudy(t, strings.Replace(quick, "[1, 5]", "[1, 5, 7]", 1)) // brings new runs
	whole := filepath.Join(t.TempDir(), "r")
	if code, said := linked(t, []string{"run", study, "--out", whole}, ""); code != exitDone {
		t.Fatal(said)
	}
	run := []string{"run", more, "--out", "DIR"}
	for _, c := range []struct {
		names   string // of the links, to a file or, where it ends with a slash, to a folder of the user
		line    []string
		refuses bool // to take the place of the link
	}{
		{"report.html report-figures/programme.png report-figures/programme.svg", []string{"report", "DIR", "--no-pictures"},
			false},
		{"report-figures/", []string{"report", "DIR", "--no-pictures"}, true},
		{"quick-case-1-replicate-1-grains.png quick-case-1-replicate-1.vti", []string{"draw", study, "--out", "DIR", "--vti"},
			false},
		{"study.toml provenance.json manifest.json cases.parquet", run, false},
		{"failures.jsonl", []string{"run", "FAIL", "--out", "DIR"}, true},
		{"runs/", run, true}, {"grains/", run, true}, {"fields/", run, true}, {"runs/", []string{"merge", "DIR"}, true},
		{"submit/", []string{"submit", more, "--out", "DIR"}, true},
	} {
		dir, victims := filepath.Join(t.TempDir(), "r"), t.TempDir()
		if err := os.CopyFS(dir, os.DirFS(whole)); err != nil {
			t.Fatal(err)
		}
		for _, name := range append(strings.Fields(c.names), "report.html.unfinished") {
			putLink(t, dir, name, filepath.Join(victims, filepath.Base(name)))
		}
		before := everythingIn(t, victims)
		code, said := linked(t, c.line, dir)
		if after := everythingIn(t, victims); after != before {
			t.Errorf("%s: %v has written through it:\n%s\nwas\n%s", c.names, c.line[0], after, before)
		}
		if c.refuses && (code != exitStorage || !strings.Contains(said, "a file or a link of that name is in the way")) ||
			!c.refuses && code != exitDone {
			t.Errorf("%s: %v ends with %d: %s", c.names, c.line[0], code, said)
		}
		for _, name := range strings.Fields(c.names) {
			now, err := os.Lstat(filepath.Join(dir, name))
			if err != nil || (now.Mode()&os.ModeSymlink != 0) != c.refuses {
				t.Errorf("%s: after %v it is %v, %v", name, c.line[0], now, err)
			}
		}
	}
}

// putLink puts a link in the place of a file or folder of results, to a copy of it elsewhere.
func putLink(t *testing.T, dir, name, to string) {
	t.Helper()
	link := filepath.Join(dir, name)
	text, err := os.ReadFile(link)
	if strings.HasSuffix(name, "/") {
		if err = os.MkdirAll(to, 0o755); err == nil {
			if _, none := os.Stat(link); none == nil {
				err = os.CopyFS(to, os.DirFS(link))
			}
		}
	} else {
		if err != nil {
			text = []byte("precious")
		}
		err = os.WriteFile(to, text, 0o644)
	}
	if err != nil {
		t.Fatal(err)
	}
	for _, err := range []error{os.RemoveAll(link), os.MkdirAll(filepath.Dir(link), 0o755), os.Symlink(to, link)} {
		if err != nil {
			t.Fatal(err)
		}
	}
}

// linked gives a command on a folder.
func linked(t *testing.T, line []string, dir string) (code int, said string) {
	t.Helper()
	var told bytes.Buffer
	s := streams{out: &told, err: &told}
	var err error
	switch {
	case line[0] == "submit":
		r := submitting{s: s, to: &clerk{largest: 9, scripts: map[int]string{}}}
		r.Path, r.Results, r.CPUs = line[1], dir, 1
		err = r.submit()
	case line[1] == "FAIL":
		r := running{chance: 0.95, path: quickStudy(t, strings.Replace(quick, "[1, 5]", "[7]", 1)), dir: dir, s: s}
		r.Workers = 1
		r.Engine = func(*sim.Outcome, studies.Planned, int) *sim.Outcome { panic("a fault of this test") }
		err = r.run(t.Context())
	default:
		code = execute(strings.Split(strings.ReplaceAll(strings.Join(line, "\x00"), "DIR", dir), "\x00"), s)
		return code, told.String()
	}
	if err != nil {
		explain(s, err)
	}
	return codeOf(err), told.String()
}

// everythingIn is what lies in a folder.
func everythingIn(t *testing.T, dir string) string {
	t.Helper()
	var b strings.Builder
	err := filepath.WalkDir(dir, func(path string, e os.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		fmt.Fprintf(&b, "%s: %d bytes, %x\n", path, len(data), sha256.Sum256(data))
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return b.String()
}
