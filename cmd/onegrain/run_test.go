package main

import (
	"bytes"
	"context"
	"errors"
	"io/fs"
	"onegrain/studies/run"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestOptionsOfRun(t *testing.T) {
	for _, c := range []struct {
		shard   string
		workers int
		k, n    int
		want    string // part of the error
	}{
		{"", 1, 0, 0, ""}, {"2/5", 1, 2, 5, ""}, {"1/1", 4, 1, 1, ""},
		{"0/5", 1, 0, 0, `--shard "0/5"`}, {"6/5", 1, 0, 0, `--shard "6/5"`}, {"2", 1, 0, 0, `--shard "2"`},
		{"a/b", 1, 0, 0, `--shard "a/b"`},
		{"", 0, 0, 0, "--workers 0"},
	} {
		r := running{Runner: run.Runner{Workers: c.workers}, chance: 0.95, path: "a/b.toml", shard: c.shard}
		err := r.check()
		if c.want != "" {
			if err == nil || !strings.Contains(err.Error(), c.want) || codeOf(err) != exitUsage {
				t.Errorf("%+v: error %v: wanted %q", c, err, c.want)
			}
			continue
		}
		if err != nil || r.Shard != c.k || r.Shards != c.n || r.dir != filepath.Join("results", "b") {
			t.Errorf("%+v: %v, %d/%d into %s", c, err, r.Shard, r.Shards, r.dir)
		}
	}
}

func TestACommandLineCanBeGivenToAShellAgain(t *testing.T) {
	got := commandLine([]string{"/usr/bin/onegrain", "run", "my study.toml", "it's", "", "--out=a/b"})
	if want := `onegrain run 'my study.toml' 'it'\''s' '' --out=a/b`; got != want {
		t.Errorf("%s: wanted %s", got, want)
	}
}

// The ends of a study that no shipped study comes to: failures, storage, signals.
func TestHowAStudyEnds(t *testing.T) {
	full := &fs.PathError{Op: "write", Path: "runs", Err: errors.New("no space left")}
	for _, c := range []struct {
		name   string
		sum    run.Summary
		err    error
		signal int
		fast   bool
		code   int
		want   string
	}{
		{"storage", run.Summary{}, errors.Join(full), 0, false, exitStorage, "no space left"},
		{"storage and Ctrl-C", run.Summary{}, errors.Join(full), 2, false, exitStorage, "no space left"},
		{"Ctrl-C", run.Summary{Runs: 5}, context.Canceled, 2, false, 130, "stopped after 5 runs"},
		{"SIGTERM", run.Summary{Runs: 5}, context.Canceled, 15, false, 143, "the same command continues: onegrain"},
		{"stopped otherwise", run.Summary{}, context.Canceled, 0, false, exitStopped, "stopped after 0 runs"},
		{"first failure", run.Summary{Failed: 1}, nil, 0, true, exitStopped, "failures.jsonl"},
		{"no results", run.Summary{}, nil, 0, false, exitUsage, "no results here"},
	} {
		r := running{chance: 0.95, path: "a.toml", dir: filepath.Join(t.TempDir(), "none"),
			Runner: run.Runner{FailFast: c.fast}, s: streams{out: &bytes.Buffer{}, err: &bytes.Buffer{}}}
		err := r.end(c.sum, c.err, c.signal)
		if codeOf(err) != c.code || err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: exit code %d, %v: wanted %d, %q", c.name, codeOf(err), err, c.code, c.want)
		}
	}
}

func TestAStudyWithFailuresStillShowsItsTable(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "block.toml")
	if err := os.WriteFile(path, []byte(smallBlock), 0o644); err != nil {
		t.Fatal(err)
	}
	var out, told bytes.Buffer
	s := streams{out: &out, err: &told}
	if code := execute([]string{"run", path, "--out", filepath.Join(dir, "r")}, s); code != exitDone {
		t.Fatalf("exit code %d: %s", code, told.String())
	}
	table := out.String()
	out.Reset()
	r := running{chance: 0.95, path: path, dir: filepath.Join(dir, "r"), s: s}
	err := r.end(run.Summary{Failed: 2}, nil, 0)
	if codeOf(err) != exitSomeFailed || !strings.Contains(err.Error(),
		"2 runs failed: each line of "+filepath.Join(dir, "r", "failures.jsonl")) || out.String() != table {
		t.Errorf("exit code %d, %v, table\n%s", codeOf(err), err, out.String())
	}
}

// A shard with failures has no row of any case: that must not hide the failures.
func TestFailuresCountWithoutATable(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "study.toml"), []byte("title = \"a\"\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	r := running{chance: 0.95, path: "a.toml", dir: dir, shard: "1/2", Runner: run.Runner{Shard: 1, Shards: 2},
		s: streams{out: &bytes.Buffer{}, err: &bytes.Buffer{}}}
	if err := r.end(run.Summary{Failed: 1}, nil, 0); codeOf(err) != exitSomeFailed ||
		!strings.Contains(err.Error(), "1 run failed: ") {
		t.Errorf("exit code %d, %v", codeOf(err), err)
	}
	if err := r.end(run.Summary{}, nil, 0); err != nil {
		t.Errorf("a shard without cases: exit code %d, %v", codeOf(err), err)
	}
	r.Shards = 0
	if err := r.end(run.Summary{}, nil, 0); codeOf(err) != exitStopped {
		t.Errorf("no shard: exit code %d, %v", codeOf(err), err)
	}
}

func TestColoursOnlyForPeopleWhoWantThem(t *testing.T) {
	if coloured(&bytes.Buffer{}) || bold(&bytes.Buffer{}, "x") != "x" {
		t.Error("colours in a file")
	}
	screen, err := os.OpenFile("/dev/ptmx", os.O_RDWR, 0)
	if err != nil {
		t.Skipf("no terminal to be had: %v", err)
	}
	defer screen.Close()
	t.Setenv("NO_COLOR", "")
	t.Setenv("TERM", "xterm")
	if bold(screen, "x") != "\x1b[1mx\x1b[0m" {
		t.Error("no colours on a terminal")
	}
	t.Setenv("TERM", "dumb")
	if coloured(screen) {
		t.Error("colours on a dumb terminal")
	}
	t.Setenv("TERM", "xterm")
	t.Setenv("NO_COLOR", "1")
	if coloured(screen) {
		t.Error("colours in spite of NO_COLOR")
	}
}
