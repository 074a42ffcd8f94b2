package main

import (
	"fmt"
	"strings"
	"text/template"

	"github.com/spf13/cobra"

	"onegrain/analysis/plain"
	"onegrain/studies"
	"onegrain/studies/advise"
)

func adviseCommand(s streams) *cobra.Command {
	var w advise.Wanted
	var o advise.Over
	var n int
	var asJSON *bool
	c := command("advise STUDY.toml", func(c *cobra.Command, args []string) error {
		if err := checkWanted(w, o); err != nil {
			return err
		}
		p, err := loadCase(args[0], n)
		switch {
		case err != nil:
			return err
		case p.Study.Melt() == nil:
			for _, name := range overFlags(c, &advise.Over{}) {
				if c.Flags().Changed(name) {
					return usage(fmt.Errorf("--%s: this study has one law; it is for studies with material.laws, a file by "+
						"`onegrain fit laws`", name))
				}
			}
			return giveAdvice(s, args[0], p, w, *asJSON)
		case !c.Flags().Changed("tolerance"):
			w.ToleranceK = 0
		}
		return adviceOverLaws(s, args[0], p, w, o, *asJSON)
	})
	f := c.Flags()
	caseFlag(c, &n)
	wantedFlags(c, &w)
	overFlags(c, &o)
	f.Float64Var(&o.Sure, "sure", 0, "with laws: `share` of them that shall have the chance, of each family of strays "+
		"(default: their mean shall)")
	f.IntVar(&o.Good, "good", 0, "with laws: how many good `pieces` are wanted; says how many to start")
	f.IntVar(&o.PerRun, "per-run", 1, "with laws: `pieces` that share a furnace load")
	asJSON = jsonFlag(c)
	return c
}

// wantedFlags say what a programme is for.
func wantedFlags(c *cobra.Command, w *advise.Wanted) {
	f := c.Flags()
	chanceFlag(c, &w.Chance)
	f.Float64Var(&w.ToleranceK, "tolerance", 1,
		"`K` by which the true undercooling may be larger without losing the chance")
	f.Float64Var(&w.DeepestK, "deepest", 0,
		"largest undercooling in `K` of the programme (default: the largest of the study's own one until the body is solid)")
	f.Float64Var(&w.DownKPerH, "down", 0,
		"cooling rate in `K/h` from melting to the first stage (default: that of the study)")
}

// overFlags are for studies with many laws; it gives the names of all such flags.
func overFlags(c *cobra.Command, o *advise.Over) []string {
	f := c.Flags()
	if f.Lookup("beyond") == nil {
		f.BoolVar(&o.Beyond, "beyond", false, "with laws: allow undercoolings deeper than any row of the logbook")
		f.Float64Var(&o.StepK, "step-K", 0.1,
			"with laws: `K` of which undercoolings are multiples, as the controller holds them")
		f.Float64Var(&o.StepKPerH, "step-K-per-h", 0.01, "with laws: `K/h` of which rates are multiples")
	}
	return []string{"beyond", "step-K", "step-K-per-h", "sure", "good", "per-run"}
}

// checkWanted says what is wrong with the numbers of a command line.
func checkWanted(w advise.Wanted, o advise.Over) error {
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
	case !(o.StepK >= 0.001 && o.StepK <= 5):
		return usage(fmt.Errorf("--step-K %v: wanted 0.001 to 5 K", o.StepK))
	case !(o.StepKPerH >= 1e-4 && o.StepKPerH <= 5):
		return usage(fmt.Errorf("--step-K-per-h %v: wanted 0.0001 to 5 K/h", o.StepKPerH))
	case !(o.Sure >= 0 && o.Sure < 1):
		return usage(fmt.Errorf("--sure %v: wanted a share below 1", o.Sure))
	case o.Good < 0 || o.Good > 1000:
		return usage(fmt.Errorf("--good %v: wanted up to 1000 pieces", o.Good))
	case o.PerRun < 0 || o.PerRun > 1000:
		return usage(fmt.Errorf("--per-run %v: wanted 1 to 1000 pieces", o.PerRun))
	}
	return nil
}

// adviceOverLaws designs over all laws of a study.
func adviceOverLaws(s streams, path string, p studies.Planned, w advise.Wanted, o advise.Over, asJSON bool) error {
	name := named(p)
	o.PerRun = max(1, o.PerRun)
	a, err := advise.OverLaws(p, w, o, func() {
		s.say("designing a programme for %s over %d laws", name,
			len(p.Study.Melt().Laws))
	})
	if err != nil {
		return usage(fmt.Errorf("%s, %s: %w", path, name, err))
	}
	a.Study, a.Values = path, p.Varied()
	g := &plain.Grid{Head: []string{"by", "one grain, solid in time", "90 of 100 laws in"}}
	g.Add("all laws", plain.Chance(a.Over), plain.Chance(a.Low)+" to "+plain.Chance(a.High))
	for _, family := range []struct{ name, text string }{{"barrier", "if strays come as a rate"},
		{"sites", "if they start at sites"}} {
		if x, known := a.Families[family.name]; known {
			g.Add(family.text, plain.Chance(x), "")
		}
	}
	g.Add("another furnace", plain.Chance(a.Another.Chance), "no stray: "+plain.Chance(a.Another.NoStray))
	g.Add("there after one held run", plain.Chance(a.AfterOne.Chance), "no stray: "+plain.Chance(a.AfterOne.NoStray))
	var table strings.Builder
	_ = g.Print(&table) // a builder takes all
	a.Block = filled(embedded("advice-laws.txt"), struct {
		*advise.AdvisedOver
		Name, Table string
		Down        float64
	}{a, name, commented("#   ", table.String()), w.DownKPerH}, adviceWords())
	if asJSON {
		return printJSON(s.out, a)
	}
	s.notes(a.Warnings)
	_, err = fmt.Fprint(s.out, a.Block)
	return err
}

// commented puts a prefix before each line.
func commented(prefix, text string) string {
	return prefix + strings.ReplaceAll(strings.TrimSuffix(text, "\n"), "\n", "\n"+prefix) + "\n"
}

// adviceWords fill in the places of a block.
func adviceWords() template.FuncMap {
	return template.FuncMap{
		"remark": func(format string, values ...any) string {
			return commented("# ", plain.Folded(fmt.Sprintf(format, values...), ""))
		},
		"chance": plain.Chance, "number": plain.Short6, "next": func(i int) int { return i + 1 },
		"percent": func(x float64) float64 { return 100 * x },
	}
}

func giveAdvice(s streams, path string, p studies.Planned, w advise.Wanted, asJSON bool) error {
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
	}{a, name, commented("#   ", table.String()), down}, adviceWords())
}
