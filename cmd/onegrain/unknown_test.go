package main

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"onegrain/analysis"
	"onegrain/studies/table"
)

// guessed is a section of a puck whose peritectic temperature is known to 2 K: stages are told by
// temperature.
const guessed = `
[random]
replicates = 3
[material]
base = "Y123, air"
[body]
shape = "disc"
plane = "ab"
diameter_mm = 16
cell_mm = 0.4
[[seed]]
size_mm = [2, 2]
[schedule]
[[schedule.stage]]
to_C = 1045
rate_K_per_h = 100
[[schedule.stage]]
to_C = 1002
rate_K_per_h = 60
[[schedule.stage]]
to_C = 975
rate_K_per_h = 0.5
[nucleation.melt]
law = "barrier"
prefactor_per_mm2_h = 1.1e4
barrier_K3 = 1.12e7
[[vary]]
key = "schedule.stage.3.rate_K_per_h"
values = [0.5, 1, 2]
[[vary]]
key = "material.peritectic_C"
role = "unknown"
values = [1009, 1010, 1011]
`

// TestUnknownAxesAreAveraged: the headline of a study that was run, against means over the rows of
// its cases by hand. What is not known is no part of a case's identity: the same study with all of
// it set reuses every case. Canary: it then has another headline.
func TestUnknownAxesAreAveraged(t *testing.T) {
	dir := t.TempDir()
	path, results := filepath.Join(dir, "study.toml"), filepath.Join(dir, "results")
	run := func(study string, args ...string) (*analysis.Headline, string) {
		t.Helper()
		if err := os.WriteFile(path, []byte(study), 0o644); err != nil {
			t.Fatal(err)
		}
		var told bytes.Buffer
		if code := execute(append([]string{"run", path, "--out", results}, args...),
			streams{out: &told, err: &told}); code != exitDone {
			t.Fatalf("exit code %d: %s", code, told.String())
		}
		folder, err := table.Open(results, nil)
		if err != nil {
			t.Fatal(err)
		}
		h, err := analysis.Head(folder, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		return h, told.String()
	}
	h, told := run(guessed)
	if len(h.Points) != 3 || h.Cases.Len() != 9 || !strings.Contains(told, "every number is the mean over what is not "+
		"known (peritectic)") {
		t.Fatalf("%d settings of %d cases: %s", len(h.Points), h.Cases.Len(), told)
	}
	for i, p := range h.Points {
		for name, got := range map[string]float64{"single_grain_probability_exact": float64(p.Exact),
			"single_grain_fraction": float64(p.Fraction), "time_to_full_h": float64(p.FullH),
			"clear_diameter_mm_median": float64(p.DiameterMM), "single_grain_fraction_low": float64(p.Counted.Low)} {
			sum, n := 0.0, 0.0
			for r := range 9 {
				if x := real(h.Cases, r, name); real(h.Cases, r, "rate_K_per_h") == []float64{0.5, 1, 2}[i] && !math.IsNaN(x) {
					sum, n = sum+x, n+1
				}
			}
			if math.Abs(got-sum/n) > 1e-12 {
				t.Errorf("setting %d, %s: %v, by hand %v", i, name, got, sum/n)
			}
		}
	}
	set, told := run(strings.Replace(guessed, `role = "unknown"`, "", 1))
	if len(set.Points) != 9 || strings.Contains(told, "every number is the mean") {
		t.Errorf("canary: %d settings where all is set: %s", len(set.Points), told)
	}
	if !strings.Contains(told, "0 runs done, 27 done before") {
		t.Errorf("the role has changed the cases: %s", told)
	}
}

// TestEachMarkTellsItsCause: a chance of 0 has one cause, told by its mark; what it is is seen in
// the tables in another way.
func TestEachMarkTellsItsCause(t *testing.T) {
	base := strings.Split(guessed, "[[vary]]")[0]
	turned := strings.Replace(base, "[[seed]]\nsize_mm = [2, 2]\n", "[[seed]]\nsize_mm = [2, 2]\nat_mm = [-4, "+
		"0]\n[[seed]]\nsize_mm = [2, 2]\nat_mm = [4, 0]\nturn_deg = 30\n", 1)
	for _, c := range []struct {
		name, study, because, mark string
		full                       bool // the run without strays leaves no liquid
	}{
		{"liquid", strings.Replace(base, "to_C = 975", "to_C = 1000", 1), "liquid", "†", false},
		{"apart", turned, "apart", "‡", true},
		{"unseeded", strings.Replace(base, "[[seed]]\nsize_mm = [2, 2]\n", "", 1), "unseeded", "§", false},
		{"one grain", base, "", "", true},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			path := filepath.Join(dir, "study.toml")
			if err := os.WriteFile(path, []byte(c.study), 0o644); err != nil {
				t.Fatal(err)
			}
			var told bytes.Buffer
			for range 2 { // the second time from what the first has written
				if code := execute([]string{"run", path, "--odds-only", "--out", filepath.Join(dir, "results")},
					streams{out: &told, err: &told}); code != exitDone {
					t.Fatalf("exit code %d: %s", code, told.String())
				}
			}
			folder, err := table.Open(filepath.Join(dir, "results"), nil)
			if err != nil {
				t.Fatal(err)
			}
			cases, err := folder.Table("cases")
			if err != nil {
				t.Fatal(err)
			}
			if got, _ := cases.Value(0, "never_because").(string); got != c.because {
				t.Errorf("because %q, wanted %q", got, c.because)
			}
			if full := !math.IsNaN(real(cases, 0, "time_to_full_h")); full != c.full {
				t.Errorf("full: %v, wanted %v", full, c.full)
			}
			for _, mark := range []string{"†", "‡", "§", "¶"} {
				if strings.Contains(told.String(), mark) != (mark == c.mark) {
					t.Errorf("mark %s: wanted %q alone in %s", mark, c.mark, told.String())
				}
			}
		})
	}
}
