package main

import (
	"bytes"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"onegrain/studies/disk/trial"
	"onegrain/studies/table"
)

// binary is the program itself, built as `make build` does; in the short form the test binary,
// which is the same code.
func binary(t *testing.T) string {
	t.Helper()
	if trial.Amount(1, 0, 0) == 1 {
		path, err := exec.LookPath("onegrain")
		if err != nil {
			t.Fatal(err)
		}
		return path
	}
	path := filepath.Join(t.TempDir(), "onegrain")
	if text, err := exec.Command("go", "build", "-trimpath", "-o", path, ".").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return path
}

// many is a study whose runs fill several parts.
func many() string {
	text := strings.Replace(quick, "replicates = 3", "replicates = 300", 1)
	return text[:strings.Index(text, "[keep]")]
}

// program runs the program and tells its exit code, 128 and the signal where one ended it.
type program struct{ path string }

func (p program) run(args ...string) (code int, said string) {
	c := exec.Command(p.path, args...)
	var told bytes.Buffer
	c.Stderr = &told
	return exitCode(c.Run()), told.String()
}

func exitCode(err error) int {
	var e *exec.ExitError
	if errors.As(err, &e) {
		if status, ok := e.Sys().(syscall.WaitStatus); ok && status.Signaled() {
			return exitSignal + int(status.Signal())
		}
		return e.ExitCode()
	}
	if err != nil {
		return -1
	}
	return exitDone
}

// killed starts a command and kills it after some time, unless it has ended by then.
func (p program) killed(after time.Duration, args ...string) error {
	c := exec.Command(p.path, args...)
	if err := c.Start(); err != nil {
		return err
	}
	time.Sleep(after)
	if err := c.Process.Kill(); err != nil && !errors.Is(err, os.ErrProcessDone) {
		return err
	}
	if code := exitCode(c.Wait()); code != exitSignal+int(syscall.SIGKILL) && code != exitDone {
		return fmt.Errorf("%v ended with %d before it was killed", args, code)
	}
	return nil
}

// undisturbed is the hash of a study's results that nothing has happened to, and how long the
// command took.
func (p program) undisturbed(t *testing.T, study string) (hash string, took time.Duration) {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "whole")
	start := time.Now()
	if code, said := p.run("run", study, "--out", dir, "--workers", "1"); code != exitDone {
		t.Fatalf("exit code %d: %s", code, said)
	}
	took = time.Since(start)
	return contentOf(t, dir), took
}

func contentOf(t *testing.T, dir string) string {
	t.Helper()
	f, err := table.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	hash, err := f.ContentHash()
	if err != nil {
		t.Fatal(err)
	}
	return hash
}

// inPairs calls play with 0 … n-1, two at a time, until one fails.
func inPairs(t *testing.T, n int, play func(i int) error) {
	t.Helper()
	var next atomic.Int64
	var group sync.WaitGroup
	for range 2 {
		group.Go(func() {
			for i := int(next.Add(1)) - 1; i < n && !t.Failed(); i = int(next.Add(1)) - 1 {
				if err := play(i); err != nil {
					t.Errorf("%d: %v", i, err)
				}
				if trial.Stage(i, n) {
					t.Logf("%d of %d", i, n)
				}
			}
		})
	}
	group.Wait()
}

// TestKill kills the program, without warning and at any moment, while it runs or merges; the same
// command then finishes, and nothing that was on the disk is run again.
func TestKill(t *testing.T) {
	p := program{binary(t)}
	study := quickStudy(t, many())
	hash, took := p.undisturbed(t, study)
	n, root := trial.Amount(2, 300, 5000), t.TempDir()
	var kills, wasted atomic.Int64
	inPairs(t, n, func(i int) error {
		r := rand.New(rand.NewPCG(uint64(i), 47))
		dir := filepath.Join(root, strconv.Itoa(i))
		defer os.RemoveAll(dir)
		run := []string{"run", study, "--out", dir, "--workers", "2"}
		command := run
		if r.IntN(5) == 0 { // in the middle of a merge
			for k := range 3 {
				if code, said := p.run(append(run[:len(run):len(run)], "--shard", fmt.Sprintf("%d/3", k+1))...); code != exitDone {
					return fmt.Errorf("shard: exit code %d: %s", code, said)
				}
			}
			command = []string{"merge", dir}
		}
		if err := p.killed(time.Duration(r.Float64()*float64(took)), command...); err != nil {
			return err
		}
		kills.Add(1)
		kept, err := finishedRuns(dir)
		if err != nil {
			return fmt.Errorf("after the kill: %w", err)
		}
		if kept == 0 {
			wasted.Add(1)
		}
		return p.finish(run, dir, kept, hash)
	})
	t.Logf("%d kills; %d of them came before anything was finished", kills.Load(), wasted.Load())
}

// finishedRuns counts the runs in a results folder that need not be done again.
func finishedRuns(dir string) (int, error) {
	f, err := table.Open(dir)
	if errors.Is(err, os.ErrNotExist) {
		return 0, nil
	}
	if err != nil {
		return 0, err
	}
	done, err := f.Done()
	if err != nil {
		return 0, err
	}
	return done.Len(), nil
}

// finish gives the same command again, then merges and audits, and looks at the content.
func (p program) finish(run []string, dir string, kept int, hash string) error {
	code, said := p.run(run...)
	before := regexp.MustCompile(`(\d+) runs? done, (\d+) done before`).FindStringSubmatch(said)
	if code != exitDone || before == nil || before[2] != strconv.Itoa(kept) {
		return fmt.Errorf("%d runs were finished; exit code %d: %s", kept, code, said)
	}
	for _, command := range [][]string{{"merge", dir}, {"audit", dir}} {
		if code, said := p.run(command...); code != exitDone {
			return fmt.Errorf("%v: exit code %d: %s", command, code, said)
		}
	}
	f, err := table.Open(dir)
	if err != nil {
		return err
	}
	got, err := f.ContentHash()
	if err != nil || got != hash {
		return fmt.Errorf("content %s (%v), wanted %s", got, err, hash)
	}
	return nil
}

// TestEveryShardTwice runs every shard of a study twice, in any order, by 2 to 8 programs at the
// same time, while others merge.
func TestEveryShardTwice(t *testing.T) {
	p := program{binary(t)}
	text := strings.Replace(many(), "values = [1, 5]", "values = [1, 2, 3, 4, 5]", 1)
	study := quickStudy(t, strings.Replace(text, "replicates = 300", "replicates = 20", 1))
	hash, _ := p.undisturbed(t, study)
	n, root := trial.Amount(1, 50, 1000), t.TempDir()
	commands := 0
	for i := range n {
		if trial.Stage(i, n) {
			t.Logf("%d of %d", i, n)
		}
		r := rand.New(rand.NewPCG(uint64(i), 53))
		dir := filepath.Join(root, strconv.Itoa(i))
		shards, programs := 2+r.IntN(5), 2+r.IntN(7)
		var queue [][]string
		for k := range 2 * shards {
			queue = append(queue, []string{"run", study, "--out", dir, "--workers", "1", "--shard",
				fmt.Sprintf("%d/%d", 1+k%shards, shards)})
		}
		r.Shuffle(len(queue), func(i, j int) { queue[i], queue[j] = queue[j], queue[i] })
		for range r.IntN(3) {
			at := 1 + r.IntN(len(queue))
			queue = append(queue[:at], append([][]string{{"merge", dir}}, queue[at:]...)...)
		}
		commands += len(queue)
		if err := p.together(queue, programs); err != nil {
			t.Fatalf("study %d, %d shards by %d programs: %v", i, shards, programs, err)
		}
		for _, command := range [][]string{{"merge", dir}, {"audit", dir}} {
			if code, said := p.run(command...); code != exitDone {
				t.Fatalf("study %d: %v: exit code %d: %s", i, command, code, said)
			}
		}
		if got := contentOf(t, dir); got != hash {
			t.Fatalf("study %d, %d shards by %d programs: content %s, wanted %s", i, shards, programs, got, hash)
		}
		os.RemoveAll(dir)
	}
	t.Logf("%d studies, %d commands", n, commands)
}

// together works through commands with some programs at the same time. A merge may come before
// there are results.
func (p program) together(queue [][]string, programs int) error {
	var next atomic.Int64
	var group sync.WaitGroup
	failed := make(chan error, len(queue))
	for range programs {
		group.Go(func() {
			for i := int(next.Add(1)) - 1; i < len(queue); i = int(next.Add(1)) - 1 {
				code, said := p.run(queue[i]...)
				if early := queue[i][0] == "merge" && code == exitUsage &&
					strings.Contains(said, "no results here"); code != exitDone && !early {
					failed <- fmt.Errorf("%v: exit code %d: %s", queue[i], code, said)
				}
			}
		})
	}
	group.Wait()
	close(failed)
	return <-failed
}
