package cluster_test

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"
)

// refused is the exit code where the scheduler refuses.
const refused = 7

// bench is a Slurm of this test's own, with the program built for it.
type bench struct {
	*testing.T
	program, conf string
	draft         string // of a study of quick cases
	folder        string // where the commands are called
}

// slurmBench starts one. With ONEGRAIN_SLURM=1 a Slurm that is missing is an error; otherwise the
// test is skipped, since it takes minutes.
func slurmBench(t *testing.T) *bench {
	t.Helper()
	if os.Getenv("ONEGRAIN_SLURM") != "1" {
		t.Skip("starts a Slurm and waits for a time limit of it; ONEGRAIN_SLURM=1 wants it")
	}
	b := &bench{T: t, folder: filepath.Join(t.TempDir(), "two words")}
	if err := os.Mkdir(b.folder, 0o755); err != nil {
		t.Fatal(err)
	}
	b.program = filepath.Join(t.TempDir(), "onegrain")
	if told, err := exec.Command("go", "build", "-o", b.program, "onegrain/cmd/onegrain").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, told)
	}
	script := func(name string) string { return filepath.Join("..", "..", "testdata", "slurm", name) }
	b.draft = script("quick.toml")
	home := t.TempDir()
	t.Cleanup(func() {
		if told, err := exec.Command(script("down.sh"), home).CombinedOutput(); err != nil {
			t.Errorf("%v\n%s", err, told)
		}
	})
	up := func() string {
		var said bytes.Buffer
		c := exec.Command(script("up.sh"), home, strconv.Itoa(os.Getpid()))
		c.Stderr = &said
		told, err := c.Output()
		if err != nil {
			t.Fatalf("%v\n%s", err, said.String())
		}
		return string(told)
	}
	first := up()
	if second := up(); second != first {
		t.Errorf("started twice: %q and %q", first, second)
	}
	b.conf = strings.TrimSpace(strings.TrimPrefix(first, "export "))
	return b
}

// does runs a command, which must end with that code, and returns what it says.
func (b *bench) does(code int, name string, args ...string) (out, said string) {
	b.Helper()
	var o, e bytes.Buffer
	c := exec.Command(name, args...)
	c.Dir, c.Stdout, c.Stderr = b.folder, &o, &e
	c.Env = append(os.Environ(), b.conf)
	got := 0
	var failed *exec.ExitError
	if err := c.Run(); errors.As(err, &failed) {
		got = failed.ExitCode()
	} else if err != nil {
		b.Fatal(err)
	}
	if got != code {
		b.Fatalf("%s %s: exit code %d, wanted %d\n%s%s", name, strings.Join(args, " "), got, code, o.String(), e.String())
	}
	return o.String(), e.String()
}

// hands submits a study and returns the numbers of its jobs.
func (b *bench) hands(args ...string) (array, merge string) {
	b.Helper()
	told, said := b.does(0, b.program, append([]string{"submit"}, args...)...)
	found := regexp.MustCompile(`^(\d+)\n(\d+)\n$`).FindStringSubmatch(told)
	if found == nil {
		b.Fatalf("submit tells %q, wanted two numbers of jobs\n%s", told, said)
	}
	return found[1], found[2]
}

// awaits waits until something holds.
func (b *bench) awaits(what string, holds func() bool) {
	b.Helper()
	for end := time.Now().Add(4 * time.Minute); !holds(); time.Sleep(100 * time.Millisecond) {
		if time.Now().After(end) {
			queue, _ := b.does(0, "squeue")
			b.Fatalf("%s: not so after 4 minutes\n%s", what, queue)
		}
	}
}

// ended waits for a job and returns its state.
func (b *bench) ended(job string) (state string) {
	b.Helper()
	b.awaits("job "+job+" has ended", func() bool {
		told, _ := b.does(0, "squeue", "-h", "-t", "all", "-o", "%T", "-j", job)
		state = strings.Join(strings.Fields(told), " ")
		return !regexp.MustCompile("PENDING|RUNNING|CONFIGURING|COMPLETING|STOPPED|SUSPENDED").MatchString(state)
	})
	return state
}

// logs is all that tasks or merge jobs of a study have printed.
func (b *bench) logs(pattern string) string {
	var all strings.Builder
	found, _ := filepath.Glob(filepath.Join(b.folder, "results", "*", "submit", "*", pattern))
	for _, f := range found {
		text, err := os.ReadFile(f)
		if err != nil {
			b.Fatal(err)
		}
		all.Write(text)
	}
	return all.String()
}

// study writes a study of some quick cases.
func (b *bench) study(name string, cases, replicates int) string {
	b.Helper()
	draft, err := os.ReadFile(b.draft)
	if err != nil {
		b.Fatal(err)
	}
	text := strings.NewReplacer("CASES", strconv.Itoa(cases), "REPLICATES", strconv.Itoa(replicates)).Replace(
		string(draft))
	if err := os.WriteFile(filepath.Join(b.folder, name), []byte(text), 0o644); err != nil {
		b.Fatal(err)
	}
	return name
}

// wholly compares results with those of one undisturbed run here.
func (b *bench) wholly(study, results string) {
	b.Helper()
	content := func(dir string) string {
		told, _ := b.does(0, b.program, "audit", dir)
		return regexp.MustCompile(`(?m)^content .*`).FindString(told)
	}
	b.does(0, b.program, "run", study, "--out", results+"-here", "-w", "1")
	if got, want := content(results), content(results+"-here"); got != want || want == "" {
		b.Errorf("the cluster's results have the %s, a run here %s", got, want)
	}
	for _, table := range []string{"runs", "grains"} {
		if files, err := filepath.Glob(filepath.Join(b.folder, results, table, "*.parquet")); err != nil || len(files) != 1 {
			b.Errorf("%d files of %s after the merge job, wanted 1 (%v)", len(files), table, err)
		}
	}
}

func TestSlurm(t *testing.T) {
	b := slurmBench(t)
	for name, story := range map[string]func(*bench){"array": wholeArray, "cancelled": cancelledTask, "time": timeLimit,
		"limit": overTheLimit, "words": itsWords} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			mine := *b
			mine.T, mine.folder = t, filepath.Join(b.folder, name+" it's")
			if err := os.Mkdir(mine.folder, 0o755); err != nil {
				t.Fatal(err)
			}
			story(&mine)
		})
	}
}

// An array with merge makes what one run makes. The study may be edited once it is submitted.
func wholeArray(b *bench) {
	study := b.study("array.toml", 10, 8)
	array, merge := b.hands(study, "--tasks", "5", "--cpus", "2", "--mem", "600M", "--time", "10")
	b.study("array.toml", 3, 1)
	b.ended(merge)
	if state := b.ended(array); strings.Trim(state, "COMPLETD ") != "" {
		b.Errorf("the tasks ended %s\n%s", state, b.logs("task-*"))
	}
	if said := b.logs("merge-*"); !strings.Contains(said, "runs: ") || strings.Contains(said, "not finished") {
		b.Errorf("the merge job says\n%s", said)
	}
	b.wholly(b.study("array.toml", 10, 8), filepath.Join("results", "array"))
}

// A task that is cancelled is missing, which the merge job says; submitting again does it.
func cancelledTask(b *bench) {
	study := b.study("cancelled.toml", 6, 8)
	array, merge := b.hands(study, "--tasks", "6", "--", "--array=1-6%1")
	b.does(0, "scancel", array+"_6")
	b.ended(merge)
	if said := b.logs("merge-*"); !strings.Contains(said, "1 of 6 cases are not finished") {
		b.Errorf("the merge job says\n%s", said)
	}
	_, merge = b.hands(study, "--tasks", "3")
	b.ended(merge)
	if said := b.logs("task-*"); strings.Count(said, "done before") == 0 {
		b.Errorf("nothing tells of what was skipped\n%s", said)
	}
	b.wholly(study, filepath.Join("results", "cancelled"))
}

// stops keeps the task of a shard from working until something holds, so that it cannot be done
// before, however fast the machine. Again and again, for the scheduler wakes it up when it warns of
// the limit.
func (b *bench) stops(results, shard string, until func() bool) {
	b.Helper()
	task := 0
	b.awaits("the task of shard "+shard+" is found", func() bool {
		found, _ := filepath.Glob("/proc/[0-9]*/cmdline")
		for _, file := range found {
			line, _ := os.ReadFile(file)
			if words := string(line); strings.Contains(words, filepath.Join(b.folder, results)+"\x00") && strings.Contains(words,
				"--shard\x00"+shard+"\x00") {
				task, _ = strconv.Atoi(filepath.Base(filepath.Dir(file)))
			}
		}
		return task > 1
	})
	for end := time.Now().Add(4 * time.Minute); !until() && time.Now().Before(end); time.Sleep(10 * time.Millisecond) {
		if err := syscall.Kill(task, syscall.SIGSTOP); err != nil {
			b.Fatal(err)
		}
	}
	if err := syscall.Kill(task, syscall.SIGCONT); err != nil {
		b.Error(err)
	}
}

// A task that its time limit ends keeps what it has; submitting again continues from there.
func timeLimit(b *bench) {
	study := b.study("time.toml", 4, 2500)
	// instead of the warning, which it would obey
	array, merge := b.hands(study, "--tasks", "2", "--time", "1", "--", "--signal=URG@1")
	b.awaits("a task has begun", func() bool { return strings.Contains(b.logs("task-*_1.log"), "at most") })
	b.stops("results/time", "1/2", func() bool { return strings.Contains(b.logs("task-*_1.log"), "DUE TO TIME LIMIT") })
	b.ended(merge)
	if state := b.ended(array); !strings.Contains(state, "TIMEOUT") {
		b.Errorf("the tasks ended %s\n%s", state, b.logs("task-*"))
	}
	if said := b.logs("task-*_1.log"); !regexp.MustCompile(
		`(?s)SIGTERM: stopping.*stopped after \d+ runs; what is finished is kept`).MatchString(said) {
		b.Errorf("the task says\n%s", said)
	}
	if said := b.logs("merge-*"); !strings.Contains(said, "of 4 cases are not finished") {
		b.Errorf("the merge job says\n%s", said)
	}
	_, merge = b.hands(study, "--tasks", "2")
	b.ended(merge)
	b.wholly(study, filepath.Join("results", "time"))
}

// More tasks than an array may have are refused; without being asked for, so many are not made.
func overTheLimit(b *bench) {
	study := b.study("limit.toml", 100, 1)
	if _, said := b.does(refused, b.program, "submit", study, "--tasks", "100"); !strings.Contains(said,
		"--tasks 100: an array of this cluster has 16 tasks at most (MaxArraySize); --tasks 16 does the same work") {
		b.Error(said)
	}
	if _, err := os.Stat(filepath.Join(b.folder, "results")); err == nil {
		b.Error("something was written though nothing was submitted")
	}
	if _, said := b.does(refused, b.program, "submit", study, "--tasks", "10", "--", "--array=1-100"); !strings.Contains(
		said, "Invalid job array specification; fewer --tasks") {
		b.Error(said)
	}
	_, merge := b.hands(study, "--tasks", "16")
	b.ended(merge)
	b.wholly(study, filepath.Join("results", "limit"))
}

// What the scheduler refuses is told in its words, with what to do.
func itsWords(b *bench) {
	study := b.study("words.toml", 2, 1)
	for _, c := range []struct {
		args       []string
		said, next string
	}{
		{[]string{"--partition", "none"}, "invalid partition specified: none", "sinfo"},
		{[]string{"--partition", "short", "--time", "1-0"}, "time limit", "--time"},
		{[]string{"--mem", "1T"}, "Requested node configuration is not available|Memory", "--mem"},
		{[]string{"--", "--novel-option"}, "novel-option", "man sbatch"},
	} {
		if _, said := b.does(refused, b.program, append([]string{"submit", study}, c.args...)...); !regexp.MustCompile(
			"the scheduler refused: .*("+c.said+")").MatchString(said) || !strings.Contains(said, c.next) {
			b.Errorf("%s: %s", strings.Join(c.args, " "), said)
		}
	}
	b.conf = fmt.Sprintf("SLURM_CONF=%s/none.conf", b.folder)
	if _, said := b.does(refused, b.program, "submit", study); !strings.Contains(said, "the scheduler refused: ") {
		b.Error(said)
	}
}
