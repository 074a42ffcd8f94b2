package studies

import (
	"strings"
	"testing"
)

const noted = `
[material]
base = "Y123, air"
[body]
shape = "disc"
diameter_mm = 16
height_mm = 4
cell_mm = 0.4
[[seed]]
size_mm = [2, 2]
[schedule]
[[schedule.stage]]
to_C = 1045
rate_K_per_h = 100
[[schedule.stage]]
to_undercooling_K = 20
rate_K_per_h = 1
`

// TestNotes: a peritectic temperature that is varied as if it could be chosen, and one that takes
// the programme along, are told; canaries say which of both is not.
func TestNotes(t *testing.T) {
	const vary = "\n[[vary]]\nkey = \"material.peritectic_C\"\nvalues = [1009, 1010]\n"
	told := func(study string) string { return strings.Join(load(t, study).Notes(), "\n") }
	for _, c := range []struct {
		name, study string
		set, along  bool
	}{
		{"as if set", noted + vary, true, true},
		{"not known", noted + vary + "role = \"unknown\"\n", false, true},
		{"told by temperature", strings.Replace(noted, "to_undercooling_K = 20", "to_C = 985", 1) + vary, true, false},
		{"neither", noted, false, false},
	} {
		text := told(c.study)
		if strings.Contains(text, `with role = "unknown"`) != c.set || strings.Contains(text,
			"(schedule.stage.2): their temperatures change with it") != c.along {
			t.Errorf("%s: %q", c.name, text)
		}
	}
}

// TestLaws: statements about laws are those of the study's own.
func TestLaws(t *testing.T) {
	told := func(study string) string { return strings.Join(load(t, study).Laws(), " ") }
	const own = "[nucleation.melt]\nlaw = \"barrier\"\nprefactor_per_mm3_h = 2e4\nbarrier_K3 = 1.12e7\n"
	for _, c := range []struct {
		name, study string
		says        []string
		not         string
	}{
		{"all of the row", noted, []string{"Growth along a and b; growth along c: that of “Y123, air”",
			"Nucleation in the melt: that of “Y123, air”, one stray per"}, "study itself"},
		{"own strays", noted + own, []string{"growth along c: that of “Y123, air”",
			"Nucleation in the melt: given by the study itself."}, "one stray per"},
		{"own growth", strings.Replace(noted, `base = "Y123, air"`, "base = \"Y123, air\"\ngrowth_a.rate_at_10K_mm_per_h = "+
			"0.2", 1), []string{"Growth along a and b: given by the study itself.", "Growth along c: that of"},
			"a and b; growth"},
		{"varied", noted + "[[vary]]\nkey = \"nucleation.melt.barrier_K3\"\nvalues = [1e7, 1.1e7]\n",
			[]string{"Nucleation in the melt: varied by the study."}, "one stray per"},
		{"none", noted + "[nucleation.melt]\nlaw = \"none\"\n", []string{"Growth along a and b; growth along c"},
			"ucleation"},
	} {
		text := told(c.study)
		for _, part := range c.says {
			if !strings.Contains(text, part) {
				t.Errorf("%s: no %q in %q", c.name, part, text)
			}
		}
		if strings.Contains(text, c.not) {
			t.Errorf("%s: %q in %q", c.name, c.not, text)
		}
	}
}
