package main

import (
	"errors"
	"fmt"
	"math"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"onegrain/analysis/fit/lawbook"
	"onegrain/analysis/plain"
)

// fitting is a fit that is asked for.
type fitting struct {
	lawbook.Fit
	law                   string // growth or nuclei
	option, means, wanted string // of the option that fixes a constant
	low, high             float64
	asJSON                *bool
}

func fitCommand(s streams) *cobra.Command {
	all := command("fit", func(c *cobra.Command, args []string) error {
		if len(args) > 0 {
			return usage(unknownCommand(c, args[0]))
		}
		return c.Help()
	})
	all.Args = cobra.ArbitraryArgs
	for _, q := range []*fitting{
		{law: "growth", option: "exponent", means: "take this `number` as the exponent and fit the rate alone",
			low: 0, high: 10, wanted: "0 to 10", Fit: lawbook.Fit{Fixed: "--exponent N fixes it"}},
		{law: "nuclei", option: "barrier", means: "take this `number` of K³ as the barrier and fit the prefactor alone",
			low: 1, high: 1e15, wanted: "1 to 1e15 (K³)", Fit: lawbook.Fit{Fixed: "--barrier K3 fixes the barrier"}},
	} {
		c := &cobra.Command{Use: q.law + " DATA.csv [options]", DisableFlagsInUseLine: true, Args: exactly("DATA.csv")}
		c.RunE = func(c *cobra.Command, args []string) error {
			if err := q.settle(c); err != nil {
				return usage(err)
			}
			a, err := q.answer(s, args[0])
			if err != nil {
				return misused(err)
			}
			return q.print(s, a)
		}
		c.Short, c.Long = page("fit/" + q.law)
		f := c.Flags()
		f.Float64Var(&q.PeritecticC, "peritectic", math.NaN(),
			"peritectic temperature, a `number` of °C: undercooling is 0 there")
		f.StringVar(&q.Base, "base", "", "take the peritectic temperature from this `row` of onegrain materials")
		if q.law == "nuclei" { // growth asks for no body
			f.StringVar(&q.Body, "body", "",
				"grow the body of this `study` along the rows, to find how much was liquid when strays came")
		}
		f.Float64Var(&q.Constant, q.option, math.NaN(), q.means)
		for _, name := range []string{"peritectic", q.option} {
			f.Lookup(name).DefValue = "0" // no default is told in the help
		}
		q.asJSON = jsonFlag(c)
		all.AddCommand(c)
	}
	all.AddCommand(fitLawsCommand(s))
	return all
}

// settle checks the options, and takes the peritectic temperature from a material.
func (q *fitting) settle(c *cobra.Command) error {
	given := c.Flags().Changed
	switch {
	case given("peritectic") && !(q.PeritecticC >= 500 && q.PeritecticC <= 1500):
		return fmt.Errorf("--peritectic %v: wanted 500 to 1500 (°C)", q.PeritecticC)
	case given(q.option) && !(q.Constant >= q.low && q.Constant <= q.high):
		return fmt.Errorf("--%s %v: wanted %s", q.option, q.Constant, q.wanted)
	case q.Base == "":
		return nil
	case given("peritectic"):
		return errors.New("--base and --peritectic both give the peritectic temperature: leave one of them out")
	}
	return q.TakeBase()
}

// answer reads a file and, where it is asked for, the study of the body, and fits the law.
func (q *fitting) answer(s streams, path string) (*lawbook.Fitted, error) {
	if q.Body != "" {
		p, err := loadCase(q.Body, 1)
		if err != nil {
			return nil, err
		}
		if err := q.Grow(p); err != nil {
			return nil, err
		}
	}
	if q.law == "nuclei" && math.IsNaN(q.PeritecticC) {
		return nil, errors.New("the law needs the temperature: give --peritectic C, " +
			"or --base NAME for a row of `onegrain materials`, or --body STUDY.toml")
	}
	var err error
	q.File = path
	switch q.Text, err = logbookText(path, q.law); {
	case err != nil:
		return nil, err
	case q.law == "growth":
		return q.Growth()
	}
	return q.Nuclei(func(rows int) { s.say("growing the body of %s along %s", q.Body, plain.Plural(rows, "row")) })
}

// logbookText is the text of a logbook for the fit of a law.
func logbookText(path, law string) ([]byte, error) {
	text, err := os.ReadFile(path)
	switch {
	case errors.Is(err, os.ErrNotExist):
		return nil, usage(fmt.Errorf("%s: no such file; give a CSV file with one row for each furnace run: "+
			"`onegrain fit %s --help` lists the columns", path, law))
	case err != nil:
		return nil, usage(fmt.Errorf("%s: cannot be read: %v; give a CSV file", path, errors.Unwrap(err)))
	}
	return text, nil
}

// print gives JSON, or each law and the sentences about rows that were left out; it ends with what
// could not be fitted.
func (q *fitting) print(s streams, a *lawbook.Fitted) error {
	if *q.asJSON {
		if err := printJSON(s.out, a.JSON); err != nil {
			return err
		}
	} else {
		for i, l := range a.Laws {
			if err := printLaw(s, l, i > 0); err != nil {
				return err
			}
		}
		warn(s, a.LeftOut)
	}
	if len(a.Failed) > 0 {
		return usage(errors.New(strings.Join(a.Failed, "\n")))
	}
	return nil
}

// printLaw writes the block on stdout, rows and warnings on stderr.
func printLaw(s streams, l lawbook.Law, behind bool) error {
	if behind {
		l.Block = "\n" + l.Block
		s.say("")
	}
	if l.Rows != nil {
		s.say("%s", l.Name)
		if err := (&plain.Grid{Head: l.Rows[0], Rows: l.Rows[1:]}).Print(s.err); err != nil {
			return err
		}
		warn(s, l.Warnings)
		if terminal(s.out) {
			s.say("")
		}
	}
	_, err := fmt.Fprint(s.out, l.Block)
	return err
}

func warn(s streams, sentences []string) {
	for _, w := range sentences {
		s.say("%s", plain.Folded("warning: "+w, "  "))
	}
}
