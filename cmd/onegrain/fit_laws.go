package main

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"

	"github.com/spf13/cobra"

	"onegrain/analysis/fit/lawbook"
	"onegrain/analysis/plain"
	"onegrain/studies/cluster"
	"onegrain/studies/disk"
	"onegrain/studies/table"
)

// quickRuns are learnt from before anyone wonders.
const quickRuns = 12

func fitLawsCommand(s streams) *cobra.Command {
	var q lawbook.Question
	c := &cobra.Command{Use: "laws LOGBOOK.csv --body STUDY.toml [options]", DisableFlagsInUseLine: true,
		Args: exactly("LOGBOOK.csv")}
	c.Short, c.Long = page("fit/laws")
	f := c.Flags()
	f.StringVar(&q.Body, "body", "", "`study` of the body in which the runs were made; its first case counts")
	f.StringVar(&q.Base, "base", "",
		"hold the peritectic temperature of the study against this `row` of onegrain materials")
	f.StringVar(&q.Out, "out", "", "write the laws into this `file`, whose name ends in .parquet")
	f.StringArrayVar(&q.Priors, "prior", nil, "`KEY=MIDDLE,FACTOR`: another prior, of which 90 of 100 lie within the "+
		"factor (or distance) about the middle; may be given several times")
	f.StringVar(&q.Family, "family", "both", "`family` of strays: barrier, sites or both")
	f.StringArrayVar(&q.Leave, "leave", nil, "leave out this `run`; may be given several times")
	asJSON := jsonFlag(c)
	c.RunE = func(c *cobra.Command, args []string) error {
		a, err := learn(s, &q, args[0])
		if err != nil {
			return misused(err)
		}
		if *asJSON {
			err = printJSON(s.out, a.JSON)
		} else {
			s.notes(a.Notes)
			err = a.Print(s.out)
		}
		switch {
		case err != nil:
			return err
		case a.Wrong != nil:
			return failure(exitSomeFailed, "%w; nothing was written", a.Wrong)
		case !*asJSON:
			s.notes([]string{a.Saved(q.Out)})
		}
		return nil
	}
	return c
}

// learn learns the laws of a logbook, and writes them where that is asked for.
func learn(s streams, q *lawbook.Question, path string) (*lawbook.Answer, error) {
	if err := q.Settle(); err != nil {
		return nil, err
	}
	if q.Out != "" && filepath.Ext(q.Out) != ".parquet" {
		return nil, fmt.Errorf("--out %s: wanted a name that ends in .parquet", q.Out)
	}
	p, err := loadCase(q.Body, 1)
	if err != nil {
		return nil, err
	}
	if err := q.Grow(p); err != nil {
		return nil, err
	}
	q.File, q.Open = path, cluster.Beside(path)
	if q.Text, err = logbookText(path, "laws"); err != nil {
		return nil, err
	}
	q.Begin = func(runs int) {
		if runs > quickRuns {
			s.say("learning from %s: a second or so for each", plain.Plural(runs, "run"))
		}
	}
	a, err := q.Learn()
	if no := (lawbook.Unsettled{}); errors.As(err, &no) {
		return nil, failure(exitSomeFailed, "%w", err)
	}
	if err != nil || q.Out == "" || a.Wrong != nil {
		return a, err
	}
	data, err := table.EncodeLaws(a.File)
	if err != nil {
		return nil, err
	}
	on, dir := s.on(), filepath.Dir(q.Out)
	if err := disk.MkdirAll(on, dir); err != nil {
		return nil, err
	}
	return a, disk.Put(on, dir, filepath.Base(q.Out), func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	})
}
