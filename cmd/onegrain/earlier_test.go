package main

import (
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"onegrain/studies/disk/trial"
	"onegrain/studies/table"
)

// starts gives two commands for the same new folder at the same time.
func (p program) starts(a, b string, apart time.Duration, dir string) (codes [2]int, said [2]string) {
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		codes[0], said[0] = p.run("run", a, "--out", dir, "--workers", "1")
	}()
	time.Sleep(apart)
	codes[1], said[1] = p.run("run", b, "--out", dir, "--workers", "1")
	<-ended
	return codes, said
}

// TestTwoStarts: two seeds in the same new folder at the same time. One of them gets it and ends as
// if it were alone; the other is told what the folder holds.
func TestTwoStarts(t *testing.T) {
	p, root := program{binary(t)}, t.TempDir()
	var paths, hashes [2]string
	for i, seed := range []string{"7", "8"} {
		paths[i] = quickStudy(t, strings.Replace(quick, "seed = 7", "seed = "+seed, 1))
		hashes[i], _ = p.undisturbed(t, paths[i])
	}
	n, won := trial.Amount(10, 100, 1000), [2]int{}
	for i := range n {
		dir := filepath.Join(root, strconv.Itoa(i))
		codes, said := p.starts(paths[i%2], paths[1-i%2], 0, dir)
		winner := 0
		if codes[0] != exitDone {
			winner = 1
		}
		if codes[winner] != exitDone || codes[1-winner] != exitUsage ||
			!strings.Contains(said[1-winner], dir+" holds runs drawn with random.seed = ") {
			t.Fatalf("pair %d: exit codes %v\n%s", i, codes, said)
		}
		if got := contentOf(t, dir); got != hashes[(winner+i)%2] {
			t.Fatalf("pair %d: content %s, wanted %v of %d", i, got, hashes, winner)
		}
		if code, told := p.run("audit", dir); code != exitDone {
			t.Fatalf("pair %d: audit ends with %d: %s", i, code, told)
		}
		won[(winner+i)%2]++
		os.RemoveAll(dir)
	}
	t.Logf("%d pairs, won by %v", n, won)
}

// TestTwoStartsOfTwoVersions: the study is changed while a command is at work, or begins. One
// version has the folder in the end and all of it; of the other there is nothing left in it, and
// its command has said so, unless it had ended before.
func TestTwoStartsOfTwoVersions(t *testing.T) {
	p, root := program{binary(t)}, t.TempDir()
	long := strings.Replace(quick, "replicates = 3", "replicates = 40", 1)
	paths := [2]string{quickStudy(t, long), quickStudy(t, strings.Replace(long, "cell_mm = 1\n", "cell_mm = 0.9\n", 1))}
	hashes, took := map[string]string{}, time.Duration(0)
	for _, path := range paths {
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		hashes[string(text)], took = p.undisturbed(t, path)
	}
	n, refused, both := trial.Amount(6, 60, 1000), 0, 0
	for i := range n {
		dir := filepath.Join(root, strconv.Itoa(i))
		r := rand.New(rand.NewPCG(uint64(i), 59))
		codes, said := p.starts(paths[0], paths[1], time.Duration(r.IntN(2)*r.IntN(int(took))), dir)
		holds := versionOf(t, dir)
		holder := 0
		if text, _ := os.ReadFile(paths[1]); string(text) == holds.Study {
			holder = 1
		}
		switch other := 1 - holder; {
		case codes[holder] != exitDone:
			t.Fatalf("pair %d, held by %d: exit codes %v\n%s", i, holder, codes, said)
		case codes[other] == exitDone:
			both++
		case codes[other] == exitUsage && strings.Contains(said[other], dir+" was taken for another version of the study"):
			refused++
		default:
			t.Fatalf("pair %d, held by %d: exit codes %v\n%s", i, holder, codes, said)
		}
		if got := contentOf(t, dir); got != hashes[holds.Study] {
			t.Fatalf("pair %d: content %s, wanted %s\n%s", i, got, hashes[holds.Study], said)
		}
		p.allSound(t, dir)
		os.RemoveAll(dir)
	}
	t.Logf("%d pairs, in %d of them one was refused, in %d it had ended before", n, refused, both)
}

func versionOf(t *testing.T, dir string) table.Version {
	t.Helper()
	f, err := table.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	v, err := f.Version()
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// allSound audits a results folder and what it holds of earlier versions, whose folders it tells.
func (p program) allSound(t *testing.T, dir string) (earlier []string) {
	t.Helper()
	earlier, err := filepath.Glob(filepath.Join(dir, "earlier", "*"))
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range append([]string{dir}, earlier...) {
		if code, said := p.run("audit", d); code != exitDone {
			t.Fatalf("audit of %s ends with %d: %s", d, code, said)
		}
	}
	return earlier
}

// TestKillDuringAMove kills the command that moves an earlier version of the study out of the
// folder, at any moment: the same command then finishes, the folder holds its study and nothing
// else, and of the earlier one nothing is lost.
func TestKillDuringAMove(t *testing.T) {
	p, root := program{binary(t)}, t.TempDir()
	before := quickStudy(t, many())
	// one case is of both, its runs in parts with others
	after := quickStudy(t, strings.Replace(many(), "values = [1, 5]", "values = [1, 6]", 1))
	whole := filepath.Join(root, "whole")
	if code, said := p.run("run", before, "--out", whole, "--workers", "2"); code != exitDone {
		t.Fatalf("exit code %d: %s", code, said)
	}
	hash, took := p.undisturbed(t, after)
	calm := filepath.Join(root, "calm")
	moves := func(dir string) {
		t.Helper()
		if err := os.CopyFS(dir, os.DirFS(whole)); err != nil {
			t.Fatal(err)
		}
	}
	moves(calm)
	if code, said := p.run("run", after, "--out", calm, "--workers", "2"); code != exitDone ||
		!strings.Contains(said, "held 1 case with 300 runs of another version") {
		t.Fatalf("exit code %d: %s", code, said)
	}
	want := contentOf(t, p.allSound(t, calm)[0])
	n := trial.Amount(3, 120, 5000)
	for i := range n {
		r := rand.New(rand.NewPCG(uint64(i), 61))
		dir := filepath.Join(root, strconv.Itoa(i))
		moves(dir)
		line := []string{"run", after, "--out", dir, "--workers", "2"}
		for range 1 + r.IntN(3) {
			if err := p.killed(time.Duration(r.Float64()*float64(took)), line...); err != nil {
				t.Fatal(err)
			}
		}
		if code, said := p.run(line...); code != exitDone {
			t.Fatalf("move %d: exit code %d: %s", i, code, said)
		}
		earlier := p.allSound(t, dir)
		if got := contentOf(t, dir); got != hash || len(earlier) != 1 || contentOf(t, earlier[0]) != want {
			t.Fatalf("move %d: content %s, wanted %s; earlier %v, wanted %s", i, got, hash, earlier, want)
		}
		os.RemoveAll(dir)
	}
	t.Logf("%d moves killed", n)
	if code, said := p.run("compare", calm, p.allSound(t, calm)[0]); code != exitSomeFailed {
		t.Errorf("compare ends with %d: %s", code, said)
	}
	if code, said := p.run("show", p.allSound(t, calm)[0]); code != exitDone {
		t.Errorf("show ends with %d: %s", code, said)
	}
}

// TestAuditTellsOfAnotherVersion: parts of a changed study beside those of the folder are no sound
// results.
func TestAuditTellsOfAnotherVersion(t *testing.T) {
	p, root := program{binary(t)}, t.TempDir()
	study := quickStudy(t, quick)
	for name, change := range map[string][2]string{"cell": {"cell_mm = 1\n", "cell_mm = 0.9\n"},
		"seed": {"seed = 7", "seed = 8"}} {
		dir, other := filepath.Join(root, name), filepath.Join(root, name+"-other")
		changed := quickStudy(t, strings.Replace(quick, change[0], change[1], 1))
		for path, to := range map[string]string{study: dir, changed: other} {
			if code, said := p.run("run", path, "--out", to); code != exitDone {
				t.Fatalf("exit code %d: %s", code, said)
			}
		}
		hash := contentOf(t, dir)
		for _, kind := range []string{"runs", "grains", "boundaries", "history"} {
			parts, _ := filepath.Glob(filepath.Join(other, kind, "*.parquet"))
			for _, part := range parts {
				data, err := os.ReadFile(part)
				if err != nil {
					t.Fatal(err)
				}
				if err := os.WriteFile(filepath.Join(dir, kind, filepath.Base(part)), data, 0o644); err != nil {
					t.Fatal(err)
				}
			}
		}
		if out, code := p.output("audit", dir); code != exitCorrupt || !strings.Contains(out, "6 of its 6 rows are of "+
			"another version of the study or of the model (cases: 2)") {
			t.Errorf("%s: audit ends with %d: %s", name, code, out)
		}
		if code, said := p.run("run", study, "--out", dir); code != exitDone || !strings.Contains(said, "with 6 runs of "+
			"another version") {
			t.Errorf("%s: exit code %d: %s", name, code, said)
		}
		p.allSound(t, dir)
		if got := contentOf(t, dir); got != hash {
			t.Errorf("%s: content %s, wanted %s", name, got, hash)
		}
	}
}

// output is what a command prints, and its exit code.
func (p program) output(args ...string) (out string, code int) {
	c := exec.Command(p.path, args...)
	told, err := c.Output()
	return string(told), exitCode(err)
}
