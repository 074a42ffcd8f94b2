package gallery

import (
	"testing"

	"onegrain/sim/measure"
	"onegrain/studies/again"
)

// What is said of a body that traps nothing, and of one that is solid but for a cell.
func TestWords(t *testing.T) {
	run := &again.Grown{Run: measure.Run{SolidFraction: 0.99999, StrayGrains: 1}}
	g := &Gallery{Grown: run, Weighed: &again.Magnet{HeightMM: 1, CurrentAPerMM2: 100, WholeT: 0.25}}
	said := g.Says()
	want := []string{
		"not a single grain: 1 stray, 99.9 % solid, clear piece 0.0 mm across",
		"trapped field 1 mm above the top at 100 A/mm²: none, because no column from top to bottom " +
			"is of one domain (one grain: 0.25 T)",
	}
	if len(said) != 2 || said[0] != want[0] || said[1] != want[1] {
		t.Errorf("%q, wanted %q", said, want)
	}
	none := "none, because no column from top to bottom is of one domain (one grain would have 0.25 T)"
	if f := g.MagnetFacts(); len(f) != 2 || f[1][1] != none {
		t.Errorf("%q", f)
	}
	if f := g.Facts(); f[0][1] != "no" || f[2][1] != "99.9 %" || len(f) != 5 {
		t.Errorf("%q", f)
	}
}
