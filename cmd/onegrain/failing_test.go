package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"onegrain/sim"
	"onegrain/studies"
	"onegrain/studies/run"
)

// A run that panics is a row and a line of failures.jsonl; the others go on, or with --fail-fast
// nothing does. The same command, once the fault is mended, does what is missing and ends well.
func TestARunThatPanics(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "block.toml")
	if err := os.WriteFile(path, []byte(strings.Replace(smallBlock, "seed = 3", "seed = 3\nreplicates = 6", 1)),
		0o644); err != nil {
		t.Fatal(err)
	}
	faulty := func(seeded *sim.Outcome, p studies.Planned, replicate int) *sim.Outcome {
		if replicate == 2 {
			panic("a fault of this test")
		}
		return seeded.Strays(p.Key(replicate))
	}
	for _, c := range []struct {
		name   string
		fast   bool
		engine func(*sim.Outcome, studies.Planned, int) *sim.Outcome
		code   int
		told   string
	}{
		{"slow", false, faulty, exitSomeFailed, "1 run failed: each line of"},
		{"slow", false, nil, exitDone, ""},
		{"fast", true, faulty, exitStopped, "stopped at the first failure"},
		{"fast", true, nil, exitDone, ""},
	} {
		var out, told bytes.Buffer
		r := running{chance: 0.95, path: path, dir: filepath.Join(dir, c.name),
			Runner: run.Runner{Workers: 2, FailFast: c.fast, Engine: c.engine}, s: streams{out: &out, err: &told}}
		err := r.run(context.Background())
		if codeOf(err) != c.code || c.told != "" && !strings.Contains(err.Error(), c.told) {
			t.Errorf("%+v: exit code %d, %v\n%s", c, codeOf(err), err, told.String())
		}
	}
	text, err := os.ReadFile(filepath.Join(dir, "slow", "failures.jsonl"))
	if err != nil || !strings.Contains(string(text), "a fault of this test") ||
		!strings.Contains(string(text), `--replicate 2"`) {
		t.Errorf("failures.jsonl (%v): %s", err, text)
	}
}
