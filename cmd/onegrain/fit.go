package main

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"github.com/spf13/cobra"

	"onegrain/analysis/fit"
	"onegrain/studies/material"
	"onegrain/studies/strict"
)

// fitting are the options of both fits.
type fitting struct {
	base, body        string
	peritecticC       float64 // NaN where nothing says it
	exponent, barrier float64 // NaN where they are to be found
	asJSON            bool
}

func fitCommand(s streams) *cobra.Command {
	c := &cobra.Command{
		Use: "fit", Short: shortFit, Long: longFit, Example: exampleFit,
		RunE: func(c *cobra.Command, args []string) error {
			if len(args) > 0 {
				return usage(unknownCommand(c, args[0]))
			}
			return c.Help()
		},
		Args: cobra.ArbitraryArgs,
	}
	growth := fitOne(s, "exponent", flagExponent, (*fitting).growth)
	growth.Use, growth.Short, growth.Long, growth.Example = "growth DATA.csv [options]", shortFitGrowth, longFitGrowth+logbookText(growthColumns()), exampleFitGrowth
	nuclei := fitOne(s, "barrier", flagBarrier, (*fitting).nuclei)
	nuclei.Use, nuclei.Short, nuclei.Long, nuclei.Example = "nuclei DATA.csv [options]", shortFitNuclei, longFitNuclei+logbookText(nucleiColumns()), exampleFitNuclei
	c.AddCommand(growth, nuclei)
	return c
}

// fitOne is a fit without its texts; fixed is the option that fixes one of its constants.
func fitOne(s streams, fixed, flagFixed string, do func(q *fitting, s streams, path string) error) *cobra.Command {
	q := &fitting{}
	c := &cobra.Command{DisableFlagsInUseLine: true, Args: exactly("DATA.csv")}
	c.RunE = func(c *cobra.Command, args []string) error {
		if err := q.settle(c); err != nil {
			return usage(err)
		}
		return do(q, s, args[0])
	}
	c.Flags().Float64Var(&q.peritecticC, "peritectic", math.NaN(), flagPeritectic)
	c.Flags().StringVar(&q.base, "base", "", flagBase)
	if fixed == "barrier" { // growth asks for no body
		c.Flags().StringVar(&q.body, "body", "", flagBody)
	}
	q.exponent, q.barrier = math.NaN(), math.NaN()
	fixes := map[string]*float64{"exponent": &q.exponent, "barrier": &q.barrier}
	c.Flags().Float64Var(fixes[fixed], fixed, math.NaN(), flagFixed)
	for _, f := range []string{"peritectic", fixed} {
		c.Flags().Lookup(f).DefValue = "0" // no default is told in the help
	}
	c.Flags().BoolVar(&q.asJSON, "json", false, "print JSON instead of a table")
	return c
}

// settle checks the options, and takes the peritectic temperature from a material.
func (q *fitting) settle(c *cobra.Command) error {
	for _, o := range []struct {
		flag      string
		x         float64
		low, high float64
		wanted    string
	}{
		{"peritectic", q.peritecticC, 500, 1500, "500 to 1500 (°C)"}, {"exponent", q.exponent, 0, 10, "0 to 10"}, {"barrier", q.barrier, 1, 1e15, "1 to 1e15 (K³)"},
	} {
		if c.Flags().Changed(o.flag) && !(o.x >= o.low && o.x <= o.high) {
			return fmt.Errorf("--%s %v: wanted %s", o.flag, o.x, o.wanted)
		}
	}
	if q.base == "" {
		return nil
	}
	if c.Flags().Changed("peritectic") {
		return errors.New(baseOrPeritectic)
	}
	var names strict.Schema
	for _, m := range material.Rows() {
		names = append(names, strict.Field{Key: m.Name})
		for _, p := range m.Properties {
			if m.Name == q.base && p.Key == "material.peritectic_C" {
				q.peritecticC = p.Number
				return nil
			}
		}
	}
	hint := "`onegrain materials` lists them"
	if near := names.Nearest(q.base); near != "" {
		hint = fmt.Sprintf("did you mean %q?", near)
	}
	return fmt.Errorf(noMaterial, q.base, hint)
}

func (q *fitting) read(path string) (*sheet, error) { return readSheet(path, logbook()) }

// reference is the remark on what undercoolings are counted from.
func (q *fitting) reference() string {
	if math.IsNaN(q.peritecticC) {
		return ""
	}
	return fmt.Sprintf("# holds with material.peritectic_C = %s\n", short6(q.peritecticC))
}

// undecided says what data lack, and the way out.
func (q *fitting) undecided(path, what string, err error, fix, key string) string {
	var u *fit.Undecided
	text := fmt.Sprintf("%s: %s: %v", path, what, err)
	if !errors.As(err, &u) || !u.Helps {
		return text
	}
	text += "; " + fix
	base := q.base
	if base == "" {
		base = "Y123, air"
	}
	for _, m := range material.Rows() {
		for _, p := range m.Properties {
			if m.Name == base && p.Key == key {
				text += fmt.Sprintf(" (%s has %s)", base, short6(p.Number))
			}
		}
	}
	return text
}

// tell prints what was fitted, and ends with what could not be.
func (q *fitting) tell(s streams, all any, print func(streams) error, failed []string) error {
	var err error
	if q.asJSON {
		err = printJSON(s.out, all)
	} else {
		err = print(s)
	}
	if err == nil && len(failed) > 0 {
		err = usage(errors.New(strings.Join(failed, "\n")))
	}
	return err
}

func commonColumns() []string {
	return []string{"hours", "undercooling_K", "start_undercooling_K", "end_undercooling_K", "temperature_C", "start_C", "end_C"}
}

func growthColumns() []string {
	return append(commonColumns(), "grown_mm", "width_mm", "seed_mm", "face", "run", "note")
}

func nucleiColumns() []string {
	return append(commonColumns(), "strays", "stray_seen", "first_stray_undercooling_K", "first_stray_h",
		"place", "volume_mm3", "area_mm2", "seed_mm", "run", "note")
}

// logbookText lists columns for a page of help.
func logbookText(columns []string) string {
	var b strings.Builder
	b.WriteString("\n\nColumns:\n")
	known := logbook()
	for _, name := range columns {
		f, _ := known.Field(name)
		unit := ""
		if len(f.Choices) > 0 {
			unit = " (" + strings.Join(f.Choices, ", ") + ")"
		}
		fmt.Fprintf(&b, "  %-27s %s%s\n", name, f.Means, unit)
	}
	return strings.TrimRight(b.String(), "\n")
}
