package studies

import (
	"math"
	"strings"
	"testing"

	"onegrain/sim"
	"onegrain/sim/measure"
)

// TestOutlook compares the outlook of a case with the engine: the chance of no stray with that of
// the run without strays, and strays of runs with those that the engine grows. The outlook knows
// boxes and Avrami's theory of infinite bodies, the engine cells. Time goes with the square or cube
// root of the strays, so a factor of three in them is half as much in time. Canary: with a faces
// that grow ten times as slowly the strays must be wrong by more.
func TestOutlook(t *testing.T) {
	const slow = "to_undercooling_K = 30\nrate_K_per_h = 0.4"
	coarse := strings.Replace(sensible, "cell_mm = 0.4", "cell_mm = 0.5", 1)
	noSeed := strings.Replace(coarse, "[[seed]]\nsize_mm = [2, 2]\nperitectic_C = 1060\n", "", 1)
	for name, text := range map[string]string{
		"slow":     coarse,
		"quick":    strings.Replace(coarse, slow, "to_undercooling_K = 30\nrate_K_per_h = 1", 1),
		"deep":     strings.Replace(coarse, "to_undercooling_K = 8", "to_undercooling_K = 20", 1),
		"unseeded": noSeed,
		"plane": strings.Replace(strings.Replace(coarse, "height_mm = 8", "plane = \"ab\"\nthickness_mm = 4\n", 1), slow,
			"to_undercooling_K = 30\nrate_K_per_h = 2", 1),
		"section": strings.Replace(strings.Replace(coarse, "diameter_mm", "plane = \"ac\"\nthickness_mm = 4\ndiameter_mm",
			1), slow, "to_undercooling_K = 30\nrate_K_per_h = 2", 1),
		"gradient": coarse + "[gradient]\nvertical_K_per_mm = 0.1\n",
	} {
		s := load(t, text)
		look := s.look(0)[0]
		planned := first(t, text)
		c, err := planned.Case()
		if err != nil {
			t.Fatal(err)
		}
		seeded := sim.Seeded(c, planned.Key(1))
		free := measure.Look(seeded, 5).Odds().ExpectedStrays
		const runs = 6
		counted := 0.0
		for k := range runs {
			o := seeded.Strays(planned.Key(k + 1))
			counted += float64(len(o.Grains)-len(c.Seeds)) / runs
		}
		o := look.Outlook
		if math.Abs(math.Exp(-o.Free)-math.Exp(-free)) > 0.1 {
			t.Errorf("%s: %.3g strays expected by outlook, %.3g by the run without strays", name, o.Free, free)
		}
		if counted > 3 && !within(o.Strays, counted, 3) {
			t.Errorf("%s: %.3g strays a run by outlook, %.3g counted", name, o.Strays, counted)
		}
		wrong := load(t, strings.Replace(text, "[random]", "[material.growth_a]\nrate_at_10K_mm_per_h = 0.0134\n[random]",
			1)).look(0)[0].Outlook
		if counted > 3 && within(wrong.Strays, counted, 3) {
			t.Errorf("%s: the canary passes: a faces ten times as slow give %.3g strays for %.3g", name, wrong.Strays, counted)
		}
	}
}

func within(a, b, factor float64) bool { return math.Abs(math.Log(a/b)) < math.Log(factor) }

// TestCostFollowsStrays: more strays, a gradient and more replicates cost more; a single grain
// needs little memory, whatever its cells.
func TestCostFollowsStrays(t *testing.T) {
	explained := func(from, to string) Explanation {
		e, err := load(t, strings.Replace(sensible, from, to, 1)).Explain(0)
		if err != nil {
			t.Fatal(err)
		}
		return e
	}
	plain := explained("", "")
	many := explained("[schedule]\n", "[nucleation.melt]\nlaw = \"sites\"\nmean_undercooling_K = 10\nspread_K = "+
		"2\ndensity_per_mm3 = 1\n[schedule]\n")
	graded := explained("[schedule]\n", "[gradient]\nvertical_K_per_mm = 0.1\n[schedule]\n")
	none := explained("[schedule]\n", "[nucleation.melt]\nlaw = \"none\"\n[schedule]\n")
	if many.CoreHours < 3*plain.CoreHours || graded.OddsHours < 3*plain.OddsHours || none.CoreHours > plain.CoreHours {
		t.Errorf("hours: %g as it is, %g with many strays, %g under a gradient, %g without any", plain.CoreHours,
			many.CoreHours, graded.CoreHours, none.CoreHours)
	}
	if many.MemoryPerRun < 2*plain.MemoryPerRun || none.MemoryPerRun > plain.MemoryPerRun/2 {
		t.Errorf("bytes: %d as it is, %d with many strays, %d without any", plain.MemoryPerRun, many.MemoryPerRun,
			none.MemoryPerRun)
	}
}
