package main

import (
	"fmt"
	"strings"
	"text/template"

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
		"`K` by which the true undercooling may be larger without losing the chance")
	f.Float64Var(&w.DeepestK, "deepest", 0,
		"largest undercooling in `K` of the programme (default: the largest of the study's own one until the body is solid)")
	f.Float64Var(&w.DownKPerH, "down", 0,
		"cooling rate in `K/h` from melting to the first stage (default: that of the study)")
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
	comment := func(prefix, text string) string {
		return prefix + strings.ReplaceAll(strings.TrimSuffix(text, "\n"), "\n", "\n"+prefix) + "\n"
	}
	g := &plain.Grid{Head: []string{"true undercooling", "expected strays", "chance of no stray", "solid after h"}}
	for _, w := range a.Undercoolings {
		full, off := "not by its end", "as written"
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
	return filled(embedded("advice.txt"), struct {
		*advise.Advised
		Name, Table string
		Down        float64
	}{a, name, comment("#   ", table.String()), down}, template.FuncMap{
		"remark": func(format string, values ...any) string {
			return comment("# ", plain.Folded(fmt.Sprintf(format, values...), ""))
		},
		"chance": plain.Chance, "number": plain.Short6, "next": func(i int) int { return i + 1 },
	})
}
