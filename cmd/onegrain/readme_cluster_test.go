package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// The scripts of README.md for other schedulers must do every shard once, by the shell's own
// arithmetic.
func TestTheReadmesShardsMakeTheWhole(t *testing.T) {
	text := manual(t)
	yaml, pbs := blocks(text, "yaml"), blocks(text, "pbs")
	if len(yaml) != 1 || len(pbs) != 1 {
		t.Fatalf("%d jobs for Kubernetes and %d for PBS in README.md, wanted 1 each", len(yaml), len(pbs))
	}
	command := regexp.MustCompile(`(?m)^\s+args: \["(.*)"\]$`).FindStringSubmatch(yaml[0])
	if command == nil {
		t.Fatalf("no command in\n%s", yaml[0])
	}
	for _, c := range []struct {
		what, script, variable string
		first                  int // index
		count                  string
	}{
		{"Kubernetes", command[1], "JOB_COMPLETION_INDEX", 0, field(t, yaml[0], `completions: (\d+)`)},
		{"PBS", pbs[0], "PBS_ARRAY_INDEX", 1, field(t, pbs[0], `#PBS -J 1-(\d+)`)},
	} {
		var n int
		fmt.Sscan(c.count, &n)
		var done, off []string
		for i := range n {
			done = append(done, shardOf(t, c.script, fmt.Sprintf("%s=%d", c.variable, c.first+i)))
			off = append(off, shardOf(t, c.script, fmt.Sprintf("%s=%d", c.variable, 1-c.first+i)))
		}
		var want []string
		for k := range n {
			want = append(want, fmt.Sprintf("%d/%d", k+1, n))
		}
		if !slices.Equal(done, want) {
			t.Errorf("%s: shards %v, wanted %v", c.what, done, want)
		}
		if slices.Equal(off, want) {
			t.Errorf("%s: canary: an index that begins elsewhere passes", c.what)
		}
	}
}

func field(t *testing.T, text, pattern string) string {
	t.Helper()
	found := regexp.MustCompile(pattern).FindStringSubmatch(text)
	if found == nil {
		t.Fatalf("no %s in\n%s", pattern, text)
	}
	return found[1]
}

// shardOf is what a script gives `onegrain run` as its --shard.
func shardOf(t *testing.T, script, variable string) string {
	t.Helper()
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "onegrain"), []byte("#!/bin/sh\nwhile [ $# -gt 0 ]; do [ \"$1\" = "+
		"--shard ] && echo \"$2\"; shift; done\n"), 0o755); err != nil {
		t.Fatal(err)
	}
	c := exec.Command("/bin/sh")
	c.Stdin, c.Env = strings.NewReader(script), []string{variable, "PATH=" + dir + ":" + os.Getenv("PATH"),
		"PBS_O_WORKDIR=" + dir}
	told, err := c.CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, told)
	}
	return strings.TrimSpace(string(told))
}
