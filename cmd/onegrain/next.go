package main

import (
	"errors"
	"fmt"
	"io"
	"math"
	"os"

	"github.com/spf13/cobra"

	"onegrain/analysis/plain"
	"onegrain/studies/advise"
)

// looking is what `next` is asked.
type looking struct {
	advise.Wanted
	advise.Over
	pieces   int
	dayPrice float64
	file     string // of candidates
}

func nextCommand(s streams) *cobra.Command {
	var q looking
	var n int
	var asJSON *bool
	c := command("next STUDY.toml", func(_ *cobra.Command,
		args []string) error {
		return lookAhead(s, args[0], n, q, *asJSON)
	})
	f := c.Flags()
	caseFlag(c, &n)
	wantedFlags(c, &q.Wanted)
	overFlags(c, &q.Over)
	f.IntVar(&q.pieces, "pieces", 20, "how many `pieces` are to be made")
	f.Float64Var(&q.dayPrice, "day-price", 0,
		"price of a furnace `day`, in any currency: hours are then given as money, too")
	f.StringVar(&q.file, "candidates", "", "`file` of the runs to choose from, CSV with start_undercooling_K, "+
		"end_undercooling_K, hours, seed_mm (default: some usual ones)")
	_ = f.Lookup("tolerance").Value.Set("0")
	f.Lookup("tolerance").DefValue = "0"
	asJSON = jsonFlag(c)
	return c
}

// lookAhead ranks the furnace runs that could be made next.
func lookAhead(s streams, path string, n int, q looking, asJSON bool) error {
	if err := checkWanted(q.Wanted, q.Over); err != nil {
		return err
	}
	if q.pieces < 1 || q.pieces > 1e6 {
		return usage(fmt.Errorf("--pieces %v: wanted 1 to 1000000", q.pieces))
	}
	if !(q.dayPrice >= 0) || math.IsInf(q.dayPrice, 0) {
		return usage(fmt.Errorf("--day-price %v: wanted 0 or more", q.dayPrice))
	}
	p, err := loadCase(path, n)
	if err != nil {
		return err
	}
	if p.Study.Melt() == nil {
		return usage(errors.New(path + ": this study has one law, so there is nothing to learn: give it material.laws, a " +
			"file by " +
			"`onegrain fit laws`"))
	}
	var candidates []advise.Stages
	if q.file != "" {
		if candidates, err = plans(q.file); err != nil {
			return err
		}
	}
	a, err := advise.Next(p, q.Wanted, q.Over, q.pieces, candidates)
	if err != nil {
		return usage(fmt.Errorf("%s, %s: %w", path, named(p), err))
	}
	if asJSON {
		return printJSON(s.out, a)
	}
	return printNext(s.out, a, q)
}

// printNext gives the runs as a table, and the answer below.
func printNext(w io.Writer, a *advise.Ahead, q looking) error {
	hours := func(h float64) string {
		text := plain.Number(h, 1) + " h"
		if q.dayPrice > 0 {
			text += fmt.Sprintf(" (%.0f)", h/24*q.dayPrice)
		}
		return text
	}
	fmt.Fprintf(w, "Now the best programme starts at %.1f K and ends after %s. If the laws were known: %s in the "+
		"mean.\n\n",
		a.Best.StartK, hours(a.Now), hours(a.Known))
	g := &plain.Grid{Head: []string{"run", "takes", "chance of a stray", "bits", "programme then", "pays from"}}
	for _, w := range a.Runs {
		pays := "never"
		if w.PaysFrom > 0 {
			pays = plain.Plural(w.PaysFrom, "piece")
		}
		g.Add(w.Text, hours(w.TakesH), plain.Chance(w.SomeStray), plain.Number(w.Bits, 1), hours(w.EndH), pays)
	}
	if err := g.Print(w); err != nil {
		return err
	}
	answer := fmt.Sprintf("\nFor %s: make the first one, add it to the logbook, and run `onegrain fit laws` again.\n",
		plain.Plural(q.pieces, "piece"))
	if a.Stop {
		answer = fmt.Sprintf("\nNo run pays for %s: stop trying, and grow.\n", plain.Plural(q.pieces, "piece"))
	}
	_, err := fmt.Fprint(w, answer)
	return err
}

// plans are the runs of a file.
func plans(file string) (all []advise.Stages, err error) {
	data, err := os.ReadFile(file)
	if err != nil {
		return nil, usage(fmt.Errorf("--candidates %s: cannot be read: %w", file, err))
	}
	if all, err = advise.ReadPlans(file, data); err != nil {
		return nil, usage(err)
	}
	return all, nil
}
