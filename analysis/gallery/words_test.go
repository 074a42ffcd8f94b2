package gallery

import (
	"strings"
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
	along, across := 0.25, 0.5
	g.Weighed.Peaks, g.Weighed.PeakT, g.Weighed.WholeAM2, g.Weighed.MomentAM2 = []again.Peak{{T: 0.2}, {T: 0.1}}, 0.2, 4, 1
	g.Weighed.AlongX, g.Weighed.AlongY = &along, &across
	for _, want := range []string{"2 peaks of 0.2, 0.1 T at most (one grain: 0.25 T), moment 25 % of that of one grain",
		"along the block: at most 25 % of that of one grain along x, 50 % along y"} {
		if got := strings.Join(g.Says(), "; "); !strings.Contains(got, want) {
			t.Errorf("%q, wanted %q", got, want)
		}
	}
	for _, k := range Kinds() {
		if k.Caption == "" || k.Section == "" {
			t.Errorf("%s has no caption or no section", k.Name)
		}
	}
}
