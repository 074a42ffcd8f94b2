package studies

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"onegrain/sim"
	"onegrain/sim/measure"
)

// plate is a square of 20 mm with a seed of 2 mm, held 16 K below its peritectic temperature until
// long after it is full. Its c faces are so quick that a grain is a prism: what the plane says must
// hold for the body of three dimensions.
const plate = `title = "plate"
[material]
peritectic_C = 1010
[material.growth_a]
law = "power"
rate_at_10K_mm_per_h = 0.2
exponent = 0
[material.growth_c]
law = "power"
rate_at_10K_mm_per_h = 1000
exponent = 0
[body]
shape = "block"
%s
cell_mm = %g
[[seed]]
size_mm = [2, 2]
[schedule]
start_C = 1020
[[schedule.stage]]
to_undercooling_K = 16
rate_K_per_h = 1000
[[schedule.stage]]
hold_h = 60
[nucleation.melt]
%s
`

// laws of the melt, each as a number per mm³ times a factor: that makes it one per mm² of a plane.
func meltLaws(unit string, factor float64) []string {
	return []string{
		fmt.Sprintf("law = \"barrier\"\nprefactor_per_%s_h = %.17g\nbarrier_K3 = 3e6", unit, 1e2*factor),
		fmt.Sprintf("law = \"sites\"\ndensity_per_%s = %.17g\nmean_undercooling_K = 17\nspread_K = 2", unit, 1e-3*factor),
		fmt.Sprintf("law = \"table\"\nundercooling_K = [10, 20]\nrate_per_%s_h = [0, %.17g]", unit, 1e-5*factor),
	}
}

// strays is Λ of a study, and its seeded run.
func strays(t *testing.T, body string, cell float64, law string) (float64, measure.Run) {
	t.Helper()
	p := first(t, fmt.Sprintf(plate, body, cell, law))
	c, err := p.Case()
	if err != nil {
		t.Fatal(err)
	}
	survey := measure.Look(sim.Seeded(c, p.Key(1)), 5)
	return survey.Odds().ExpectedStrays, survey.Run()
}

// TestThicknessCountsTheMelt: Λ of a plane against ∫ I V dt by hand. The grain is a square that
// widens by 2R, so that until it fills the body after (W − s)/2R the liquid of a body H thick holds
// H (W² − (s + 2R t)²), and Λ = I H [W² T − (W³ − s³)/6R]. The cells' centres are the midpoint rule
// for that, of second order: 2e-4 for cells of W/80. While the first 0.016 h of 45 cool to 16 K
// there are fewer nuclei: 5e-4 at most. Tolerance 1e-3; canary: a body 1.1 times as thick. Then
// thin and thick blocks of three dimensions, to 1e-3 as well: their c faces need 0.006 h for 6 mm.
// A law per mm² of the plane is taken as it stands, with a thickness and without.
func TestThicknessCountsTheMelt(t *testing.T) {
	const w, s, rate, cell = 20.0, 2.0, 0.2, 0.25
	near := func(got, want float64) bool { return math.Abs(got/want-1) <= 1e-3 }
	plane := func(thick float64, law string) (float64, measure.Run) {
		return strays(t, fmt.Sprintf("plane = \"ab\"\nthickness_mm = %g\nsize_mm = [20, 20]", thick), cell, law)
	}
	hours := (w - s) / (2 * rate)
	intensity := 1e2 * math.Exp(-3e6/((1010-16+273.15)*16*16))
	perMM := intensity * (w*w*hours - (w*w*w-s*s*s)/(6*rate))
	for _, thick := range []float64{cell, 6} {
		for i, law := range meltLaws("mm3", 1) {
			got, run := plane(thick, law)
			if i == 0 && (!near(got, perMM*thick) || near(got, perMM*thick*1.1)) {
				t.Errorf("%g mm: %v strays, by hand %v; or the canary passes", thick, got, perMM*thick)
			}
			solid, ran := strays(t, fmt.Sprintf("size_mm = [20, 20, %g]", thick), cell, law)
			if !near(got, solid) || near(1.1*got, solid) || !near(run.ClearVolumeMM3, ran.ClearVolumeMM3) {
				t.Errorf("%g mm, %s: plane %v strays and %v mm³ clear, three dimensions %v and %v", thick, law, got,
					run.ClearVolumeMM3, solid, ran.ClearVolumeMM3)
			}
			area := meltLaws("mm2", thick)[i]
			with, _ := plane(2*thick, area)
			without, run := strays(t, "plane = \"ab\"\nsize_mm = [20, 20]", cell, area)
			if math.Abs(with/got-1) > 1e-9 || math.Abs(without/got-1) > 1e-9 || math.Abs(run.ClearVolumeMM3-w*w) > 1e-9 {
				t.Errorf("%g mm, %s: per mm² %v strays with a thickness, %v without, wanted %v; %v mm³ clear of a layer of 1 mm",
					thick, law, with, without, got, run.ClearVolumeMM3)
			}
		}
	}
}

// A thickness is part of the physics: it makes another case, and cases that have none keep their
// identity.
func TestThicknessIsPartOfTheCase(t *testing.T) {
	per := fmt.Sprintf(plate, "plane = \"ab\"\nsize_mm = [20, 20]", 0.25, meltLaws("mm2", 1)[0])
	thick := strings.Replace(per, "size_mm = [20, 20]", "size_mm = [20, 20]\nthickness_mm = 8", 1)
	if a, b := first(t, per), first(t, thick); a.ID == b.ID || a.Magnet().ThicknessMM != 10 ||
		b.Magnet().ThicknessMM != 8 {
		t.Errorf("ids %s and %s, thicknesses of the magnet %g and %g", a.ID, b.ID, a.Magnet().ThicknessMM,
			b.Magnet().ThicknessMM)
	}
}

// The faces of a plane are lines of 1 mm whatever its thickness, and the study says so.
func TestSurfacesOfAPlaneStayThin(t *testing.T) {
	side := "law = \"none\"\n[nucleation.side]\nlaw = \"barrier\"\nprefactor_per_mm2_h = 10\nbarrier_K3 = 3e6"
	bare, _ := strays(t, "plane = \"ab\"\nsize_mm = [20, 20]", 0.25, side)
	body := "plane = \"ab\"\nthickness_mm = 8\nsize_mm = [20, 20]"
	if thick, _ := strays(t, body, 0.25, side); thick != bare || bare == 0 {
		t.Errorf("%v strays at the side of a plane, %v with a thickness", bare, thick)
	}
	e, err := load(t, fmt.Sprintf(plate, body, 0.25, side)).Explain(0)
	if err != nil || !strings.Contains(strings.Join(e.Warnings, "\n"), "the faces of a plane are lines") {
		t.Errorf("%v, %q", err, e.Warnings)
	}
}
