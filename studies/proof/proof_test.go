package proof_test

import (
	"math"
	"strings"
	"testing"

	"onegrain/studies"
	"onegrain/studies/proof"
)

const melt = `
[material]
base = "Y123, air"
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
`

const seed = "[[seed]]\nsize_mm = [2, 2]\nperitectic_C = 1060\n"

func of(t *testing.T, text string) (*proof.Body, error) {
	t.Helper()
	s, err := studies.Load("body.toml", []byte(melt+text), nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	p, err := s.Plan(0)
	if err != nil {
		t.Fatal(err)
	}
	return proof.Of(p)
}

const disc = "[body]\nshape = \"disc\"\ndiameter_mm = 24\nheight_mm = 8\ncell_mm = 0.4\n"

// A puck is exact, and knows its sizes; of two turned seeds the table is compared with a run, and
// what it misses is said.
func TestBodiesThatHaveATable(t *testing.T) {
	b, err := of(t, disc+seed)
	if err != nil || !math.IsNaN(b.OffBy) || math.Abs(b.RimMM-11) > 0.1 || math.Abs(b.DepthMM-8) > 1e-9 || b.SeedMM != 2 ||
		math.Abs(b.WholeMM3/3619-1) > 0.01 || b.Scattered {
		t.Errorf("%v, %+v", err, b)
	}
	b, err = of(t, "[body]\nshape = \"block\"\nsize_mm = [20, 10, 5]\ncell_mm = 0.25\n"+
		"[[seed]]\nat_mm = [-5, 0]\nsize_mm = [2, 2]\nperitectic_C = 1060\n"+
		"[[seed]]\nat_mm = [5, 0]\nsize_mm = [1, 1]\nturn_deg = 20\nturn_sd_deg = 3\nperitectic_C = 1060\n")
	if err != nil || !(b.OffBy > 1e-6 && b.OffBy < 0.02) || b.SeedMM != 0 || !b.Scattered {
		t.Errorf("%v, %+v", err, b)
	}
}

func TestBodiesThatHaveNone(t *testing.T) {
	const graded = "[gradient]\nvertical_K_per_mm = 0.1\n"
	for text, want := range map[string]string{
		disc:                 "it has no seed",
		disc + seed + graded: "leave [gradient] out",
		"[body]\nshape = \"disc\"\ndiameter_mm = 24\nplane = \"ab\"\nthickness_mm = 8\ncell_mm = 0.2\n" + seed: "body.plane",
		"[body]\nshape = \"ring\"\nouter_diameter_mm = 24\ninner_diameter_mm = 14\nheight_mm = 6\ncell_mm = 0.4\n" +
			strings.Replace(seed, "size", "at_mm = [9.5, 0]\nsize", 1): "misses the strays of a full run by",
	} {
		if b, err := of(t, text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s%v, %+v: wanted %s", text, err, b, want)
		}
	}
}
