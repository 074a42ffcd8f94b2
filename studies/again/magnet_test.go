package again

import (
	"math"
	"strings"
	"testing"

	"onegrain/analysis/magnet"
	"onegrain/studies"
)

// grownOf grows the first case of a study without strays.
func grownOf(t *testing.T, text string) *Grown {
	t.Helper()
	study, err := studies.Load("made.toml", []byte(text), nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	p, err := study.Plan(0)
	if err != nil {
		t.Fatal(err)
	}
	g, err := Grow(p, 1, false)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

func weighed(t *testing.T, text string) *Magnet {
	t.Helper()
	m, err := grownOf(t, text).Magnet()
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// melt is a study without strays; body, seeds and what else there is follow.
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
[nucleation.melt]
law = "none"
`

const seed = "[[seed]]\nsize_mm = [2, 2]\n"

// TestMagnetOfDisc: one grain in a disc of radius 5 and thickness 5 mm, 1 mm above it:
// (μ0 Jc/2) [6 asinh(5/6) − asinh(5)] mm, the Bean closed form; the map is good to 0.5 %.
func TestMagnetOfDisc(t *testing.T) {
	const disc = melt + "[body]\nshape = \"disc\"\ndiameter_mm = 10\nheight_mm = 5\ncell_mm = 0.25\n" + seed
	want := 2e-7 * math.Pi * 2e8 * (6*math.Asinh(5./6) - math.Asinh(5)) * 1e-3
	holds := func(w *Magnet) bool { return math.Abs(w.PeakT/want-1) < 0.005 && len(w.Peaks) == 1 }
	w := weighed(t, disc+"[magnet]\ncritical_current_A_per_mm2 = 200\nheight_above_mm = 1\n")
	whole := w.WholeT == w.PeakT && w.PassingT == w.PeakT && w.MomentAM2 == w.WholeAM2
	if !holds(w) || !whole || w.ThicknessMM != 5 || w.AlongX != nil || w.Passes() {
		t.Errorf("%+v, wanted %v T", w, want)
	}
	if holds(weighed(t, disc+"[magnet]\ncritical_current_A_per_mm2 = 202\nheight_above_mm = 1\n")) {
		t.Error("canary: 1 % more current passes")
	}
}

// TestMagnetOfTwoGrains: two halves of a bar, 20° apart, are two magnets. Their boundary lies
// across the bar, so along it passes the share of the law, exp(−(20 − 3)/5.3), times at most 1
// + the slant of the boundary. Across it hardly less passes than through a whole bar, for a cut
// along the bar goes through grains but for the width of the boundary's slant.
func TestMagnetOfTwoGrains(t *testing.T) {
	bar := func(turn string) string {
		return melt + "[body]\nshape = \"block\"\nsize_mm = [16, 6, 2]\ncell_mm = 0.25\n" +
			seed + "at_mm = [-4, 0]\n" + seed + "at_mm = [4, 0]\nturn_deg = " + turn + "\n"
	}
	w := weighed(t, bar("20"))
	share := math.Exp(-17 / 5.3)
	holds := func(w *Magnet) bool {
		return len(w.Peaks) == 2 && w.MomentAM2 < 0.9*w.WholeAM2 &&
			*w.AlongX >= 0.95*share && *w.AlongX <= 1.25*share && *w.AlongY > 0.9 && *w.AlongY < 1
	}
	if !holds(w) {
		t.Errorf("%+v: along x %v, along y %v, wanted two peaks and %v along x", w, *w.AlongX, *w.AlongY, share)
	}
	joined := weighed(t, bar("2"))
	if holds(joined) || len(joined.Peaks) != 1 || *joined.AlongX != 1 || joined.PeakT != joined.WholeT {
		t.Errorf("canary: turned by 2° only: %+v", joined)
	}
}

// A vertical section shows no plane that currents run in; a body without seeds traps nothing; a
// flat body is as thick as is said.
func TestMagnetOfOthers(t *testing.T) {
	const plane = "[body]\nshape = \"block\"\nsize_mm = [8, 4]\ncell_mm = 0.25\nplane = "
	if w := weighed(t, melt+plane+"\"ac\"\n"+seed); w != nil {
		t.Errorf("a section is worth %+v", w)
	}
	const slow = "law = \"sites\"\ndensity_per_mm2 = 1\nmean_undercooling_K = 400\nspread_K = 1\n"
	study := strings.Replace(melt, "law = \"none\"\n", slow, 1) + plane + "\"ab\"\n[magnet]\nthickness_mm = 3\n"
	empty := weighed(t, study)
	if empty.PeakT != 0 || len(empty.Peaks) != 0 || *empty.AlongX != 0 || empty.ThicknessMM != 3 || !(empty.WholeT > 0) {
		t.Errorf("without seeds: %+v", empty)
	}
}

// TestColumns: a column counts whole. Grains 0 and 1 are one domain, 2 another, 3 a stray.
func TestColumns(t *testing.T) {
	b := block{[3]int{6, 1, 3}, []int32{
		0, 1, 2, 3, -1, -2, // bottom
		0, 0, 0, 0, 0, -2,
		0, 0, 0, 0, 0, -2, // top
	}, []int{0, 0, 1, -1}}
	for name, row := range map[string]struct {
		got  []int32
		want [6]int32
	}{
		"clear":  {b.clear(), [6]int32{0, 0, magnet.Void, magnet.Void, magnet.Void, magnet.Outside}},
		"shown":  {b.shown(), [6]int32{0, 0, 0, 3, magnet.Void, magnet.Outside}},
		"seeded": {b.seeded(), [6]int32{0, 0, 0, magnet.Void, magnet.Void, magnet.Outside}},
	} {
		if [6]int32(row.got) != row.want {
			t.Errorf("%s: %v, wanted %v", name, row.got, row.want)
		}
	}
}

// The boundary law of a study that says nothing is the published one.
func TestBoundaryLaw(t *testing.T) {
	w := weighed(t, melt+"[body]\nshape = \"block\"\nplane = \"ab\"\nsize_mm = [4, 4]\ncell_mm = 0.5\n"+seed)
	if got := (magnet.Law{ThresholdDeg: w.ThresholdDeg, DecayDeg: w.DecayDeg}); got != magnet.Published() {
		t.Errorf("%+v, wanted %+v", got, magnet.Published())
	}
}
