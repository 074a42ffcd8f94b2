package main

import (
	"fmt"
	"math"
	"strings"

	"onegrain/analysis/advice"
	"onegrain/analysis/tally"
)

// stages are those of the schedule: the study's own until it is molten, then the advised ones.
func (b *stand) stages(programme []advice.Point) []advisedStage {
	var all []advisedStage
	last := b.melt[0]
	add := func(timeH, undercoolingK float64, cooling bool) {
		hours, change := timeH-last.TimeH, undercoolingK-last.UndercoolingK
		stage := advisedStage{EndsAtH: timeH, TemperatureC: b.celsius(undercoolingK), UndercoolingK: undercoolingK}
		if change == 0 {
			stage.HoldH = &hours
		} else {
			rate := math.Abs(change) / hours
			stage.RateKPerH = &rate
			if stage.ToC = &stage.TemperatureC; cooling {
				stage.ToC, stage.ToK = nil, &stage.UndercoolingK
			}
		}
		last.TimeH, last.UndercoolingK = timeH, undercoolingK
		all = append(all, stage)
	}
	for _, k := range b.melt[1:] {
		add(k.TimeH, k.UndercoolingK, false)
	}
	for _, p := range programme[1:] {
		add(b.crossingH+p.TimeH, p.UndercoolingK, true)
	}
	return all
}

// block is the schedule as it stands in a study, with what is known of it as comments.
func (t *advised) block(name string) string {
	var b strings.Builder
	say := func(format string, args ...any) {
		for _, line := range strings.Split(folded(fmt.Sprintf(format, args...), ""), "\n") {
			fmt.Fprintf(&b, "# %s\n", line)
		}
	}
	fmt.Fprintf(&b, "# %s\n", t.command())
	if len(t.Values) > 0 {
		say("%s", name)
	}
	b.WriteString("#\n")
	say("No stray at a chance of %g or more, %s.", t.Chance, tolerated(t.ToleranceK))
	say("Full after %.1f h; the programme ends after %.1f h.", float64(t.FullH), t.ProgrammeH)
	better := "the advised one"
	if t.OwnIsBest {
		better = "the study's own"
	}
	say("The study's own programme: chance of none %s, %s, ends after %.1f h. As told, without tolerance, the better of the two is %s.", chance(t.Own.Chance), fullText(t.Own.FullH), t.OwnProgrammeH, better)
	b.WriteString("#\n")
	g := &grid{head: []string{"true undercooling", "expected strays", "chance of none", "full after h"}}
	for _, w := range t.Undercoolings {
		full := "not at the end"
		if w.FullH.Known() {
			full = number(float64(w.FullH), 1)
		}
		g.add(offsetText(w.OffsetK), few(w.Expected), chance(w.Chance), full)
	}
	var table strings.Builder
	_ = g.print(&table) // a builder takes all
	for _, line := range strings.Split(strings.TrimRight(table.String(), "\n"), "\n") {
		fmt.Fprintf(&b, "#   %s\n", line)
	}
	fmt.Fprintf(&b, "\n[schedule]\nstart_C = %s\n", short6(t.StartC))
	for i, s := range t.Stages {
		fmt.Fprintf(&b, "[[schedule.stage]]  # %d: until %.1f h, %.1f °C\n", i+1, s.EndsAtH, s.TemperatureC)
		switch {
		case s.HoldH != nil:
			fmt.Fprintf(&b, "hold_h = %s\n", short6(*s.HoldH))
		case s.ToC != nil:
			fmt.Fprintf(&b, "to_C = %s\nrate_K_per_h = %s\n", short6(*s.ToC), short6(*s.RateKPerH))
		default:
			fmt.Fprintf(&b, "to_undercooling_K = %s\nrate_K_per_h = %s\n", short6(*s.ToK), short6(*s.RateKPerH))
		}
	}
	return b.String()
}

// command is the line that makes the same advice.
func (t *advised) command() string {
	text := fmt.Sprintf("onegrain advise %s --case %d --chance %g --tolerance %g", t.Study, t.Case, t.Chance, t.ToleranceK)
	if t.DeepestK != t.ownDeepestK {
		text += fmt.Sprintf(" --deepest %g", t.DeepestK)
	}
	if t.down > 0 {
		text += fmt.Sprintf(" --down %g", t.down)
	}
	return text
}

// tolerated is the tolerance as a condition.
func tolerated(toleranceK float64) string {
	if toleranceK == 0 {
		return "if the undercooling is as told"
	}
	return fmt.Sprintf("even if the true undercooling is %g K more than told", toleranceK)
}

// offsetText says how far the true undercooling is from the one told.
func offsetText(offsetK float64) string {
	switch {
	case offsetK > 0:
		return fmt.Sprintf("%g K more", offsetK)
	case offsetK < 0:
		return fmt.Sprintf("%g K less", -offsetK)
	}
	return "as told"
}

func fullText(h tally.Real) string {
	if !h.Known() {
		return "not full at its end"
	}
	return fmt.Sprintf("full after %.1f h", float64(h))
}
