package block

import (
	"math"
	"strings"
	"testing"

	"onegrain/analysis/fit"
	"onegrain/analysis/logbook"
	"onegrain/analysis/tally"
)

// Both templates in all their branches, line by line: with and without intervals, law, body and
// peritectic temperature.
func TestBlocks(t *testing.T) {
	known := fit.Estimate{Value: 0.13344, Low: 0.126, High: 0.1421}
	open := fit.Estimate{Value: 2, Low: 1.5, High: tally.Unknown()}
	stage := logbook.Stage{FromK: 8, ToK: 12, Hours: 20}
	lengths := []logbook.Length{{Line: logbook.Line{Number: 2, Run: "A", Note: "slow"}, Face: "a", Stage: stage,
		GrownMM: 2.5}}
	strays := []logbook.Strays{{Line: logbook.Line{Number: 3, Run: "B"}, Place: "side", Unit: "mm2", Stage: stage,
		Size: 300}}
	none, rows := nucleiBlock("r.csv", "", 1010, &fit.NucleiFit{Upper: true, Size: 300}, strays)
	if rows != nil || !strings.Contains(none, "\n# holds with material.peritectic_C = 1010\n[nucleation.side]\n") {
		t.Errorf("no rows: %q, %v", none, rows)
	}
	growth := &fit.GrowthFit{Rate: known, Exponent: open, Middle: known, MiddleK: 14.66, LowK: 8, HighK: 12, Freedom: 1,
		ScatterPercent: 3.21}
	few := &fit.GrowthFit{Rate: known, Exponent: open, Given: true, LowK: 8, HighK: 8}
	nuclei := &fit.NucleiFit{Prefactor: known, Barrier: open, Daily: known, Size: 300, LowK: 8, HighK: 12, Strays: 1}
	given := &fit.NucleiFit{Prefactor: known, Barrier: open, Daily: known, Given: true, Strays: 2}
	for _, c := range []struct {
		what string
		text func() (string, [][]string)
		want string
	}{
		{"growth", func() (string, [][]string) { return growthBlock("r.csv", "a", math.NaN(), growth, lengths) },
			`# onegrain fit growth r.csv: a faces, 0 runs, 8 to 12 K
# 95 % intervals: rate_at_10K_mm_per_h 0.126 to 0.142, exponent 1.5 or more, open upwards
# best known at 14.7 K: 0.1334 mm/h, interval 0.126 to 0.142
# scatter of a run about the law: 3.2 %
[material.growth_a]
law = "power"
rate_at_10K_mm_per_h = 0.1334
exponent = 2
`},
		{"growth of few", func() (string, [][]string) { return growthBlock("r.csv", "c", 1010, few, lengths) },
			`# onegrain fit growth r.csv: c faces, 0 runs, 8 K
# no intervals: as many runs as constants
# holds with material.peritectic_C = 1010
[material.growth_c]
law = "power"
rate_at_10K_mm_per_h = 0.1334
exponent = 2
`},
		{"nuclei", func() (string, [][]string) { return nucleiBlock("r.csv", "b.toml", math.NaN(), nuclei, strays) },
			`# onegrain fit nuclei r.csv --body b.toml: side, 1 row with 1 stray, 8 to 12 K
# 95 % intervals: barrier_K3 1.5 or more, open upwards, prefactor 0.126 to 0.142 (one goes with the other)
# one stray a day in 300 mm² at 0.1334 K, interval 0.126 to 0.142 K
[nucleation.side]
law = "barrier"
prefactor_per_mm2_h = 0.13344
barrier_K3 = 2
`},
		{"barrier given", func() (string, [][]string) { return nucleiBlock("r.csv", "", math.NaN(), given, strays) },
			`# onegrain fit nuclei r.csv: side, 1 row with 2 strays, 0 K
# 95 % intervals: barrier given, prefactor 0.126 to 0.142
# one stray a day in 0 mm² at 0.1334 K, interval 0.126 to 0.142 K
[nucleation.side]
law = "barrier"
prefactor_per_mm2_h = 0.13344
barrier_K3 = 2
`},
	} {
		if text, _ := c.text(); text != c.want {
			t.Errorf("%s:\n%s", c.what, text)
		}
	}
	for x, want := range map[tally.Real]string{0.04: "0.0", -0.04: "0.0", -1.25: "-1.2", 3: "+3.0", tally.Unknown(): "-"} {
		if got := signed(x); got != want {
			t.Errorf("%v is written %q", float64(x), got)
		}
	}
}
