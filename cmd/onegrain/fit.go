package main

import (
	"errors"
	"fmt"
	"math"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"onegrain/analysis/fit"
	"onegrain/analysis/logbook"
	"onegrain/analysis/plain"
	"onegrain/studies/again"
	"onegrain/studies/liquid"
	"onegrain/studies/material"
	"onegrain/studies/strict"
)

// fitting is a fit that is asked for.
type fitting struct {
	law                            string // growth or nuclei
	option, means, wanted, settled string // of the option that fixes a constant; settled says so
	low, high                      float64
	constant                       float64 // that is fixed; NaN where it is to be found
	peritecticC                    float64 // NaN where nothing says it
	base, body                     string
	asJSON                         *bool
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
			low: 0, high: 10, wanted: "0 to 10", settled: "--exponent N fixes it"},
		{law: "nuclei", option: "barrier", means: "take this `number` of K³ as the barrier and fit the prefactor alone",
			low: 1, high: 1e15, wanted: "1 to 1e15 (K³)", settled: "--barrier K3 fixes the barrier"},
	} {
		c := &cobra.Command{Use: q.law + " DATA.csv [options]", DisableFlagsInUseLine: true, Args: exactly("DATA.csv")}
		c.RunE = func(c *cobra.Command, args []string) error {
			if err := q.settle(c); err != nil {
				return usage(err)
			}
			if q.law == "nuclei" {
				return q.nuclei(s, args[0])
			}
			return q.growth(s, args[0])
		}
		c.Short, c.Long = page("fit/" + q.law)
		f := c.Flags()
		f.Float64Var(&q.peritecticC, "peritectic", math.NaN(),
			"peritectic temperature, a `number` of °C: undercooling is 0 there")
		f.StringVar(&q.base, "base", "", "take the peritectic temperature from this `row` of onegrain materials")
		if q.law == "nuclei" { // growth asks for no body
			f.StringVar(&q.body, "body", "",
				"grow the body of this `study` along the rows, to know what was liquid when strays came")
		}
		f.Float64Var(&q.constant, q.option, math.NaN(), q.means)
		for _, name := range []string{"peritectic", q.option} {
			f.Lookup(name).DefValue = "0" // no default is told in the help
		}
		q.asJSON = jsonFlag(c)
		all.AddCommand(c)
	}
	return all
}

// settle checks the options, and takes the peritectic temperature from a material.
func (q *fitting) settle(c *cobra.Command) error {
	if c.Flags().Changed("peritectic") && !(q.peritecticC >= 500 && q.peritecticC <= 1500) {
		return fmt.Errorf("--peritectic %v: wanted 500 to 1500 (°C)", q.peritecticC)
	}
	if c.Flags().Changed(q.option) && !(q.constant >= q.low && q.constant <= q.high) {
		return fmt.Errorf("--%s %v: wanted %s", q.option, q.constant, q.wanted)
	}
	if q.base == "" {
		return nil
	}
	if c.Flags().Changed("peritectic") {
		return errors.New("--base and --peritectic both tell the peritectic temperature: leave one of them out")
	}
	var known bool
	if q.peritecticC, known = materialNumber(q.base, "material.peritectic_C"); known {
		return nil
	}
	var names strict.Schema
	for _, m := range material.Rows() {
		names = append(names, strict.Field{Key: m.Name})
	}
	hint := "`onegrain materials` lists them"
	if near := names.Nearest(q.base); near != "" {
		hint = fmt.Sprintf("did you mean %q?", near)
	}
	return fmt.Errorf("--base %q: no such material; %s", q.base, hint)
}

// materialNumber is a number of a row of `onegrain materials`.
func materialNumber(base, key string) (x float64, known bool) {
	for _, m := range material.Rows() {
		for _, p := range m.Properties {
			if m.Name == base && p.Key == key {
				x, known = p.Value.(float64)
				return x, known
			}
		}
	}
	return math.NaN(), false
}

// sheet reads the rows of a file.
func (q *fitting) sheet(path string) (*logbook.Sheet, error) {
	text, err := os.ReadFile(path)
	switch {
	case errors.Is(err, os.ErrNotExist):
		err = fmt.Errorf("%s: no such file; give a CSV file with one row a furnace run: "+
			"`onegrain fit growth --help` lists the columns", path)
	case err != nil:
		err = fmt.Errorf("%s: cannot be read: %v; give a CSV file", path, errors.Unwrap(err))
	default:
		return logbook.Read(path, text)
	}
	return nil, usage(err)
}

// seededBody is the body, the seeds and the laws of growth of a study's first case.
func (q *fitting) seededBody() (*logbook.Body, error) {
	p, err := loadCase(q.body, 1)
	if err != nil {
		return nil, err
	}
	on, peritecticC, _, err := again.Still(p)
	if err != nil {
		return nil, err
	}
	b, err := liquid.New(on, p.Key(1), p.JoinDeg, peritecticC)
	switch {
	case err != nil:
		return nil, usage(fmt.Errorf("--body %s: %w", q.body, err))
	case math.IsNaN(q.peritecticC):
		q.peritecticC = peritecticC
	case math.Abs(q.peritecticC-peritecticC) > 0.005:
		return nil, usage(fmt.Errorf("--body %s: its peritectic temperature is %s °C, and %s °C was asked for: "+
			"undercoolings would not be the same", q.body, plain.Short6(peritecticC), plain.Short6(q.peritecticC)))
	}
	return &logbook.Body{Name: q.body, Whole: b.Whole,
		Liquid: func(place string, run []logbook.Stage, hours, seedMM float64) (parts []logbook.Part, left float64) {
			var stages []liquid.Stage
			for _, s := range run {
				stages = append(stages, liquid.Stage(s))
			}
			all, left := b.Liquid(place, stages, hours, seedMM)
			for _, part := range all {
				parts = append(parts, logbook.Part{Stage: logbook.Stage(part.Stage), Size: part.Size})
			}
			return parts, left
		}}, nil
}

// undecided says what data lack, and the way out: the constant may be given, such as that of a
// material.
func (q *fitting) undecided(path, what string, err error, key string) string {
	var u *fit.Undecided
	text := fmt.Sprintf("%s: %s: %v", path, what, err)
	if !errors.As(err, &u) || !u.Helps {
		return text
	}
	base := q.base
	if base == "" {
		base = "Y123, air"
	}
	text += "; " + q.settled
	if x, known := materialNumber(base, key); known {
		text += fmt.Sprintf(" (%s has %s)", base, plain.Short6(x))
	}
	return text
}

// fittedLaw is what is printed of one law: a block to be pasted into a study, and the rows beside
// it.
type fittedLaw struct {
	name, block string
	rows        [][]string // the first is the head; nil for none
	warnings    []string
}

// print gives all as JSON, or each law and the sentences about rows that were left out; it ends
// with what could not be fitted.
func (q *fitting) print(s streams, all any, laws []fittedLaw, sentences, failed []string) error {
	var err error
	if *q.asJSON {
		err, laws, sentences = printJSON(s.out, all), nil, nil
	}
	for i, l := range laws {
		if err == nil {
			err = l.print(s, i > 0)
		}
	}
	warn(s, sentences)
	if err == nil && len(failed) > 0 {
		err = usage(errors.New(strings.Join(failed, "\n")))
	}
	return err
}

// print writes the block on stdout, rows and warnings on stderr.
func (l fittedLaw) print(s streams, behind bool) error {
	if behind {
		l.block = "\n" + l.block
		s.say("")
	}
	if l.rows != nil {
		s.say("%s", l.name)
		if err := (&plain.Grid{Head: l.rows[0], Rows: l.rows[1:]}).Print(s.err); err != nil {
			return err
		}
		warn(s, l.warnings)
		if terminal(s.out) {
			s.say("")
		}
	}
	_, err := fmt.Fprint(s.out, l.block)
	return err
}

func warn(s streams, sentences []string) {
	for _, w := range sentences {
		s.say("%s", plain.Folded("warning: "+w, "  "))
	}
}
