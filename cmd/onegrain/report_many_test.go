package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"onegrain/studies"
	"onegrain/studies/column"
	"onegrain/studies/table"
)

// wideStudy is a study with two axes of so many values.
const wideStudy = `title = "Many runs"
[random]
seed = 5
replicates = %d
[material]
base = "Y123, air"
[body]
shape = "disc"
diameter_mm = 9
plane = "ab"
thickness_mm = 1
cell_mm = 0.5
[[seed]]
at_mm = [-2, 0]
size_mm = [2, 2]
[[seed]]
at_mm = [2, 0]
size_mm = [2, 2]
[schedule]
start_C = 1030
[[schedule.stage]]
to_undercooling_K = 8
rate_K_per_h = 60
[[schedule.stage]]
to_undercooling_K = 30
rate_K_per_h = 0.4
[domain]
join_deg = 5
[[vary]]
key = "schedule.stage.2.rate_K_per_h"
name = "cooling_rate_K_per_h"
from = 0.1
to = 2
count = %d
[[vary]]
key = "schedule.stage.1.to_undercooling_K"
name = "start_undercooling_K"
from = 4
to = 18
count = %d
`

// written is a results folder of a study that was not run: its rows come from a law, Λ =
// 8·rate²·(start/18)², with two seeded grains a run and a stray where the dice say so.
type written struct {
	t          testing.TB
	folder     *table.Folder
	frames     map[string]*table.Frame
	dice       *rand.Rand
	replicates int
	runs       int
	failed     bool // every run
}

func writeResults(t testing.TB, dir string, rates, starts, replicates int, failed bool) {
	t.Helper()
	text := []byte(fmt.Sprintf(wideStudy, replicates, rates, starts))
	study, err := studies.Load("study.toml", text, nil, 0)
	must(t, err)
	folder, err := table.Create(dir, text, studies.Draws, table.Provenance{Version: "test",
		ModelVersion: studies.ModelVersion, Command: "a test", Start: time.Unix(0, 0)})
	must(t, err)
	w := &written{t: t, folder: folder, frames: map[string]*table.Frame{}, dice: rand.New(rand.NewPCG(1, 2)),
		replicates: replicates, failed: failed}
	for i := range study.Cases() {
		p, err := study.Plan(i)
		must(t, err)
		w.one(p.ID, p.Values[0].(float64), p.Values[1].(float64))
	}
	w.flush()
	must(t, folder.Put(w.frames["cases"]))
	must(t, folder.Seal(time.Unix(1, 0)))
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func (w *written) row(name string, values ...any) {
	if w.frames[name] == nil {
		s, err := column.Of(name, []column.Column{{Name: "cooling_rate_K_per_h", Kind: column.Real, Unit: "K/h"},
			{Name: "start_undercooling_K", Kind: column.Real, Unit: "K"}})
		must(w.t, err)
		w.frames[name] = table.NewFrame(s)
	}
	rest := make([]any, len(w.frames[name].Schema.Columns)-len(values)) // is empty
	must(w.t, w.frames[name].Append(append(values, rest...)...))
}

func (w *written) flush() {
	for _, name := range []string{"grains", "boundaries", "runs"} {
		if rows := w.frames[name]; rows != nil {
			_, err := w.folder.Add(rows)
			must(w.t, err)
			delete(w.frames, name)
		}
	}
}

// one writes the rows of a case.
func (w *written) one(id string, rate, start float64) {
	if w.failed {
		w.none(id, rate, start)
		return
	}
	lambda := 8 * rate * rate * start * start / 324
	hits := 0
	for k := 1; k <= w.replicates; k++ {
		single := w.dice.Float64() < math.Exp(-lambda)
		diameter, strays, at := 9.0, 0, any(nil)
		if single {
			hits++
		} else {
			diameter, strays, at = 9*w.dice.Float64(), 1, 20+5*w.dice.Float64()
		}
		full := 40 / (rate + 0.5)
		w.row("runs", id, k, rate, start, "solid", single, diameter, diameter*0.7, diameter*diameter, 1.0, strays,
			0.1*float64(strays), at, at, at, full, 0.6, 0.4, 0.01)
		for g := 1; g <= 2+strays; g++ {
			origin, domain := "seed", any(1)
			if g > 2 {
				origin, domain = "melt", nil
			}
			w.row("grains", id, k, g, origin, 1.0, 8.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 30.0, 5.0, 5.0, 5.0, 5.0, 5.0, 5.0,
				1.0, domain)
		}
		w.row("boundaries", id, k, 1, 2, 9.0, 3*w.dice.Float64(), 0.5, true)
		if w.runs++; w.runs%20000 == 0 {
			w.flush()
		}
	}
	n := float64(w.replicates)
	w.row("cases", id, rate, start, w.replicates, hits, float64(hits)/n, 0.0, 1.0, math.Exp(-lambda), lambda, 8.0, 5.0,
		9.0, 40/(rate+0.5), 22/rate, "replicates", nil, nil, nil, nil)
}

// none writes the rows of a case all of whose runs failed.
func (w *written) none(id string, rate, start float64) {
	for k := 1; k <= w.replicates; k++ {
		row := []any{id, k, rate, start, "failed"}
		for range 14 {
			row = append(row, nil)
		}
		w.row("runs", row...)
		must(w.t, w.folder.Fail(table.Failure{CaseID: id, Replicate: k, Values: map[string]any{"cooling_rate_K_per_h": rate},
			Error: "out of memory", Command: "onegrain draw study.toml"}))
	}
	w.row("cases", id, rate, start, 0, 0, nil, nil, nil, nil, nil, nil, nil, nil, nil, 10.0, "failure", nil, nil, nil, nil)
}

// Where every run failed there is a page that says so, and why.
func TestReportOfFailures(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "failed")
	writeResults(t, dir, 2, 3, 4, true)
	var told strings.Builder
	if code := execute([]string{"report", dir, "--no-pictures"}, streams{out: &told, err: &told}); code != exitDone {
		t.Fatalf("exit code %d: %s", code, told.String())
	}
	page, err := os.ReadFile(filepath.Join(dir, "report.html"))
	must(t, err)
	for _, want := range []string{"None of the 6 cases has a result", "24 failures noted", "The first 20 of",
		"out of memory", "24 of 24 runs failed", "All 6 cases failed: no chance is known"} {
		if !strings.Contains(string(page), want) {
			t.Errorf("the page does not have %q", want)
		}
	}
}

// A page of many cases shows as many as can be read, and is small enough to be mailed.
func TestReportOfManyCases(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "many")
	writeResults(t, dir, 20, 20, 5, false)
	var told strings.Builder
	if code := execute([]string{"report", dir}, streams{out: &told, err: &told}); code != exitDone {
		t.Fatalf("exit code %d: %s", code, told.String())
	}
	page, err := os.ReadFile(filepath.Join(dir, "report.html"))
	must(t, err)
	for _, want := range []string{"400 cases, 2000 runs", "200 of 400 cases, evenly", "grown again"} {
		if !strings.Contains(string(page), want) {
			t.Errorf("the page does not have %q", want)
		}
	}
	if len(page) > 5<<20 {
		t.Errorf("a page of %d kB: wanted at most 5 MB", len(page)>>10)
	}
}
