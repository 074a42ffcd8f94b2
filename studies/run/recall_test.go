package run

import (
	"context"
	"errors"
	"maps"
	"math"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"onegrain/studies"
	"onegrain/studies/table"
)

// recalled runs a study and gives what was told of the folder before, and how it ended.
func recalled(t *testing.T, r *Runner) (before, after Summary) {
	t.Helper()
	r.Recalled = func(s Summary) { before = s }
	after = run(t, r)
	return before, after
}

// What a folder holds of another model version, and of cases that the study does not have, is no
// result of it: it is moved to a results folder of its own, and run anew.
func TestAnotherModelVersion(t *testing.T) {
	s, dir := load(t, small), t.TempDir()
	old, err := table.Create(dir, s.Text, studies.Draws, table.Provenance{Version: "test", ModelVersion: "0",
		Command: "earlier", Start: time.Unix(0, 0)})
	if err != nil {
		t.Fatal(err)
	}
	source := folder(t, t.TempDir(), s)
	run(t, &Runner{Study: s, Folder: source, Workers: 2})
	runs, err := source.Table("runs")
	if err != nil {
		t.Fatal(err)
	}
	as := map[any]string{} // the first three cases as version 0 called them, one that no study has, two as they are
	for i := range 3 {
		p, _ := s.Identify(i)
		as[p.ID] = p.Under("0")
	}
	p, _ := s.Identify(3)
	as[p.ID] = "00000000deadbeef"
	frame := table.NewFrame(runs.Schema)
	for r := range runs.Len() {
		var row []any
		for _, c := range runs.Schema.Columns {
			row = append(row, runs.Value(r, c.Name))
		}
		if id, ok := as[row[0]]; ok {
			row[0] = id
		}
		if err := frame.Append(row...); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := old.Add(frame); err != nil {
		t.Fatal(err)
	}
	before, after := recalled(t, &Runner{Study: s, Folder: folder(t, dir, s), Workers: 2})
	if before.Moved.Cases != 4 || before.Moved.Runs != 4*12 || len(before.Moved.To) != 1 || before.Begun != 2 ||
		before.Reused != 0 {
		t.Errorf("before: %+v, wanted 4 moved, 2 begun (whose odds are lost)", before)
	}
	earlier, err := table.Open(filepath.Join(dir, before.Moved.To[0]))
	if err != nil {
		t.Fatal(err)
	}
	moved, err := earlier.Table("runs")
	if err != nil || moved.Len() != 4*12 {
		t.Fatalf("%v, %v: wanted 48 runs", moved, err)
	}
	for r := range moved.Len() {
		if id := moved.Value(r, "case_id").(string); !slices.Contains(slices.Collect(maps.Values(as)), id) {
			t.Errorf("case %s was moved", id)
		}
	}
	if after.Runs != 4*12 || after.Skipped != 2*12 {
		t.Errorf("after: %+v, wanted 48 runs and 24 as they were", after)
	}
	before, after = recalled(t, &Runner{Study: s, Folder: folder(t, dir, s), Workers: 2})
	if before.Reused != 6 || before.Moved.Cases != 0 || after.Runs != 0 || after.Cases != 0 {
		t.Errorf("again: %+v, then %+v: wanted all 6 reused and none begun", before, after)
	}
}

// The rows of reused cases are those that a command without anything to reuse would write, odds
// included.
func TestReusedRowsAreTheSame(t *testing.T) {
	for name, text := range map[string]string{"plain": small, "precise": strings.Replace(small, "replicates = 12",
		"replicates = 80\nprecision = 0.2", 1),
		"scattered": strings.Replace(strings.Replace(small, "size_mm = [2, 2]", "size_mm = [2, 2]\nturn_sd_deg = 20", 1),
			"replicates = 12", "replicates = 6", 1)} {
		s := load(t, text)
		f := folder(t, t.TempDir(), s)
		run(t, &Runner{Study: s, Folder: f, Workers: 2})
		want := rowsOf(t, f, "cases")
		before, after := recalled(t, &Runner{Study: s, Folder: f, Workers: 2})
		if before.Reused != 6 || after.Cases != 0 || after.Runs != 0 {
			t.Errorf("%s: %+v, then %+v: wanted 6 cases reused and nothing done", name, before, after)
		}
		if got := rowsOf(t, f, "cases"); !reflect.DeepEqual(got, want) {
			t.Errorf("%s: rows of reused cases differ:\n%v\n%v", name, got, want)
		}
		run(t, &Runner{Study: s, Folder: f, Workers: 2, OddsOnly: true})
		if got := rowsOf(t, f, "cases"); !reflect.DeepEqual(got, want) {
			t.Errorf("%s: exact odds alone have changed rows that were there:\n%v\n%v", name, got, want)
		}
	}
}

// Exact odds alone go on where they were stopped.
func TestOddsGoOn(t *testing.T) {
	s := load(t, small)
	f, whole := folder(t, t.TempDir(), s), folder(t, t.TempDir(), s)
	run(t, &Runner{Study: s, Folder: whole, Workers: 2, OddsOnly: true})
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	first, err := (&Runner{Study: s, Folder: f, Workers: 1, OddsOnly: true, Watch: func(c Summary) {
		if c.Runs == 3 {
			cancel()
		}
	}}).Run(ctx)
	if !errors.Is(err, context.Canceled) || first.Runs < 3 || first.Runs > 4 {
		t.Fatalf("%+v, %v: wanted to stop at the third case", first, err)
	}
	before, after := recalled(t, &Runner{Study: s, Folder: f, Workers: 2, OddsOnly: true})
	if before.Reused < 2 || after.Runs != 6-before.Reused {
		t.Errorf("%+v, then %+v: wanted the finished cases reused and the rest done", before, after)
	}
	if got, want := rowsOf(t, f, "cases"), rowsOf(t, whole, "cases"); !reflect.DeepEqual(got, want) {
		t.Errorf("rows differ from those of one command:\n%v\n%v", got, want)
	}
}

// Λ is linear in the rate of nucleation, and the chance of a single grain is exp(−Λ), down to
// chances far below what counting could ever see: each from 1e-1 to 1e-12 to nine digits. Canary: a
// barrier that is one in ten thousand lower.
func TestOddsResolveTheRarest(t *testing.T) {
	odds := func(scale, barrier float64) (probability, strays float64) {
		text := strings.NewReplacer("values = [0.3, 0.5, 1]", "values = [0.3]", "values = [6, 12]", "values = [12]",
			"prefactor_per_mm2_h = 1.1e4", "prefactor_per_mm2_h = "+fmtG(1.1e4*scale),
			"barrier_K3 = 6e6", "barrier_K3 = "+fmtG(barrier)).Replace(small)
		s := load(t, text)
		f := folder(t, t.TempDir(), s)
		run(t, &Runner{Study: s, Folder: f, Workers: 2, OddsOnly: true})
		cases, err := f.Table("cases")
		if err != nil {
			t.Fatal(err)
		}
		if cases.Value(0, "runs") != int64(0) || cases.Value(0, "single_grain_fraction") != nil ||
			cases.Value(0, "clear_diameter_mm_median") != nil || cases.Value(0, "stopped_by") != "odds only" {
			t.Fatalf("row %v: wanted nothing counted", rowsOf(t, f, "cases"))
		}
		return cases.Value(0, "single_grain_probability_exact").(float64), cases.Value(0, "expected_strays_exact").(float64)
	}
	_, one := odds(1, 6e6)
	for _, wanted := range []float64{1e-1, 1e-3, 1e-6, 1e-9, 1e-12} {
		p, _ := odds(-math.Log(wanted)/one, 6e6)
		if math.Abs(p/wanted-1) > 1e-9 {
			t.Errorf("a chance of %g comes out as %g", wanted, p)
		}
		if wrong, _ := odds(-math.Log(wanted)/one, 6e6*0.9999); math.Abs(wrong/wanted-1) < 1e-9 {
			t.Errorf("the canary passes at %g", wanted)
		}
	}
	if p, strays := odds(1e-9/one, 6e6); math.Abs(strays/1e-9-1) > 1e-9 || math.Abs((1-p)/1e-9-1) > 1e-6 {
		t.Errorf("1e-9 strays expected come out as %g, the chance of any as %g", strays, 1-p)
	}
}

func fmtG(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }
