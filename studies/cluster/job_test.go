package cluster

import (
	"errors"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

func TestTheNumberOfTasks(t *testing.T) {
	for _, c := range []struct {
		what string
		of   Submission
		want int
	}{
		{"half an hour each where no limit is known", Submission{cases: 100, coreHours: 10, CPUs: 1, largest: 1000}, 20},
		{"half of the limit", Submission{cases: 100, coreHours: 10, CPUs: 1, limitHours: 4, largest: 1000}, 5},
		{"four runs at a time", Submission{cases: 100, coreHours: 10, CPUs: 4, largest: 1000}, 5},
		{"a small study is one task", Submission{cases: 100, coreHours: 0.01, CPUs: 1, largest: 1000}, 1},
		{"not more than cases", Submission{cases: 3, coreHours: 1000, CPUs: 1, largest: 1000}, 3},
		{"not more than the scheduler takes", Submission{cases: 1000000, coreHours: 1e6, CPUs: 1, largest: 64}, 64},
		{"not more than is sensible", Submission{cases: 1000000, coreHours: 1e9, CPUs: 1, largest: 100000}, 1000},
		{"nothing to do is a task too", Submission{cases: 1, CPUs: 1, largest: 1000}, 1},
	} {
		if got := c.of.tasks(); got != c.want {
			t.Errorf("%s: %d tasks, wanted %d", c.what, got, c.want)
		}
	}
}

func TestTimesAndAmountsAsSlurmWritesThem(t *testing.T) {
	for text, want := range map[string]float64{"90": 1.5, "90:30": 1.5 + 30./3600, "2:30:00": 2.5, "1-12": 36,
		"1-12:30": 36.5, "0-0:0:36": 0.01, "00:00:36": 0.01} {
		if got, err := hours(text); err != nil || math.Abs(got-want) > 1e-12 {
			t.Errorf("%s: %g h (%v), wanted %g", text, got, err, want)
		}
	}
	for _, text := range []string{"", "2h", "0", "1:2:3:4", "1-1:1:1:1", "-5", "1-", "a-1", "1.5", "0:00", "1-2-3",
		"99999999999999999999"} {
		if got, err := hours(text); err == nil {
			t.Errorf("%q is taken as %g h", text, got)
		}
	}
	for text, want := range map[string]int64{"800": 800, "800M": 800, "4G": 4096, "4GB": 4096, "2t": 2 << 20, "1K": 1,
		"2049K": 3} {
		if got, err := mib(text); err != nil || got != want {
			t.Errorf("%s: %d MiB (%v), wanted %d", text, got, err, want)
		}
	}
	for _, text := range []string{"", "0", "-1G", "4X", "1.5G", "G", "4GG", "B4", "99999999999999999999"} {
		if got, err := mib(text); err == nil {
			t.Errorf("%q is taken as %d MiB", text, got)
		}
	}
	if got := memoryMiB(300<<20, 50<<20, 4); got != 512+2*(4*300+50) {
		t.Errorf("a task of four runs of 300 MiB gets %d MiB", got)
	}
}

// odd is a job with everything in its names that means something to a shell or to a scheduler.
func odd() job {
	return job{Name: "a b'c", Program: "/opt/one \"grain\"/$HOME/onegrain", Study: "/s/#1 `x`/a b'c.toml",
		Results: "/r/%A \\ é", Logs: "/r/%A/log s",
		Tasks: 12, CPUs: 2, MemoryMiB: 700, Time: "1-12", Partition: "short", Extra: []string{"--array=1-12%3",
			"--comment=two words", "-a", "1-9", "--account", "furnace"}}
}

// The words that a shell makes of the command must be those of the job.
func TestAShellReadsTheCommandRight(t *testing.T) {
	dir := t.TempDir()
	tell := filepath.Join(dir, "tell it's")
	if err := os.WriteFile(tell, []byte("#!/bin/sh\nfor a in \"$@\"; do echo \"$a\"; done\n"), 0o755); err != nil {
		t.Fatal(err)
	}
	j := odd()
	j.Program, j.Options = tell, []string{"--odds-only"}
	for _, c := range []struct {
		text string
		want []string
	}{
		{j.array(), []string{"run", j.Study, "--out", j.Results, "--odds-only", "--workers", "3", "--shard", "7/12"}},
		{j.merge(), []string{"merge", j.Results}},
	} {
		sh := exec.Command("sh")
		sh.Stdin, sh.Env = strings.NewReader(c.text), []string{"SLURM_ARRAY_TASK_ID=7", "SLURM_CPUS_PER_TASK=3", "PATH=" +
			os.Getenv("PATH")}
		told, err := sh.CombinedOutput()
		if want := strings.Join(c.want, "\n") + "\n"; err != nil || string(told) != want {
			t.Errorf("%s(%v), wanted\n%s", told, err, want)
		}
	}
}

func TestWhatTheSchedulerIsTold(t *testing.T) {
	j := odd()
	array, merge := j.array(), j.merge()
	for _, line := range []string{`"--job-name=a b'c"`, `--array=1-12`, `"--output=/r/%%A/log s/task-%A_%a.log"`,
		`--cpus-per-task=2`, `--mem=700M`, `--time=1-12`, `--partition=short`,
		`--signal=B:USR1@10`, `--array=1-12%3 "--comment=two words" -a 1-9 --account furnace`} {
		if !strings.Contains(array, "\n#SBATCH "+line+"\n") {
			t.Errorf("no %s in\n%s", line, array)
		}
	}
	if strings.Contains(merge, "--array") || strings.Contains(merge, "1-9") || !strings.Contains(merge,
		"\n#SBATCH \"--comment=two words\" --account furnace\n") {
		t.Errorf("the job that merges must be no array, and else have the extra options:\n%s", merge)
	}
	if !strings.Contains(merge, "\n#SBATCH --mem=2048M\n") {
		t.Errorf("the job that merges has too little memory:\n%s", merge)
	}
	for _, text := range []string{array, merge} {
		if lines := strings.Split(strings.TrimSpace(text), "\n"); lines[0] != "#!/bin/sh" ||
			!strings.HasPrefix(lines[len(lines)-1], "exec ") {
			t.Errorf("the program must take the place of the shell:\n%s", text)
		}
	}
	if err := j.check(); err != nil {
		t.Error(err)
	}
	j.Extra = append(j.Extra, "--comment=a\nrm b")
	if err := j.check(); err == nil {
		t.Error("a line break would begin a line of its own in the script")
	}
}

func TestWithoutSlurmThereIsNone(t *testing.T) {
	t.Setenv("PATH", t.TempDir())
	if _, err := (Slurm{}).Largest(); err != ErrNone {
		t.Errorf("largest array: %v", err)
	}
	if _, err := (Slurm{}).Submit("a.sh", ""); err != ErrNone {
		t.Errorf("submit: %v", err)
	}
}

// What other versions and clusters answer: the commands are stood in for here, the real ones are in
// slurm_test.go.
func TestOddAnswers(t *testing.T) {
	for _, c := range []struct {
		what, config, submitted string
		largest                 int
		job, refused            string
	}{
		{"several clusters", "MaxArraySize            = 1001", "123;second", 1000, "123", ""},
		{"nothing said of arrays", "MaxJobCount = 5", "7", UsualLargest, "7", ""},
		{"no arrays", "MaxArraySize = 0", "7", 0, "7", "takes no job arrays"},
		{"no number", "MaxArraySize = 11", "it is done", 10, "", "wanted the number of a job"},
		{"nothing at all", "MaxArraySize = 11", "", 10, "", "wanted the number of a job"},
	} {
		dir := t.TempDir()
		for name, told := range map[string]string{"scontrol": c.config, "sbatch": c.submitted} {
			if err := os.WriteFile(filepath.Join(dir, name), []byte("#!/bin/sh\necho '"+told+"'\n"), 0o755); err != nil {
				t.Fatal(err)
			}
		}
		t.Setenv("PATH", dir)
		largest, errLargest := Slurm{}.Largest()
		job, errJob := Slurm{}.Submit("a.sh", "5")
		said := ""
		for _, err := range []error{errLargest, errJob} {
			var refused *Refused
			if errors.As(err, &refused) {
				said += refused.Error()
			} else if err != nil {
				t.Errorf("%s: %v", c.what, err)
			}
		}
		if largest != c.largest || job != c.job || (c.refused == "") != (said == "") || !strings.Contains(said, c.refused) {
			t.Errorf("%s: largest %d, job %q, %q", c.what, largest, job, said)
		}
	}
}
