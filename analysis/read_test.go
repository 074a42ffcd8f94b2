package analysis

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"runtime"
	"strings"
	"testing"
	"time"

	"onegrain/studies/table"
)

func small() *made {
	return &made{study: plainStudy, rates: []float64{0.2, 0.4, 0.6, 0.8}, starts: []float64{6, 8, 10, 12, 14},
		replicates: 40, seeds: 2, part: 400}
}

func found(t *testing.T, m *made, o Options) *Findings {
	t.Helper()
	out := must[*Findings](t)(Read(m.folder(t), o))
	text := must[[]byte](t)(json.Marshal(out))
	var back Findings
	if err := json.Unmarshal(text, &back); err != nil || back.Runs.Total != out.Runs.Total ||
		len(back.Window.Slices) != len(out.Window.Slices) {
		t.Errorf("JSON does not read back: %v", err)
	}
	if strings.Contains(string(text), "NaN") {
		t.Error("NaN in JSON")
	}
	return out
}

// TestRead: everything is told, and is what was put in.
func TestRead(t *testing.T) {
	m := small()
	out := found(t, m, Options{})
	if out.Title != "Made" || out.JoinDeg != 4 || out.Cases != 20 || len(out.Axes) != 2 ||
		out.Axes[0].Label != "cooling rate" || out.Axes[1].Unit != "K" {
		t.Errorf("%q %v %d %+v", out.Title, out.JoinDeg, out.Cases, out.Axes)
	}
	if r := out.Runs; r.Total != 800 || r.Solid != 800 || r.Failed+r.Liquid+r.Foreign != 0 ||
		math.Abs(r.WallH-0.08) > 1e-9 || r.DiameterMM.Count != 800 {
		t.Errorf("%+v", r)
	}
	// the largest box of cases with Λ ≤ 0.0513: at 0.4 K/h all starts to 14 K (0.0411), at 0.6 only 6
	// K (0.038)
	b := out.Window.Slices[0].Safe[0]
	if b.Cases != 10 || b.X.To != 0.4 || b.Y.To != 14 {
		t.Errorf("box %+v %+v", b, b.Y)
	}
	if !strings.Contains(out.Window.Sentence, "keep cooling rate at or below 0.4 K/h (explored from 0.2) and start "+
		"undercooling anywhere from 6 to 14 K") {
		t.Error(out.Window.Sentence)
	}
	if out.Window.Agreement.Disagree() {
		t.Errorf("%+v", out.Window.Agreement)
	}
	if out.Influence[0].Inputs[0].Input != "cooling_rate_K_per_h" || out.Influence[0].Inputs[0].Rank < 0.8 {
		t.Errorf("%+v", out.Influence[0])
	}
	// the largest grain is at the lowest rate, in 1 % of 19.8 also at 0.4 K/h, whose programme is the
	// shortest
	if out.Best == nil || !out.Best.Reaches || out.Best.Settings[0].Value != "0.4 K/h" &&
		out.Best.Settings[0].Value != "0.2 K/h" || out.Best.Replicate != 1 {
		t.Errorf("%+v", out.Best)
	}
	p := math.Erf(4 / (2 * 2.0)) // two seeds stay within 4°
	if s := out.Scatter.All; s.Runs != 800 || float64(s.JoinShare.Low) > p || float64(s.JoinShare.High) < p ||
		len(out.Scatter.Cases) != 20 {
		t.Errorf("%+v", s.JoinShare)
	}
	if s := out.Scatter.All; s.WorstTilt.Median != s.WorstDeg.Median/2 {
		t.Errorf("c axes %+v of %+v", s.WorstTilt, s.WorstDeg)
	}
	if k := out.Boundaries.Kinds; k[0].Count != 800 || k[0].AreaMM2 != 6400 || k[1].Count != 800-out.Runs.Single ||
		len(out.Boundaries.Watched) == 0 {
		t.Errorf("%+v", k)
	}
	if len(out.PerCase) != 20 || out.PerCase[19].WithStrays == 0 || out.PerCase[19].StrayAtK.Median != 17 {
		t.Errorf("%d", len(out.PerCase))
	}
}

// TestReadTwice: rows told twice count once, and failed runs are told.
func TestReadTwice(t *testing.T) {
	m := small()
	once := found(t, m, Options{})
	m.twice = true
	twice := found(t, m, Options{})
	once.Runs.WallH, twice.Runs.WallH = 0, 0 // sums may differ in the last bit with the order of the files
	for i := range once.Boundaries.Kinds {
		if math.Abs(float64(once.Boundaries.Kinds[i].Passing-twice.Boundaries.Kinds[i].Passing)) > 1e-12 {
			t.Errorf("%+v, twice %+v", once.Boundaries.Kinds[i], twice.Boundaries.Kinds[i])
		}
		once.Boundaries.Kinds[i].Passing, twice.Boundaries.Kinds[i].Passing = 0, 0
	}
	a, b := must[[]byte](t)(json.MarshalIndent(once, "", " ")), must[[]byte](t)(json.MarshalIndent(twice, "", " "))
	if string(a) != string(b) {
		t.Errorf("rows told twice change the findings:\n%s", differing(string(a), string(b)))
	}
	m = small()
	m.failed = 10
	out := found(t, m, Options{})
	if out.Runs.Failed != 80 || !strings.Contains(strings.Join(out.Warnings, " "), "80 of 800 runs failed") {
		t.Errorf("%+v %v", out.Runs, out.Warnings)
	}
}

// differing is the first line in which two texts differ.
func differing(a, b string) string {
	x, y := strings.Split(a, "\n"), strings.Split(b, "\n")
	for i := range min(len(x), len(y)) {
		if x[i] != y[i] {
			return x[i] + "\n" + y[i]
		}
	}
	return "one is longer"
}

func TestReadLittle(t *testing.T) {
	empty := &made{study: plainStudy, part: 1}
	out := found(t, empty, Options{})
	if out.Cases != 0 || out.Best != nil || !strings.Contains(out.Window.Sentence, "No case was computed") ||
		!strings.Contains(strings.Join(out.Warnings, " "), "no finished table of cases") {
		t.Errorf("%+v", out)
	}
	one := &made{study: plainStudy, rates: []float64{0.2}, starts: []float64{6}, replicates: 3, seeds: 1, part: 8}
	out = found(t, one, Options{})
	if out.Scatter != nil || out.Influence != nil || !strings.Contains(out.Window.Sentence, "The one case") {
		t.Errorf("%s", out.Window.Sentence)
	}
	failed := small()
	failed.failed = 1
	out = found(t, failed, Options{})
	if out.Runs.Failed != 800 || !strings.Contains(out.Boundaries.Sentence, "No two grains touch") {
		t.Errorf("%+v", out.Runs)
	}
	lost := small()
	lost.noCases = true
	if out = found(t, lost, Options{}); out.Runs.Foreign != 800 ||
		!strings.Contains(strings.Join(out.Warnings, " "), "800 runs in the folder belong to no case") {
		t.Errorf("%+v %v", out.Runs, out.Warnings)
	}
	odd := small()
	odd.study = "title = \"unfinished"
	if out = found(t, odd, Options{}); !strings.Contains(strings.Join(out.Warnings, " "), "cannot be read") ||
		out.JoinDeg != 5 {
		t.Errorf("%v", out.Warnings)
	}
}

// TestAveragesDoNotMixTurns: where the turn of a seed is set, sums over boundaries and joints are
// over the cases with the turn of the best one. Canary: where another axis is set in its place they
// are over all.
func TestAveragesDoNotMixTurns(t *testing.T) {
	for key, runs := range map[string]int{"seed.1.turn_deg": 160, "schedule.stage.3.to_undercooling_K": 800} {
		m := small()
		m.study += fmt.Sprintf("[[vary]]\nkey = %q\nname = \"start_undercooling_K\"\n", key)
		out := found(t, m, Options{})
		if out.Boundaries.Kinds[0].Count != runs || out.Scatter.All.Runs != runs || len(out.Scatter.Cases) != 20 ||
			(len(out.Alike) == 1) != (runs == 160) {
			t.Errorf("%s: %d boundaries of %d runs, alike %v: wanted %d", key, out.Boundaries.Kinds[0].Count,
				out.Scatter.All.Runs, out.Alike, runs)
		}
	}
}

func TestReadOptions(t *testing.T) {
	m := small()
	f := m.folder(t)
	out := must[*Findings](t)(Read(f, Options{Fixed: map[string]string{"start_undercooling_K": "10.0"}, Chance: 0.9}))
	if out.Cases != 4 || out.Window.Y != nil || out.Runs.Total != 160 || len(out.Window.Slices[0].Crossings) != 1 {
		t.Errorf("%d cases, %+v", out.Cases, out.Window)
	}
	// Λ = −log 0.9 at 0.5·(0.10536/0.0513)^¼ = 0.5986 K/h; interpolation between 0.4 and 0.6 is right
	// to 1 %
	if at := float64(out.Window.Slices[0].Crossings[0].At); math.Abs(at-0.5986) > 0.006 {
		t.Errorf("limit at %v", at)
	}
	out = must[*Findings](t)(Read(f, Options{X: "start_undercooling_K"}))
	if out.Window.X.Name != "start_undercooling_K" || len(out.Window.Slices) != 4 {
		t.Errorf("%+v", out.Window.X)
	}
	for want, o := range map[string]Options{
		`column "x"`: {Fixed: map[string]string{"x": "1"}},
		"no case has it; there are [10 12 14 6 8]": {Fixed: map[string]string{"start_undercooling_K": "11"}},
		"Chance = 2": {Chance: 2}, `axis "y"`: {X: "y"},
	} {
		if _, err := Read(f, o); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%+v: %v", o, err)
		}
	}
}

// TestReadLaw: the current across boundaries is that of the study's own law; where it sets none, of
// the published one.
func TestReadLaw(t *testing.T) {
	m := small()
	if k := found(t, m, Options{}).Boundaries.Kinds[1]; !(k.Passing < 0.01) { // strays of 40°, in the published law
		t.Errorf("%+v", k)
	}
	m.study += "[magnet]\nboundary_threshold_deg = 90\nboundary_decay_deg = 1\n"
	if k := found(t, m, Options{}).Boundaries.Kinds[1]; k.Passing != 1 {
		t.Errorf("all passes up to 90°: %+v", k)
	}
	m.study = strings.Replace(m.study, "decay_deg = 1", "decay_deg = 0", 1)
	if _, err := Read(m.folder(t), Options{}); err == nil || !strings.Contains(err.Error(), "DecayDeg = 0") {
		t.Errorf("a law without decay: %v", err)
	}
}

// TestManyRuns: what many runs take of memory, a hundredth of 100,000 unless ONEGRAIN_MANY_RUNS
// asks for more. What is allocated goes with the rows, of which a run has 32 here: a column that is
// made anew for each row would take 50 times as much.
func TestManyRuns(t *testing.T) {
	m := &made{study: plainStudy, rates: []float64{0.2, 0.4, 0.6, 0.8}, starts: []float64{6, 8, 10, 12, 14},
		replicates: 50, seeds: 16, part: 256}
	if n := os.Getenv("ONEGRAIN_MANY_RUNS"); n != "" {
		if _, err := fmt.Sscan(n, &m.replicates); err != nil {
			t.Fatal(err)
		}
		m.replicates /= 20
	}
	f := m.folder(t)
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	begin := time.Now()
	out := must[*Findings](t)(Read(f, Options{}))
	runtime.ReadMemStats(&after)
	each := (after.TotalAlloc - before.TotalAlloc) >> 10 / uint64(out.Runs.Total)
	t.Logf("%d runs in %v, %d MB from the system, %d kB allocated for each", out.Runs.Total, time.Since(begin),
		after.Sys>>20, each)
	if out.Runs.Total != 20*m.replicates || out.Boundaries.Kinds[0].Count != 15*out.Runs.Total {
		t.Errorf("%+v", out.Runs)
	}
	if each > 100 {
		t.Errorf("%d kB allocated for each run", each)
	}
}

// TestDamaged: a file that is not what was written is no finding.
func TestDamaged(t *testing.T) {
	dir := t.TempDir() + "/results"
	f := must[*table.Folder](t)(table.Create(dir, []byte(plainStudy), func([]byte) string { return "" },
		table.Provenance{}))
	if err := os.WriteFile(dir+"/cases.parquet", []byte("PAR1 no"), 0o666); err != nil {
		t.Fatal(err)
	}
	if _, err := Read(f, Options{}); err == nil || !strings.Contains(err.Error(), "damaged") {
		t.Errorf("%v", err)
	}
}
