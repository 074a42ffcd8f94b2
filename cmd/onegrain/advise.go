package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"onegrain/analysis/plain"
	"onegrain/studies/advise"
)

func adviseCommand(s streams) *cobra.Command {
	var w advise.Wanted
	var n int
	var asJSON *bool
	c := command("advise STUDY.toml", func(_ *cobra.Command, args []string) error {
		return giveAdvice(s, args[0], n, w, *asJSON)
	})
	f := c.Flags()
	caseFlag(c, &n)
	chanceFlag(c, &w.Chance)
	f.Float64Var(&w.ToleranceK, "tolerance", 1,
		"`K` by which the true undercooling may be deeper and the chance still hold")
	f.Float64Var(&w.DeepestK, "deepest", 0, "deepest undercooling in `K` that may come up "+
		"(default: what the study's own programme goes to until the body is full)")
	f.Float64Var(&w.DownKPerH, "down", 0,
		"rate of cooling after the melt in `K/h`, down to the first stage (default: the study's)")
	asJSON = jsonFlag(c)
	return c
}

func giveAdvice(s streams, path string, n int, w advise.Wanted, asJSON bool) error {
	if err := likely(w.Chance); err != nil {
		return err
	}
	switch {
	case !(w.ToleranceK >= 0 && w.ToleranceK <= 50):
		return usage(fmt.Errorf("--tolerance %v: wanted 0 to 50 K", w.ToleranceK))
	case !(w.DeepestK >= 0 && w.DeepestK <= 200):
		return usage(fmt.Errorf("--deepest %v: wanted up to 200 K", w.DeepestK))
	case !(w.DownKPerH >= 0 && w.DownKPerH <= 1e4):
		return usage(fmt.Errorf("--down %v: wanted a rate up to 10000 K/h", w.DownKPerH))
	}
	p, err := loadCase(path, n)
	if err != nil {
		return err
	}
	name := named(p)
	begun := false
	a, err := advise.For(p, w, func() {
		begun = true
		s.say("designing a programme for %s", name)
	})
	switch {
	case err != nil && begun:
		return usage(fmt.Errorf("%s, %s: %w", path, name, err))
	case err != nil:
		return misused(err)
	}
	a.Study, a.Values = path, p.Varied()
	a.Block = adviceBlock(a, name, w.DownKPerH)
	if asJSON {
		return printJSON(s.out, a)
	}
	s.notes(a.Warnings)
	_, err = fmt.Fprint(s.out, a.Block)
	return err
}

// adviceBlock is the schedule as it stands in a study, with what is known of it as comments.
func adviceBlock(a *advise.Advised, name string, down float64) string {
	var b strings.Builder
	comment := func(prefix, text string) {
		for line := range strings.Lines(text) {
			b.WriteString(prefix + line)
		}
	}
	say := func(format string, args ...any) { comment("# ", plain.Folded(fmt.Sprintf(format, args...), "")+"\n") }
	fmt.Fprintf(&b, "# onegrain advise %s --case %d --chance %g --tolerance %g", a.Study, a.Case, a.Chance, a.ToleranceK)
	if a.DeepestK != a.OwnDeepestK {
		fmt.Fprintf(&b, " --deepest %g", a.DeepestK)
	}
	if down > 0 {
		fmt.Fprintf(&b, " --down %g", down)
	}
	b.WriteString("\n")
	if len(a.Values) > 0 {
		say("%s", name)
	}
	b.WriteString("#\n")
	tolerated, better, full := "if the undercooling is as told", "the advised one", "not full at its end"
	if a.ToleranceK != 0 {
		tolerated = fmt.Sprintf("even if the true undercooling is %g K more than told", a.ToleranceK)
	}
	if a.OwnIsBest {
		better = "the study's own"
	}
	if a.Own.FullH.Known() {
		full = fmt.Sprintf("full after %.1f h", float64(a.Own.FullH))
	}
	say("No stray at a chance of %g or more, %s.", a.Chance, tolerated)
	say("Full after %.1f h; the programme ends after %.1f h.", float64(a.FullH), a.ProgrammeH)
	say("The study's own programme: chance of none %s, %s, ends after %.1f h. As told, without tolerance, the better of "+
		"the two is %s.", plain.Chance(a.Own.Chance), full, a.OwnProgrammeH, better)
	b.WriteString("#\n")
	g := &plain.Grid{Head: []string{"true undercooling", "expected strays", "chance of none", "full after h"}}
	for _, w := range a.Undercoolings {
		full, off := "not at the end", "as told"
		if w.FullH.Known() {
			full = plain.Number(float64(w.FullH), 1)
		}
		switch {
		case w.OffsetK > 0:
			off = fmt.Sprintf("%g K more", w.OffsetK)
		case w.OffsetK < 0:
			off = fmt.Sprintf("%g K less", -w.OffsetK)
		}
		g.Add(off, plain.Few(w.Expected), plain.Chance(w.Chance), full)
	}
	var table strings.Builder
	_ = g.Print(&table) // a builder takes all
	comment("#   ", table.String())
	return b.String() + schedule(a)
}

// schedule is the advised programme as a study takes it.
func schedule(a *advise.Advised) string {
	var b strings.Builder
	fmt.Fprintf(&b, "\n[schedule]\nstart_C = %s\n", plain.Short6(a.StartC))
	for i, s := range a.Stages {
		fmt.Fprintf(&b, "[[schedule.stage]]  # %d: until %.1f h, %.1f °C\n", i+1, s.EndsAtH, s.TemperatureC)
		for _, key := range []struct {
			name  string
			value *float64
		}{{"hold_h", s.HoldH}, {"to_C", s.ToC}, {"to_undercooling_K", s.ToK}, {"rate_K_per_h", s.RateKPerH}} {
			if key.value != nil {
				fmt.Fprintf(&b, "%s = %s\n", key.name, plain.Short6(*key.value))
			}
		}
	}
	return b.String()
}
