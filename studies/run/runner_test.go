package run

import (
	"context"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"onegrain/sim"
	"onegrain/studies"
	"onegrain/studies/table"
)

// small is a study of six cases that runs in milliseconds: a plane seen from above.
var small = func() string {
	text, err := os.ReadFile("../testdata/small.toml")
	if err != nil {
		panic(err)
	}
	return "\n" + string(text)
}()

func load(t *testing.T, text string) *studies.Study {
	t.Helper()
	s, err := studies.Load("small.toml", []byte(text), nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func folder(t *testing.T, dir string, s *studies.Study) *table.Folder {
	t.Helper()
	f, err := table.Create(dir, s.Text, studies.Draws, table.Provenance{Version: "test",
		ModelVersion: studies.ModelVersion, Command: "test", Start: time.Unix(0, 0)})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func run(t *testing.T, r *Runner) Summary {
	t.Helper()
	sum, err := r.Run(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	return sum
}

// rowsOf are the rows of a table without wall_s, in the order of case and replicate.
func rowsOf(t *testing.T, f *table.Folder, name string) map[string][]any {
	t.Helper()
	frame, err := f.Table(name)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string][]any{}
	for r := range frame.Len() {
		var row []any
		for _, c := range frame.Schema.Columns {
			if c.Name != "wall_s" {
				row = append(row, frame.Value(r, c.Name))
			}
		}
		out[fmt.Sprint(row[:2], r*btoi(name != "runs" && name != "cases"))] = row
	}
	return out
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

func TestRunnerSameAtAnyNumberOfWorkersAndAfterInterruption(t *testing.T) {
	s := load(t, small)
	one := folder(t, t.TempDir(), s)
	if got := run(t, &Runner{Study: s, Folder: one, Workers: 1}); got.Runs != 6*12 || got.Cases != 6 || got.Failed != 0 {
		t.Fatalf("%+v, wanted 72 runs of 6 cases", got)
	}
	want, wantCases := rowsOf(t, one, "runs"), rowsOf(t, one, "cases")
	if len(want) != 72 || len(wantCases) != 6 {
		t.Fatalf("%d rows of runs, %d of cases", len(want), len(wantCases))
	}
	other := folder(t, t.TempDir(), s)
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	r := &Runner{Study: s, Folder: other, Workers: 3, Watch: func(c Summary) {
		if c.Runs == 25 {
			cancel()
		}
	}}
	first, err := r.Run(ctx)
	if !errors.Is(err, context.Canceled) || first.Runs < 25 || first.Runs >= 72 {
		t.Fatalf("%+v, %v: wanted an interruption after some 25 runs", first, err)
	}
	if n := len(rowsOf(t, other, "runs")); n != first.Runs {
		t.Fatalf("%d runs are on the disk, %d were finished", n, first.Runs)
	}
	second := run(t, &Runner{Study: s, Folder: other, Workers: 4})
	if second.Skipped != first.Runs || second.Runs != 72-first.Runs {
		t.Errorf("%+v after %+v: wanted the rest only", second, first)
	}
	if got := rowsOf(t, other, "runs"); !reflect.DeepEqual(got, want) {
		t.Error("runs differ from those of one worker without interruption")
	}
	if got := rowsOf(t, other, "cases"); !reflect.DeepEqual(got, wantCases) {
		t.Errorf("cases differ:\n%v\n%v", got, wantCases)
	}
	third := run(t, &Runner{Study: s, Folder: other, Workers: 2})
	if third.Runs != 0 || third.Skipped != 72 {
		t.Errorf("%+v: wanted nothing to do", third)
	}
}

// TestRunnerCountsAgreeWithOdds: the counted share of single grains must agree with the exact
// chance. Each case has a binomial count of 40; the sum over six independent cases is within 4
// standard deviations (6e-5 by chance for a normal sum). The canary: odds worked out as if strays
// were twice as frequent must not pass.
func TestRunnerCountsAgreeWithOdds(t *testing.T) {
	text := strings.NewReplacer("seed = 3", "seed = 3\npairing = \"independent\"", "replicates = 12", "replicates = 40",
		"[0.3, 0.5, 1]", "[0.6, 0.7, 0.8]").Replace(small)
	s := load(t, text)
	f := folder(t, t.TempDir(), s)
	run(t, &Runner{Study: s, Folder: f, Workers: 2})
	cases, err := f.Table("cases")
	if err != nil {
		t.Fatal(err)
	}
	hits, err1 := cases.Reals("single_grain_runs")
	p, err2 := cases.Reals("single_grain_probability_exact")
	if err := errors.Join(err1, err2); err != nil {
		t.Fatal(err)
	}
	deviation := func(power float64) float64 {
		got, want, variance := 0.0, 0.0, 0.0
		for i := range hits {
			q := math.Pow(p[i], power)
			got, want, variance = got+hits[i], want+40*q, variance+40*q*(1-q)
		}
		return math.Abs(got-want) / math.Sqrt(variance)
	}
	if d := deviation(1); d > 4 {
		t.Errorf("counts %v are %.1f standard deviations from the exact chances %v", hits, d, p)
	}
	if d := deviation(2); d < 4 {
		t.Errorf("chances %v: the canary passes: twice the strays are only %.1f standard deviations away", p, d)
	}
}

func TestRunnerStopsByPrecision(t *testing.T) {
	s := load(t, strings.Replace(small, "replicates = 12", "replicates = 400\nprecision = 0.2", 1))
	f := folder(t, t.TempDir(), s)
	got := run(t, &Runner{Study: s, Folder: f, Workers: 3})
	cases, err := f.Table("cases")
	if err != nil {
		t.Fatal(err)
	}
	total := 0
	for r := range cases.Len() {
		n := cases.Value(r, "runs").(int64)
		hits := cases.Value(r, "single_grain_runs").(int64)
		total += int(n)
		if n%studies.Batch != 0 || cases.Value(r, "stopped_by") != "precision" {
			t.Errorf("case %d: %d runs, stopped by %v; wanted whole batches and precision", r, n, cases.Value(r, "stopped_by"))
		}
		if !s.Precise(int(hits), int(n)) {
			t.Errorf("case %d stopped with %d of %d", r, hits, n)
		}
	}
	if total != got.Runs {
		t.Errorf("%d runs in the table, %d done", total, got.Runs)
	}
	if again := run(t, &Runner{Study: s, Folder: f, Workers: 1}); again.Runs != 0 {
		t.Errorf("%d more runs though every case is precise", again.Runs)
	}
}

// broken panics in one replicate of each case and is sound in the others.
func broken(seeded *sim.Outcome, p studies.Planned, replicate int) *sim.Outcome {
	if replicate == 5 {
		panic("a fault of this test")
	}
	return seeded.Strays(p.Key(replicate))
}

func TestRunnerFailuresAreRows(t *testing.T) {
	s := load(t, small)
	dir := t.TempDir()
	f := folder(t, dir, s)
	command := func(p studies.Planned, replicate int) string { return fmt.Sprintf("again %s %d", p.ID, replicate) }
	got := run(t, &Runner{Study: s, Folder: f, Workers: 3, Engine: broken, Command: command})
	if got.Failed != 6 || got.Runs != 6*11 {
		t.Fatalf("%+v, wanted 6 failures and 66 runs", got)
	}
	text, err := os.ReadFile(filepath.Join(dir, "failures.jsonl"))
	if err != nil || strings.Count(string(text), "\n") != 6 || !strings.Contains(string(text), "a fault of this test") ||
		!strings.Contains(string(text), "again ") ||
		!strings.Contains(string(text), "runner_test.go:") {
		t.Errorf("failures.jsonl (%v):\n%s", err, text)
	}
	runs, err := f.Table("runs")
	if err != nil {
		t.Fatal(err)
	}
	failed := 0
	for r := range runs.Len() {
		if runs.Value(r, "status") == "failed" {
			failed++
		}
	}
	if failed != 6 || runs.Len() != 72 {
		t.Errorf("%d of %d rows are failures, wanted 6 of 72", failed, runs.Len())
	}
	if again := run(t, &Runner{Study: s, Folder: f, Workers: 2}); again.Runs != 6 || again.Failed != 0 {
		t.Errorf("%+v: wanted the 6 that failed, only", again)
	}
	sound := folder(t, t.TempDir(), s)
	run(t, &Runner{Study: s, Folder: sound, Workers: 2})
	if !reflect.DeepEqual(rowsOf(t, f, "runs"), rowsOf(t, sound, "runs")) {
		t.Error("after the retry the runs differ from those of a sound command")
	}
}

func TestRunnerFailFast(t *testing.T) {
	s := load(t, small)
	f := folder(t, t.TempDir(), s)
	got := run(t, &Runner{Study: s, Folder: f, Workers: 1, Engine: broken, FailFast: true})
	if got.Failed != 1 || got.Runs != 4 {
		t.Errorf("%+v, wanted to stop at the fifth run", got)
	}
}
