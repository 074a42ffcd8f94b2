package main

import (
	"bytes"
	"errors"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"onegrain/studies/cluster"
)

// clerk is a scheduler that keeps what it is handed; the real one is in
// studies/cluster/slurm_test.go.
type clerk struct {
	largest int
	asked   error
	refuse  map[int]error  // by the number of the job
	scripts map[int]string // that were taken
	after   []string
}

func (c *clerk) Largest() (int, error) { return c.largest, c.asked }

func (c *clerk) Submit(script, after string) (string, error) {
	n := len(c.after) + 1
	c.after = append(c.after, after)
	if err := c.refuse[n]; err != nil {
		return "", err
	}
	text, err := os.ReadFile(script)
	if err != nil {
		return "", err
	}
	c.scripts[n] = string(text)
	return strconv.Itoa(n), nil
}

// quickCases is a study of so many quick cases.
func quickCases(t *testing.T, cases int) string {
	t.Helper()
	draft, err := os.ReadFile(filepath.Join("..", "..", "testdata", "slurm", "quick.toml"))
	if err != nil {
		t.Fatal(err)
	}
	return strings.NewReplacer("CASES", strconv.Itoa(cases), "REPLICATES", "4").Replace(string(draft))
}

// handsIn submits a study from a folder of its own, which the test then stands in.
func handsIn(t *testing.T, study string, c *clerk, change func(*submitting)) (out, said string, err error) {
	t.Helper()
	t.Chdir(t.TempDir())
	if err := os.WriteFile("quick.toml", []byte(study), 0o644); err != nil {
		t.Fatal(err)
	}
	c.scripts = map[int]string{}
	var o, e bytes.Buffer
	r := &submitting{s: streams{out: &o, err: &e}, to: c}
	r.Path, r.CPUs = "quick.toml", 1
	change(r)
	err = r.submit()
	return o.String(), e.String(), err
}

func TestSubmitHandsInTwoJobs(t *testing.T) {
	c := &clerk{largest: 1000}
	out, said, err := handsIn(t, quickCases(t, 9), c, func(r *submitting) {
		r.Tasks, r.Time, r.OddsOnly = 4, "2:00:00",
			true
	})
	if err != nil || out != "1\n2\n" || len(c.after) != 2 || c.after[0] != "" || c.after[1] != "1" {
		t.Fatalf("%v: %q, after %q\n%s", err, out, c.after, said)
	}
	for _, want := range []string{"--array=1-4\n", "--time=2:00:00\n", `"$SLURM_ARRAY_TASK_ID/4"`, " --odds-only "} {
		if !strings.Contains(c.scripts[1], want) {
			t.Errorf("no %q in\n%s", want, c.scripts[1])
		}
	}
	kept, _ := filepath.Glob("results/quick/submit/*/study/quick.toml")
	given, _ := os.ReadFile("quick.toml")
	if len(kept) != 1 {
		t.Fatalf("copies of the study: %v", kept)
	}
	if copied, err := os.ReadFile(kept[0]); err != nil || !bytes.Equal(copied, given) {
		t.Errorf("the copy of the study is another: %v", err)
	}
	if path, _ := filepath.Abs(kept[0]); !strings.Contains(c.scripts[1], path) {
		t.Errorf("the tasks do not take the copy %s:\n%s", path, c.scripts[1])
	}
	var told bytes.Buffer
	if code := execute([]string{"audit", "results/quick"}, streams{out: &told, err: &told}); code != exitDone {
		t.Errorf("audit ends with %d: %s", code, told.String())
	}
}

// What a study names is kept with it under a name of ours, wherever it lies and whatever it is
// called, and is never handed in.
func TestSubmitKeepsWhatTheStudyNames(t *testing.T) {
	quick, absolute := quickCases(t, 3), filepath.Join(t.TempDir(), "rates.csv")
	picture := pictureOf(t)
	for _, c := range []struct{ study, table, mask string }{
		{"quick.toml", "rates.csv", ""}, {"quick.toml", "deeper/rates.csv", ""}, {"quick.toml", "../x.csv", ""},
		{"quick.toml", absolute, ""},
		{"quick.toml", "array.sh", ""}, {"quick.toml", "merge.sh", ""}, {"quick.toml", "", "array.sh"},
		{"array.sh", "rates.csv", "merge.sh"},
		{"quick.toml", "quick.toml/../array.sh", ""}, {"quick.toml", "../../submit/merge.sh", ""},
	} {
		clerk := &clerk{largest: 1000}
		_, said, err := handsIn(t, quick, clerk, func(r *submitting) {
			text, _ := os.ReadFile("quick.toml")
			study, _, _ := strings.Cut(string(text), "[[vary]]")
			study += "[[vary]]\nkey = \"schedule.stage.2.rate_K_per_h\"\nname = \"rate_K_per_h\"\n"
			if c.table != "" {
				study += "[design]\nkind = \"table\"\nfile = \"" + c.table + "\"\n"
				besideStudy(t, c.table, "rate_K_per_h\n1\n2\n")
			} else {
				study += "values = [1, 2]\n"
			}
			if c.mask != "" {
				study = strings.Replace(study, "shape = \"disc\"", "shape = \"mask\"\nfile = \""+c.mask+"\"\nmm_per_pixel = 1", 1)
				study = strings.Replace(study, "diameter_mm = 9\n", "", 1)
				besideStudy(t, c.mask, picture)
			}
			besideStudy(t, c.study, study)
			r.Path = filepath.Join("study", c.study)
		})
		if err != nil {
			t.Fatalf("%+v: %v\n%s", c, err, said)
		}
		for n, want := range map[int]string{1: "exec ", 2: " merge "} {
			if script := clerk.scripts[n]; !strings.HasPrefix(script, "#!/bin/sh\n#SBATCH --job-name=") ||
				!strings.Contains(script, want) {
				t.Errorf("%+v: job %d is\n%s", c, n, script)
			}
		}
		copies, _ := filepath.Glob("results/*/submit/*/study/" + c.study)
		if len(copies) != 1 {
			t.Fatalf("%+v: copies %v", c, copies)
		}
		around, _ := os.ReadDir(filepath.Dir(filepath.Dir(copies[0])))
		inside, _ := os.ReadDir(filepath.Dir(copies[0]))
		if len(around) != 3 || len(inside) != 1+btoi(c.table != "")+btoi(c.mask != "") {
			t.Errorf("%+v: kept %v and %v", c, around, inside)
		}
		if err := os.RemoveAll("study"); err != nil { // tasks and merge job need nothing but the copy
			t.Fatal(err)
		}
		results := filepath.Dir(filepath.Dir(filepath.Dir(filepath.Dir(copies[0]))))
		for _, then := range []struct {
			line []string
			want string
		}{{[]string{"merge", results}, "2 of 2 cases are not finished"},
			{[]string{"run", copies[0], "--out", results}, "8 runs done"}} {
			var told bytes.Buffer
			if code := execute(then.line, streams{out: &told, err: &told}); code != exitDone ||
				!strings.Contains(told.String(), then.want) {
				t.Errorf("%+v: %v ends with %d, wanted %q: %s", c, then.line, code, then.want, told.String())
			}
		}
	}
}

// besideStudy puts a file where a study in the folder "study" calls it so.
func besideStudy(t *testing.T, name, text string) {
	t.Helper()
	if !filepath.IsAbs(name) {
		name = filepath.Join("study", name)
	}
	if err := errors.Join(os.MkdirAll(filepath.Dir(name), 0o755), os.WriteFile(name, []byte(text), 0o644)); err != nil {
		t.Fatal(err)
	}
}

// pictureOf is a mask of 9 by 9 pixels.
func pictureOf(t *testing.T) string {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewGray(image.Rect(0, 0, 9, 9))); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

func TestSubmitRefuses(t *testing.T) {
	quick := quickCases(t, 9)
	no := &cluster.Refused{Said: "Invalid account", Next: "name one"}
	for _, c := range []struct {
		what   string
		clerk  clerk
		change func(*submitting)
		code   int
		want   string
	}{
		{"too many tasks", clerk{largest: 5}, func(r *submitting) { r.Tasks = 9 }, exitRefused, "--tasks 9: an array of " +
			"this cluster has 5 tasks at most (MaxArraySize); --tasks 5 does the same"},
		{"its own words", clerk{largest: 5, refuse: map[int]error{1: no}}, func(*submitting) {}, exitRefused,
			"the scheduler refused: Invalid account; name one"},
		{"no merge", clerk{largest: 5, refuse: map[int]error{2: no}}, func(*submitting) {}, exitRefused,
			"job 1, the tasks, is submitted, but not the job that merges"},
		{"no scheduler", clerk{asked: cluster.ErrNone}, func(*submitting) {}, exitUsage,
			"`--dry-run` prints the scripts, and `onegrain run quick.toml --shard K/N` does part"},
		{"no answer", clerk{asked: no}, func(*submitting) {}, exitRefused, "Invalid account"},
		{"tasks", clerk{largest: 5}, func(r *submitting) { r.Tasks = -1 }, exitUsage, "--tasks -1: wanted at least 1"},
		{"cpus", clerk{largest: 5}, func(r *submitting) { r.CPUs = 0 }, exitUsage, "--cpus 0: wanted at least 1"},
		{"time", clerk{largest: 5}, func(r *submitting) { r.Time = "2h" }, exitUsage,
			`--time "2h": wanted a time as 90 (minutes)`},
		{"memory", clerk{largest: 5}, func(r *submitting) { r.Memory = "much" }, exitUsage,
			`--mem "much": wanted memory as 800M or 4G`},
		{"a line break", clerk{largest: 5}, func(r *submitting) { r.Extra = []string{"--comment=a\nrm"} }, exitUsage,
			"a line break cannot be part"},
		{"no study", clerk{largest: 5}, func(r *submitting) { r.Path = "none.toml" }, exitUsage, "none.toml: no such file"},
		{"another folder", clerk{largest: 5}, func(r *submitting) { r.Results = "." }, exitUsage, "no results folder"},
	} {
		_, said, err := handsIn(t, quick, &c.clerk, c.change)
		if err == nil || codeOf(err) != c.code || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: exit code %d, %v, wanted %d, %s\n%s", c.what, codeOf(err), err, c.code, c.want, said)
		}
		if _, err := os.Stat("results"); err == nil && len(c.clerk.refuse) == 0 {
			t.Errorf("%s: something was written", c.what)
		}
	}
}

func TestDryRunPrintsAndWritesNothing(t *testing.T) {
	quick := quickCases(t, 9)
	for _, asked := range []error{nil, cluster.ErrNone} {
		c := &clerk{largest: 6, asked: asked}
		out, said, err := handsIn(t, quick, c, func(r *submitting) {
			r.dry, r.Tasks, r.Extra = true, 20,
				[]string{"--account=a b"}
		})
		if asked == nil { // 20 tasks for 9 cases are 9, and more than the cluster takes
			if codeOf(err) != exitRefused || !strings.Contains(said, "--tasks 20: there are only 9 cases") {
				t.Errorf("%v\n%s", err, said)
			}
			continue
		}
		if err != nil || strings.Count(out, "#!/bin/sh\n") != 2 || strings.Count(out, "#SBATCH \"--account=a b\"\n") != 2 ||
			!strings.Contains(out, "--array=1-9\n") || !strings.Contains(said, "taken as 1000") {
			t.Errorf("%v\n%s\n%s", err, out, said)
		}
		if list, _ := os.ReadDir("."); len(list) != 1 || len(c.after) != 0 {
			t.Errorf("a dry run has left %v and submitted %d jobs", list, len(c.after))
		}
	}
}

func TestSubmitOnTheCommandLine(t *testing.T) {
	dir, quick := t.TempDir(), quickCases(t, 4)
	t.Setenv("PATH", dir)
	path := filepath.Join(dir, "quick.toml")
	if err := os.WriteFile(path, []byte(quick), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		args []string
		code int
		want string
	}{
		{[]string{"submit", path}, exitUsage, "no sbatch on this machine"},
		{[]string{"submit", path, "--dry-run", "--", "--qos=long", "-n", "1"}, exitDone, "#SBATCH --qos=long -n 1\n"},
		{[]string{"submit", path, "stray", "--dry-run"}, exitUsage, "takes STUDY.toml, got 2 arguments"},
		{[]string{"submit", "--dry-run", "--", path}, exitUsage, "takes STUDY.toml, got 0 arguments"},
	} {
		var told bytes.Buffer
		if code := execute(c.args, streams{out: &told, err: &told}); code != c.code ||
			!strings.Contains(told.String(), c.want) {
			t.Errorf("%s: exit code %d, wanted %d and %q\n%s", strings.Join(c.args, " "), code, c.code, c.want, told.String())
		}
	}
}
