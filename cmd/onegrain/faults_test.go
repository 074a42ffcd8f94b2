package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"onegrain/studies/disk/trial"
	"onegrain/studies/table"
)

// quick is a study that runs in milliseconds and writes every kind of file.
const quick = `
title = "Quick"
[random]
seed = 7
replicates = 3
[material]
base = "Y123, air"
[body]
shape = "disc"
plane = "ab"
thickness_mm = 1
diameter_mm = 9
cell_mm = 1
[[seed]]
size_mm = [2, 2]
peritectic_C = 1060
[schedule]
start_C = 1030
[[schedule.stage]]
hold_h = 1
[[schedule.stage]]
to_undercooling_K = 4
rate_K_per_h = 20
[[schedule.stage]]
to_undercooling_K = 30
rate_K_per_h = 1
[[vary]]
key = "schedule.stage.3.rate_K_per_h"
name = "cooling_rate_K_per_h"
values = [1, 5]
[keep]
history = true
fields = "first"
`

// quickStudy is the path of a study file.
func quickStudy(t *testing.T, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "quick.toml")
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// on runs a command whose results lie on a disk, and tells its exit code and what it said.
func on(d *trial.Failing, args ...string) (code int, said string) {
	var told bytes.Buffer
	code = execute(args, streams{out: io.Discard, err: &told, disk: d})
	return code, told.String()
}

func failing(m *trial.Memory, fail func(n int, op, path string) error) *trial.Failing {
	return &trial.Failing{Disk: m, Fail: fail}
}

func never(int, string, string) error { return nil }

func contentOn(m *trial.Memory) (string, error) {
	f, err := table.Open("out/r", m)
	if err != nil {
		return "", err
	}
	return f.ContentHash()
}

// fault is what a disk may answer.
type fault struct {
	name string
	err  error
}

func faults() []fault {
	return []fault{
		{"ENOSPC", syscall.ENOSPC}, {"EDQUOT", syscall.EDQUOT}, {"EIO", syscall.EIO}, {"EACCES", syscall.EACCES},
		{"EROFS", syscall.EROFS}, {"short write", trial.ErrShort},
	}
}

// trouble is one operation of one command that fails once.
type trouble struct {
	before  *trial.Memory // the disk as the command finds it
	line    []string
	at      int // number of the operation
	fault   fault
	op, dir string // what it does, and the folder or file that it does it to
}

// troubles are all of a command: every operation on the disk, every way to fail.
func troubles(t *testing.T, before *trial.Memory, line []string) (all []trouble) {
	t.Helper()
	var ops [][2]string
	d := failing(copied(before), func(_ int, op, path string) error {
		ops = append(ops, [2]string{op, path})
		return nil
	})
	if code, said := on(d, line...); code != exitDone {
		t.Fatalf("%v: exit code %d: %s", line, code, said)
	}
	for _, f := range faults() {
		for i, op := range ops {
			if f.err != trial.ErrShort || op[0] == "write" {
				all = append(all, trouble{before, line, i + 1, f, op[0], op[1]})
			}
		}
	}
	return all
}

// copied is a copy of a disk on which everything is synced.
func copied(m *trial.Memory) *trial.Memory { return m.PowerLoss(rand.New(rand.NewPCG(1, 1))) }

// TestEveryOperationFailsOnce lets every operation on the disk, of every command, fail once in
// every way. The command then either does without it or ends with the code of storage and says what
// failed; nothing is lost, and the same command finishes.
func TestEveryOperationFailsOnce(t *testing.T) {
	study := quickStudy(t, quick)
	run := []string{"run", study, "--out", "out/r", "--workers", "1"}
	shard := func(k string) []string { return append(run[:len(run):len(run)], "--shard", k) }
	whole, parts := trial.NewMemory(), trial.NewMemory()
	all := troubles(t, copied(whole), run)
	for _, c := range []struct {
		m    *trial.Memory
		line []string
	}{{whole, run}, {parts, shard("1/2")}} {
		if code, said := on(failing(c.m, never), c.line...); code != exitDone {
			t.Fatalf("%v: exit code %d: %s", c.line, code, said)
		}
	}
	all = append(all, troubles(t, copied(parts), shard("2/2"))...)
	if code, said := on(failing(parts, never), shard("2/2")...); code != exitDone {
		t.Fatalf("exit code %d: %s", code, said)
	}
	for _, line := range [][]string{{"merge", "out/r"}, {"audit", "out/r"}, {"show", "out/r"}, run} {
		all = append(all, troubles(t, copied(parts), line)...)
	}
	hash, err := contentOn(whole)
	if err != nil {
		t.Fatal(err)
	}
	step := trial.Amount(97, 1, 1)
	inPairs(t, len(all)/step, func(i int) error {
		c := all[i*step]
		if err := c.play(hash); err != nil {
			return fmt.Errorf("%v, operation %d, %s of %s, %s: %w", c.line, c.at, c.op, c.dir, c.fault.name, err)
		}
		return nil
	})
	t.Logf("%d of %d failures of an operation", len(all)/step, len(all))
}

// play gives the command on a disk that fails, and again on one that does not.
func (c trouble) play(hash string) error {
	m := copied(c.before)
	d := failing(m, func(n int, _, _ string) error {
		if n == c.at {
			return c.fault.err
		}
		return nil
	})
	code, said := on(d, c.line...)
	where := fmt.Sprintf("exit code %d: %s", code, said)
	if code != exitDone && code != exitStorage {
		return errors.New(where)
	}
	if code == exitStorage && !(strings.Contains(said, filepath.Dir(c.dir)) &&
		strings.Contains(said, "what was finished is kept, and the same command continues")) {
		return fmt.Errorf("does not say what to do: %s", where)
	}
	for _, line := range [][]string{c.line, {"audit", "out/r"}} {
		if code, again := on(failing(m, never), line...); code != exitDone {
			return fmt.Errorf("%v after %s ends with %d: %s", line, where, code, again)
		}
	}
	if got, err := contentOn(m); err != nil || got != hash {
		return fmt.Errorf("content %s (%w), wanted %s after %s", got, err, hash, where)
	}
	return nil
}

// Canary: a disk that loses a write without a word is found out by audit.
func TestALostWriteIsFoundOut(t *testing.T) {
	study := quickStudy(t, quick)
	m := trial.NewMemory()
	if code, said := on(failing(m, never), "run", study, "--out", "out/r"); code != exitDone {
		t.Fatalf("exit code %d: %s", code, said)
	}
	list, err := m.ReadDir("out/r/grains")
	if err != nil || len(list) == 0 {
		t.Fatal(err)
	}
	if err := m.Remove("out/r/grains/" + list[0].Name()); err != nil {
		t.Fatal(err)
	}
	if code, said := on(failing(m, never), "audit", "out/r"); code != exitCorrupt {
		t.Errorf("exit code %d: %s", code, said)
	}
}
