package studies

import (
	"io/fs"
	"path/filepath"
	"strings"
	"testing"
)

// sensible is a study that no rule of warnings finds fault with; TestWarnings changes one thing at
// a time.
const sensible = `title = "A first try"
[material]
base = "Y123, air"
peritectic_C = 1010
[random]
replicates = 20
[body]
shape = "disc"
diameter_mm = 24
height_mm = 8
cell_mm = 0.4
[[seed]]
size_mm = [2, 2]
peritectic_C = 1060
[schedule]
[[schedule.stage]]
to_C = 1045
rate_K_per_h = 100
[[schedule.stage]]
to_undercooling_K = 8
rate_K_per_h = 60
[[schedule.stage]]
to_undercooling_K = 30
rate_K_per_h = 0.4
[[schedule.stage]]
to_C = 25
rate_K_per_h = 100
`

// TestWarnings: each rule says one sentence that names key and next move where it should, and
// nothing of what is just allowed.
func TestWarnings(t *testing.T) {
	const law = "[nucleation.melt]\nlaw = \"sites\"\nmean_undercooling_K = 10\nspread_K = 2\ndensity_per_mm3 = "
	for _, c := range []struct{ name, from, to, want string }{
		{"as it is, cooled down at the end", "", "", ""},
		{"a temperature for an undercooling", "to_undercooling_K = 8", "to_C = 8",
			"schedule.stage.2.to_C = 8 is 1002 K of undercooling while 100 % of the body is liquid: write to_undercooling_K = " +
				"8 if that was meant"},
		{"molten by half a kelvin", "to_C = 1045", "to_C = 1010.5",
			"schedule.stage.1.to_C = 1010.5: the whole body is above its peritectic temperature for 0.013 h, and by 0.5 K at " +
				"most"},
		{"molten for long enough", "to_C = 1045", "to_C = 1020", ""},
		{"a quench", "rate_K_per_h = 60", "rate_K_per_h = 5000",
			"schedule.stage.2.rate_K_per_h = 5000: few furnaces can follow more than 1000 K/h, so take a " +
				"rate that yours can follow"},
		{"a quick furnace", "rate_K_per_h = 60", "rate_K_per_h = 900", ""},
		{"a body of 0.9 m", "diameter_mm = 24", "diameter_mm = 900",
			"body.diameter_mm: the body is 900 mm long, longer than any body that was ever grown"},
		{"a body in metres, its cells too", "diameter_mm = 24\nheight_mm = 8\ncell_mm = 0.4\n[[seed]]\nsize_mm = [2, 2]",
			"diameter_mm = 0.024\nheight_mm = 0.008\ncell_mm = 0.0004\n[[seed]]\nsize_mm = [0.002, 0.002]",
			"body.diameter_mm: the body is 0.024 mm long: lengths are in millimetres, so write 24 for 0.024 m"},
		{"strays by the million", "[schedule]\n", law + "1000\n[schedule]\n",
			"strays are expected in each run, too many"},
		{"a few strays", "[schedule]\n", law + "0.01\n[schedule]\n", ""},
		{"nothing left to chance", "[schedule]\n", "[nucleation.melt]\nlaw = \"none\"\n[schedule]\n",
			"nothing in this case is random: its 20 runs"},
	} {
		got := warned(t, load(t, strings.Replace(sensible, c.from, c.to, 1)))
		if c.want == "" && got != "" || c.want != "" && (!strings.Contains(got, c.want) || strings.Count(got, "\n") != 0) {
			t.Errorf("%s: %q, wanted %q alone", c.name, got, c.want)
		}
	}
}

func warned(t *testing.T, s *Study) string {
	t.Helper()
	e, err := s.Explain(0)
	if err != nil {
		t.Fatal(err)
	}
	return strings.Join(e.Warnings, "\n")
}

// TestWarningsOfOtherCases: what only another case shows is told with its number.
func TestWarningsOfOtherCases(t *testing.T) {
	const axis = "[[vary]]\nkey = \"schedule.stage.2.rate_K_per_h\"\nvalues = [60, 100, 5000]\n"
	if got := warned(t, load(t, sensible+axis)); !strings.HasSuffix(got, "(in case 3)") || strings.Count(got, "\n") != 0 {
		t.Errorf("%q", got)
	}
}

// TestUnseededPiece: of two pieces one has no seed, and strays would have to fill it.
func TestUnseededPiece(t *testing.T) {
	text := strings.Replace(read(t, filepath.Join(invalid, "base", "mask.toml")), "law = \"none\"",
		"law = \"barrier\"\nprefactor_per_mm3_h = 1.1e4\nbarrier_K3 = 1.12e7", 1)
	for picture, want := range map[string]string{"cross.png": "",
		"two.png": "body.file: the body is in 2 pieces and piece 1 has no seed"} {
		s, err := Load("mask.toml", []byte(strings.Replace(text, "cross.png", picture, 1)), openBeside, 0)
		if err != nil {
			t.Fatal(err)
		}
		if got := warned(t, s); want == "" && got != "" || !strings.HasPrefix(got, want) {
			t.Errorf("%s: %q, wanted %q", picture, got, want)
		}
	}
}

// TestIdle: hours after the body is solid are told where they are a day and as many as went before;
// not those of cooling down, and not where the body stays liquid.
func TestIdle(t *testing.T) {
	s := load(t, sensible)
	for full, want := range map[float64]string{20: "schedule.stage.3.to_undercooling_K = 30: the body is solid after 20 h",
		60: ""} {
		if got := s.Idle(0, full); want == "" && got != "" || !strings.HasPrefix(got, want) {
			t.Errorf("solid after %g h: %q, wanted %q", full, got, want)
		}
	}
	// 10.2 h to 1045 °C, 43 K at 60 K/h, then 0.4 K/h for 55 h: at 20 h the body is at 11.63 K, and at
	// 65.92 h at 30 K
	if got := s.Idle(0, 20); !strings.HasSuffix(got, "goes on for 45.92 h: to_undercooling_K = 11.63 is enough") {
		t.Error(got)
	}
	held := load(t, strings.Replace(sensible, "to_undercooling_K = 30\nrate_K_per_h = 0.4", "hold_h = 900", 1))
	if got := held.Idle(0, 110); !strings.HasPrefix(got, "schedule.stage.3.hold_h = 900: ") || !strings.HasSuffix(got,
		"hold_h = 99.08 is enough") {
		t.Error(got)
	}
}

// TestCatalogIsQuiet: no rule speaks of a shipped study; what is no whole number of cells is told.
func TestCatalogIsQuiet(t *testing.T) {
	names, err := fs.Glob(Catalog(), "*.toml")
	if err != nil || len(names) < 5 {
		t.Fatal(names, err)
	}
	for _, name := range names {
		text, err := fs.ReadFile(Catalog(), name)
		if err != nil {
			t.Fatal(err)
		}
		s := load(t, string(text))
		for _, w := range s.warnings(s.sample(), 0) {
			t.Errorf("%s: %s", name, w)
		}
	}
}
