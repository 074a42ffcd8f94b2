package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"onegrain/studies/table"
)

// simulated runs a study and gives one of its tables.
func simulated(t *testing.T, study, name string) *table.Frame {
	t.Helper()
	dir := t.TempDir()
	path := filepath.Join(dir, "study.toml")
	if err := os.WriteFile(path, []byte(study), 0o644); err != nil {
		t.Fatal(err)
	}
	var told bytes.Buffer
	if code := execute([]string{"run", path, "--out", filepath.Join(dir, "results")}, streams{out: &told,
		err: &told}); code != exitDone {
		t.Fatalf("exit code %d: %s", code, told.String())
	}
	folder, err := table.Open(filepath.Join(dir, "results"), nil)
	if err != nil {
		t.Fatal(err)
	}
	f, err := folder.Table(name)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// fitted fits a sheet and gives what --json tells.
func fitted(t *testing.T, into any, sheet string, args ...string) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "runs.csv")
	if err := os.WriteFile(path, []byte(sheet), 0o644); err != nil {
		t.Fatal(err)
	}
	var out, told bytes.Buffer
	if code := execute(append(append([]string{"fit"}, args...), path, "--json"), streams{out: &out,
		err: &told}); code != exitDone {
		t.Fatalf("exit code %d: %s", code, told.String())
	}
	if err := json.Unmarshal(out.Bytes(), into); err != nil {
		t.Fatal(err)
	}
}

// ends are an interval as JSON tells it.
type ends struct{ Value, Low, High *float64 }

func (e ends) holds(x float64) bool {
	return e.Low != nil && e.High != nil && *e.Low <= x && x <= *e.High
}

// Widths of simulated grains, read with a ruler of 0.1 mm, must give the growth law of the study
// back. Rounding is no Gaussian scatter, but of that size, and the intervals of one seeded data set
// are asked for. Canaries: an exponent 0.2 off, and a rate 10 % off.
func TestWidthsOfSimulatedGrainsGiveTheLawBack(t *testing.T) {
	history := simulated(t, `title = "Cooled grains"
[material]
base = "Y123, air"
[body]
shape = "disc"
diameter_mm = 40
cell_mm = 1
plane = "ab"
[[seed]]
size_mm = [2, 2]
[schedule]
start_C = 1030
[[schedule.stage]]
to_undercooling_K = 4
rate_K_per_h = 100000
[[schedule.stage]]
to_undercooling_K = 10
rate_K_per_h = 0.4
[nucleation.melt]
law = "none"
[[vary]]
key = "schedule.stage.1.to_undercooling_K"
name = "from_K"
values = [4, 6, 8, 10, 7, 12, 14]
[[vary]]
key = "schedule.stage.2.to_undercooling_K"
name = "to_K"
values = [10, 12, 14, 13, 20, 18, 15]
[[vary]]
key = "schedule.stage.2.rate_K_per_h"
name = "cooling_K_per_h"
values = [0.4, 0.5, 0.8, 0.2, 1, 1.2, 0.25]
[design]
kind = "together"
[keep]
history = true
`, "history")
	last := map[string]int{}
	var order []string
	for i := range history.Len() {
		id, _ := history.Value(i, "case_id").(string)
		if _, known := last[id]; !known {
			order = append(order, id)
		}
		last[id] = i
	}
	from, to, rate := []float64{4, 6, 8, 10, 7, 12, 14}, []float64{10, 12, 14, 13, 20, 18, 15}, []float64{0.4, 0.5,
		0.8, 0.2, 1, 1.2, 0.25}
	sheet := "start_undercooling_K;end_undercooling_K;hours;width_mm;seed_mm\n"
	for k := range order {
		width := math.NaN()
		for _, id := range order { // the case whose programme ends there, at that hour
			i := last[id]
			if math.Abs(real(history, i, "undercooling_K")-to[k]) < 1e-6 &&
				math.Abs(real(history, i, "time_h")-(to[k]-from[k])/rate[k]) < 0.1 {
				width = 2 * real(history, i, "half_width_a_mm")
			}
		}
		sheet += strings.ReplaceAll(fmt.Sprintf("%g;%g;%g;%.1f;2\n", from[k], to[k], (to[k]-from[k])/rate[k], width), ".",
			",")
	}
	var got struct {
		Faces []struct {
			Rate     ends `json:"rate_at_10K_mm_per_h"`
			Exponent ends
		}
	}
	fitted(t, &got, sheet, "growth")
	law := got.Faces[0]
	if !law.Rate.holds(0.134) || !law.Exponent.holds(1.9) {
		t.Errorf("rate %v to %v, exponent %v to %v; the study has 0.134 and 1.9\n%s", *law.Rate.Low, *law.Rate.High,
			*law.Exponent.Low, *law.Exponent.High, sheet)
	}
	if law.Rate.holds(1.1*0.134) || law.Exponent.holds(1.7) {
		t.Error("the canary passes: another law lies in the intervals as well")
	}
}

const unseeded = `title = "Unseeded"
[random]
seed = 11
replicates = %d
[material]
base = "Y123, air"
%s
[body]
shape = "block"
%s
cell_mm = 0.5
[schedule]
start_C = 1030
[[schedule.stage]]
to_undercooling_K = %s
rate_K_per_h = 100000
[[schedule.stage]]
%s
[nucleation.melt]
law = "barrier"
%s
barrier_K3 = 1.12e7
[[vary]]
%s
`

// First strays of simulated bodies, and counts of them where grains hardly grow and so leave the
// liquid as it was, must give the nucleation law of the study back: its barrier and prefactor lie
// in the intervals of these seeded data. Canaries: half the barrier, and a prefactor as of a
// barrier that is half.
func TestStraysOfSimulatedBodiesGiveTheLawBack(t *testing.T) {
	first := simulated(t, fmt.Sprintf(unseeded, 16, "", "size_mm = [30, 20]\nplane = \"ab\"", "8",
		"to_undercooling_K = 24\nrate_K_per_h = 1", "prefactor_per_mm2_h = 1.1e5",
		"key = \"schedule.stage.2.rate_K_per_h\"\nname = \"cooling_K_per_h\"\nvalues = [0.2, 1, 5]"), "runs")
	sheet := "start_undercooling_K,end_undercooling_K,hours,area_mm2,place,seed_mm,first_stray_undercooling_K\n"
	for i := range first.Len() {
		at := ""
		if u := real(first, i, "first_stray_undercooling_K"); !math.IsNaN(u) {
			at = fmt.Sprintf("%.2f", u)
		}
		sheet += fmt.Sprintf("8,24,%g,600,melt,0,%s\n", 16/real(first, i, "cooling_K_per_h"), at)
	}
	slow := "[material.growth_a]\nlaw = \"power\"\nrate_at_10K_mm_per_h = 1e-6\nexponent = 1\n" +
		"[material.growth_c]\nlaw = \"power\"\nrate_at_10K_mm_per_h = 1e-6\nexponent = 1\n"
	counts := simulated(t, fmt.Sprintf(unseeded, 6, slow, "size_mm = [20, 10, 5]", "16", "hold_h = 12",
		"prefactor_per_mm3_h = 1.1e6",
		"key = \"schedule.stage.1.to_undercooling_K\"\nname = \"held_K\"\nvalues = [17, 19, 20, 21]"), "runs")
	seen := "undercooling_K,hours,volume_mm3,strays\n"
	for i := range counts.Len() {
		seen += fmt.Sprintf("%g,12,1000,%g\n", real(counts, i, "held_K"), real(counts, i, "stray_grains"))
	}
	for _, c := range []struct {
		what, text string
		prefactor  float64
	}{{"first strays", sheet, 1.1e5}, {"counts", seen, 1.1e6}} {
		var got struct {
			Places []struct {
				Prefactor ends `json:"prefactor_per_unit_h"`
				Barrier   ends `json:"barrier_K3"`
			}
		}
		fitted(t, &got, c.text, "nuclei", "--base", "Y123, air")
		law := got.Places[0]
		if !law.Prefactor.holds(c.prefactor) || !law.Barrier.holds(1.12e7) {
			t.Errorf("%s: prefactor %v to %v, barrier %v to %v; the study has %.2g and 1.12e7\n%s", c.what,
				*law.Prefactor.Low, *law.Prefactor.High, *law.Barrier.Low, *law.Barrier.High, c.prefactor, c.text)
		}
		if law.Barrier.holds(0.56e7) || law.Prefactor.holds(c.prefactor*math.Exp(-11)) {
			t.Errorf("%s: the canary passes: half the barrier lies in the interval as well", c.what)
		}
		t.Logf("%s: prefactor %.3g to %.3g, barrier %.4g to %.4g", c.what, *law.Prefactor.Low, *law.Prefactor.High,
			*law.Barrier.Low, *law.Barrier.High)
	}
}

// Numbers at and beyond the ends of what a furnace does must end in a law or in an error that ends
// with 2, never in an internal one.
func TestWildNumbersAreTold(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	pick := func(x ...string) string { return x[r.IntN(len(x))] }
	undercooling := func() string {
		return pick("-500", "-5", "0", "1e-300", "0.001", "0.02", "1", "5", "10", "12", "15", "20", "20", "22", "100", "500")
	}
	path := filepath.Join(t.TempDir(), "wild.csv")
	codes := map[int]int{}
	for range 120 {
		var b strings.Builder
		b.WriteString("undercooling_K,start_undercooling_K,end_undercooling_K,hours,grown_mm,volume_mm3," +
			"strays,stray_seen,first_stray_h\n")
		for range 1 + r.IntN(8) {
			course := undercooling() + ",,"
			if r.IntN(2) == 0 {
				course = "," + undercooling() + "," + undercooling()
			}
			fmt.Fprintf(&b, "%s,%s,%s,%s,%s\n", course, pick("0.001", "0.5", "20", "20", "1000", "100000"),
				pick("0", "1e-300", "0.1", "1", "2", "5", "1000"),
				pick("1e-6", "1", "1000", "4900", "1e12"), pick("0,,", "0,,", "1,,", "3,,", "1000000,,", ",yes,", ",no,", ",,0",
					",,0.0005", ",,"))
		}
		if err := os.WriteFile(path, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
		for _, args := range [][]string{{"growth"}, {"growth", "--exponent", "0"}, {"nuclei", "--peritectic", "1010"},
			{"nuclei", "--peritectic", "1010", "--barrier", pick("1", "1.12e7", "1e15")}} {
			var o, e bytes.Buffer
			code := execute(append(append([]string{"fit"}, args...), path, "--json"), streams{out: &o, err: &e})
			codes[code]++
			if code != exitDone && code != exitUsage || code == exitDone && !json.Valid(o.Bytes()) {
				t.Errorf("%v: exit code %d\n%s\n%s", args, code, b.String(), e.String())
			}
		}
	}
	if codes[exitDone] < 15 || codes[exitUsage] < 15 {
		t.Errorf("codes %v: these numbers try too little", codes)
	}
}
