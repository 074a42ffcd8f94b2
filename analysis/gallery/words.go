package gallery

import (
	"fmt"
	"math"
	"strings"

	"onegrain/analysis/plain"
)

// facts are names, each with what there is to say.
type facts [][2]string

func (f *facts) add(name, format string, values ...any) {
	*f = append(*f, [2]string{name, fmt.Sprintf(format, values...)})
}

// solidPercent never rounds up to a body that is whole.
func (g *Gallery) solidPercent() float64 { return math.Floor(1000*g.Run.SolidFraction) / 10 }

// Facts are what came of the run: names, each with a value in words.
func (g *Gallery) Facts() [][2]string {
	r, single := g.Run, "no"
	if r.SingleGrain {
		single = "yes"
	}
	var f facts
	f.add("Single grain", "%s", single)
	f.add("Clear piece", "%.1f mm across, %.1f mm as a square along the crystal", r.ClearDiameterMM, r.ClearSquareMM)
	f.add("Solid at the end", "%.1f %%", g.solidPercent())
	f.add("Stray grains", "%d", r.StrayGrains)
	if r.StrayGrains > 0 {
		f.add("First stray", "after %.1f h, at %.1f K of undercooling", r.FirstStrayH, r.FirstStrayUndercoolingK)
	}
	return f
}

// MagnetFacts are what the run traps and carries; it must show a plane that currents run in.
func (g *Gallery) MagnetFacts() [][2]string {
	var f facts
	m := g.Weighed
	f.add("Conditions", "%g mm above the top face, critical current %g A/mm², %.3g mm thick",
		m.HeightMM, m.CurrentAPerMM2, m.ThicknessMM)
	if len(m.Peaks) == 0 {
		f.add("Trapped field", "none, because no column from top to bottom is of one domain (one grain would have %.3g T)",
			m.WholeT)
	} else {
		peaks := plain.Plural(len(m.Peaks), "peak")
		f.add("Trapped field", "%.3g T at most, %s (one grain: %.3g T)", m.PeakT, peaks, m.WholeT)
		f.add("Magnetic moment", "%.3g %% of that of one grain", 100*m.MomentAM2/m.WholeAM2)
	}
	if m.Passes() {
		peaks := plain.Plural(m.PassingPeaks, "peak")
		f.add("With currents through boundaries", "%.3g T at most, %s", m.PassingT, peaks)
	}
	if m.AlongX != nil && m.AlongY != nil {
		f.add("Current along the body", "at most %.3g %% of that of one grain along x, %.3g %% along y",
			100**m.AlongX, 100**m.AlongY)
	}
	return f
}

// Says is what `draw` says of the run, and of what it traps and carries as a magnet.
func (g *Gallery) Says() (lines []string) {
	say := func(format string, values ...any) { lines = append(lines, fmt.Sprintf(format, values...)) }
	single := "not a single grain"
	if g.Run.SingleGrain {
		single = "a single grain"
	}
	say("%s: %s, %.1f %% solid, clear piece %.1f mm across", single,
		plain.Plural(g.Run.StrayGrains, "stray"), g.solidPercent(), g.Run.ClearDiameterMM)
	m := g.Weighed
	if m == nil {
		return lines
	}
	at := fmt.Sprintf("trapped field %g mm above the top at %g A/mm²", m.HeightMM, m.CurrentAPerMM2)
	if len(m.Peaks) == 0 {
		say("%s: none, because no column from top to bottom is of one domain (one grain: %.3g T)", at, m.WholeT)
		return lines
	}
	var tops []string
	for _, p := range m.Peaks {
		tops = append(tops, fmt.Sprintf("%.3g", p.T))
	}
	const most = 4
	if len(tops) > most {
		tops = append(tops[:most], "…")
	}
	say("%s: %s of %s T at most (one grain: %.3g T), moment %.3g %% of that of one grain", at,
		plain.Plural(len(m.Peaks), "peak"), strings.Join(tops, ", "), m.WholeT, 100*m.MomentAM2/m.WholeAM2)
	if m.Passes() {
		say("with currents through boundaries (all up to %g°, e times less for each %g° more): %.3g T, %s",
			m.ThresholdDeg, m.DecayDeg, m.PassingT, plain.Plural(m.PassingPeaks, "peak"))
	}
	if m.AlongX != nil && m.AlongY != nil {
		say("current along the block: at most %.3g %% of that of one grain along x, %.3g %% along y", 100**m.AlongX,
			100**m.AlongY)
	}
	return lines
}
