package main

import (
	"fmt"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"onegrain/analysis/compare"
	"onegrain/analysis/plain"
	"onegrain/studies"
	"onegrain/studies/table"
)

func compareCommand(s streams) *cobra.Command {
	var asJSON bool
	c := command("compare A B", func(_ *cobra.Command, args []string) error {
		return compareTwo(s, args[0], args[1], asJSON)
	})
	c.Flags().BoolVar(&asJSON, "json", false, "print JSON instead of a table")
	return c
}

// compareTwo says what differs between two studies, each given as a results folder or a study file.
func compareTwo(s streams, a, b string, asJSON bool) error {
	var sides [2]compare.Side
	for i, path := range []string{a, b} {
		side, err := sideOf(s, path)
		if err != nil {
			return err
		}
		sides[i] = side
	}
	c := &comparison{compare.Compare(sides[0], sides[1])}
	var err error
	if asJSON {
		err = printJSON(s.out, c.Findings)
	} else {
		err = c.print(s)
	}
	if err == nil && !c.Same {
		err = coded{fmt.Errorf("%s and %s differ", a, b), exitSomeFailed}
	}
	return err
}

// sideOf reads a results folder or a study file.
func sideOf(s streams, path string) (side compare.Side, err error) {
	info, err := os.Stat(path)
	if err != nil {
		return side, usage(fmt.Errorf("%s: no such file or folder; give two results folders or two study files", path))
	}
	if !info.IsDir() {
		study, err := loadStudy(path, 0, nil)
		if err != nil {
			return side, err
		}
		return compare.Planned(path, study)
	}
	folder, err := openResults(s, path)
	if err != nil {
		return side, err
	}
	return compare.Ran(path, folder, func(v table.Version) (*studies.Study, error) { return studyIn(path, v) })
}

// comparison is what differs, for people.
type comparison struct{ *compare.Findings }

// mostLines is how many lines of one kind are printed; --json tells all.
const mostLines = 40

func (c *comparison) print(s streams) error {
	var b strings.Builder
	fmt.Fprintf(&b, "A  %s\nB  %s\n", c.A.Path, c.B.Path)
	if len(c.Settings) > 0 {
		g := &plain.Grid{Head: []string{"key", "A", "B", ""}}
		for _, k := range c.Settings {
			mark := ""
			if k.Decides {
				mark = "decides results"
			}
			g.Add(k.Key, given(k.A), given(k.B), mark)
		}
		b.WriteString("\n")
		if err := g.Print(&b); err != nil {
			return err
		}
	}
	c.alone(&b, "A", c.OnlyA)
	c.alone(&b, "B", c.OnlyB)
	if err := c.pairs(&b); err != nil {
		return err
	}
	switch {
	case c.Content == compare.Identical:
		fmt.Fprintf(&b, "\nidentical results: content %s\n", c.A.Content)
	case c.Same:
		b.WriteString("\nno difference\n")
	}
	if _, err := fmt.Fprint(s.out, b.String()); err != nil {
		return err
	}
	s.notes(c.Warnings)
	return nil
}

// given is a value of a study, a dash where it has none.
func given(value string) string {
	const longest = 40
	switch letters := []rune(value); {
	case value == "":
		return "-"
	case len(letters) > longest:
		return string(letters[:longest-1]) + "…"
	}
	return value
}

// alone lists the cases that one side has and the other has not.
func (c *comparison) alone(b *strings.Builder, side string, cases []compare.Case) {
	if len(cases) == 0 {
		return
	}
	fmt.Fprintf(b, "\nonly in %s: %s\n", side, plain.Plural(len(cases), "case"))
	for i, one := range cases {
		if i == mostLines {
			fmt.Fprintf(b, "  and %d more; --json lists all\n", len(cases)-i)
			return
		}
		fmt.Fprintf(b, "  %s  %s\n", one.ID, strings.Join(c.named(one), ", "))
	}
}

// named are the varied values of a case.
func (c *comparison) named(one compare.Case) (texts []string) {
	for _, name := range c.columns() {
		if v, ok := one.Values[name]; ok {
			texts = append(texts, name+" = "+plain.Cell(v))
		}
	}
	return texts
}

// columns are those that either side varies.
func (c *comparison) columns() []string {
	all := slices.Clone(c.A.Varied)
	for _, name := range c.B.Varied {
		if !slices.Contains(all, name) {
			all = append(all, name)
		}
	}
	return all
}

// pairs tells of the cases that both sides have.
func (c *comparison) pairs(b *strings.Builder) error {
	if len(c.Pairs) == 0 {
		b.WriteString("\nno case in both\n")
		return nil
	}
	differ := 0
	g := &plain.Grid{Head: append(c.columns(), "single grain A", "95 %", "B", "95 %", "p", "exact A", "B")}
	if c.lawful() {
		g.Head = append(g.Head, "over laws A", "90 of 100", "B", "90 of 100")
	}
	g.Head = append(g.Head, "clear mm A", "p10–p90", "B", "p10–p90")
	for _, p := range c.Pairs {
		if !p.Differs {
			continue
		}
		if differ++; differ <= mostLines {
			g.Add(c.row(p)...)
		}
	}
	switch {
	case c.Pairs[0].A == nil || c.Pairs[0].B == nil:
		fmt.Fprintf(b, "\nin both: %s; results are not compared\n", plain.Plural(len(c.Pairs), "case"))
		return nil
	case differ == 0:
		fmt.Fprintf(b, "\nin both: %s, all with the same results\n", plain.Plural(len(c.Pairs), "case"))
		return nil
	}
	fmt.Fprintf(b, "\nin both: %s, %d of them with other results\n", plain.Plural(len(c.Pairs), "case"), differ)
	if err := g.Print(b); err != nil {
		return err
	}
	if differ > mostLines {
		fmt.Fprintf(b, "  and %d more; --json lists all\n", differ-mostLines)
	}
	if c.PValue.Known() {
		verdict := "counted shares of %s: the smallest p-value times their number is %s: no more difference than by chance"
		if c.BeyondChance {
			verdict = "counted shares of %s: the smallest p-value times their number is %s: more difference than by chance"
		}
		text := fmt.Sprintf(verdict, plain.Plural(c.Tested, "case"), plain.Few(float64(c.PValue)))
		fmt.Fprintf(b, "\n%s\n", plain.Folded(text, "  "))
	}
	return nil
}

// lawful tells whether any case has a chance over the laws of a logbook.
func (c *comparison) lawful() bool {
	return slices.ContainsFunc(c.Pairs, func(p compare.Pair) bool {
		return p.A != nil && p.A.OverLaws.Known() || p.B != nil && p.B.OverLaws.Known()
	})
}

func (c *comparison) row(p compare.Pair) (row []string) {
	for _, name := range c.columns() {
		row = append(row, plain.Cell(p.Values[name]))
	}
	x, y := p.A, p.B
	share := func(r *compare.Result) []string {
		within := plain.Span(float64(r.Interval.Low), float64(r.Interval.High), 2)
		return []string{fmt.Sprintf("%d/%d", r.Singles, r.Runs), within}
	}
	exact := func(r *compare.Result) string {
		return plain.Chance(float64(r.Exact)) + plain.Margin(r.Placings, float64(r.Error))
	}
	clear := func(r *compare.Result) []string {
		return []string{plain.Number(float64(r.ClearMM), 1), plain.Span(float64(r.P10MM), float64(r.P90MM), 1)}
	}
	over := func(r *compare.Result) []string {
		return []string{plain.Chance(float64(r.OverLaws)), plain.Span(float64(r.Within.Low), float64(r.Within.High), 2)}
	}
	row = append(append(append(row, share(x)...), share(y)...), plain.Few(float64(p.PValue)), exact(x), exact(y))
	if c.lawful() {
		row = append(append(row, over(x)...), over(y)...)
	}
	return append(append(row, clear(x)...), clear(y)...)
}
