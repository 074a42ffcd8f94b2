package main

import (
	"fmt"
	"io"
	"math"

	"github.com/sourcegraph/conc/iter"
	"github.com/spf13/cobra"

	"onegrain/analysis/plain"
	"onegrain/studies"
	"onegrain/studies/again"
)

// quickCells is up to how many cells `check` grows a body to tell its expected strays: a second or
// so.
const quickCells = 20_000_000

func checkCommand(s streams) *cobra.Command {
	var asJSON bool
	var n int
	c := command("check STUDY.toml", func(_ *cobra.Command, args []string) error { return check(s, args[0], n, asJSON) })
	c.Flags().BoolVar(&asJSON, "json", false, "print JSON instead of a table")
	c.Flags().IntVar(&n, "case", 1, "`number` of the case, from 1 in the order of the study")
	return c
}

// checked is what `check` tells.
type checked struct {
	Study string `json:"study"`
	studies.Explanation
	ExpectedStrays []checkedOdds `json:"expected_strays"`
}

type checkedOdds struct {
	Case        int            `json:"case"`
	Values      map[string]any `json:"values"`
	Expected    float64        `json:"expected_strays_exact"`
	Probability float64        `json:"single_grain_probability_exact"`
	Error       *float64       `json:"single_grain_probability_exact_se"` // null without placing scatter
	Placings    int            `json:"placings"`                          // 0 without
	Because     string         `json:"never_because,omitempty"`
	odds        again.Odds
}

func check(s streams, path string, n int, asJSON bool) error {
	one, err := loadCase(path, n)
	if err != nil {
		return err
	}
	study := one.Study
	e, err := study.Explain(one.Index)
	if err != nil {
		return err
	}
	c := &checked{Study: path, Explanation: e}
	if !asJSON {
		if err := c.print(s.out, study.Title, named(one)); err != nil {
			return err
		}
	}
	if e.MostCells <= quickCells {
		if c.ExpectedStrays, err = firstAndLast(study, int(quickCells/e.MostCells)); err != nil {
			return err
		}
	}
	notes := append(c.idle(study), c.beyond(study)...)
	if study.Melt() != nil && len(c.ExpectedStrays) > 0 {
		notes = append(notes, middleNote)
	}
	c.Warnings = append(c.Warnings, notes...)
	if asJSON {
		return printJSON(s.out, c)
	}
	if err := c.printOdds(s.out); err != nil {
		return err
	}
	return printNotes(s.out, notes)
}

// firstAndLast grows the first and the last case without strays, both at once, which tells how many
// strays are to be expected. Of placings it looks at as many as there is time for, 2 at least.
func firstAndLast(study *studies.Study, placings int) ([]checkedOdds, error) {
	placings = min(max(placings, 2), study.Placings())
	cases := []int{0}
	if n := study.Cases(); n > 1 {
		cases = append(cases, n-1)
	}
	return iter.MapErr(cases, func(i *int) (checkedOdds, error) { return oddsOf(study, *i, placings) })
}

func oddsOf(study *studies.Study, i, placings int) (checkedOdds, error) {
	p, err := study.Plan(i)
	if err != nil {
		return checkedOdds{}, err
	}
	o, err := again.Work(p, placings)
	c := checkedOdds{i + 1, p.Varied(), o.ExpectedStrays, o.Probability, nil, o.Placings, o.Because, o}
	if !math.IsNaN(o.Error) {
		c.Error = &o.Error
	}
	return c, err
}

func (c *checked) print(w io.Writer, title, name string) error {
	cells := fmt.Sprint(c.MostCells)
	if c.FewestCells != c.MostCells {
		cells = fmt.Sprintf("%d–%d", c.FewestCells, c.MostCells)
	}
	fmt.Fprintf(w, "%s\n\ncases   %d, at most %s\ncells   %s\n", bold(w, title), c.Cases,
		plain.Plural(c.Runs, "run"), cells)
	fmt.Fprintf(w, "memory  about %s, %s more for each further run at the same time\n", plain.Bytes(c.Memory),
		plain.Bytes(c.MemoryPerRun))
	fmt.Fprintf(w, "time    about %s of one processor\nfiles   about %d\n", plain.Hours(c.CoreHours), c.Files)
	fmt.Fprintf(w, "\n%s\nprogramme %.1f h, hottest %.1f °C\n\n", bold(w, name), c.ProgrammeHours, c.HottestC)
	if r := c.Record; r != nil {
		fmt.Fprintf(w, "%s: %d readings as %s, none further off than %g K\n\n", r.File, r.Readings,
			plain.Plural(r.Pieces, "straight piece"), r.ToleranceK)
	}
	g := &plain.Grid{Head: []string{"stage", "time h", "temperature °C", "undercooling K", "grown a mm", "grown c mm"}}
	for _, r := range c.Schedule {
		g.Add(fmt.Sprint(r.Stage), plain.Number(r.TimeH, 2), plain.Number(r.TemperatureC, 1),
			plain.Number(r.UndercoolingK, 1), plain.Number(r.GrownAMM, 2), plain.Number(r.GrownCMM, 2))
	}
	if err := g.Print(w); err != nil {
		return err
	}
	for _, m := range c.Seeds {
		text := "survival unknown: the study does not give its peritectic_C"
		if m.MarginK != nil {
			text = fmt.Sprintf("stays %.1f K below its own peritectic temperature of %.1f °C", *m.MarginK, *m.PeritecticC)
			if m.OffsetK != 0 {
				text += fmt.Sprintf("; the hottest place under it differs from the centre of the top face by %+.1f K", m.OffsetK)
			}
		}
		fmt.Fprintf(w, "\n%s: %s", m.Seed, text)
	}
	if len(c.Seeds) > 0 {
		fmt.Fprintln(w)
	}
	if err := printNotes(w, c.Warnings); err != nil {
		return err
	}
	_, err := io.WriteString(w, "\n")
	return err
}

func printNotes(w io.Writer, notes []string) error {
	for _, text := range notes {
		if _, err := fmt.Fprintf(w, "\n%s\n", plain.Folded("note: "+text, "  ")); err != nil {
			return err
		}
	}
	return nil
}

// idle tells of hours after the body is solid, where both cases that were grown have them.
func (c *checked) idle(study *studies.Study) (notes []string) {
	for _, o := range c.ExpectedStrays {
		text := study.Idle(o.Case-1, o.odds.FullH)
		if text == "" {
			return nil
		}
		notes = append(notes, text)
	}
	return notes[:min(1, len(notes))]
}

const middleNote = "the chances are those of the middle law of the file; `onegrain run --odds-only` gives those over " +
	"all of its laws"

// beyond tells where the first case that was grown goes deeper than its laws were learnt from, or
// else the last one.
func (c *checked) beyond(study *studies.Study) []string {
	for _, o := range c.ExpectedStrays {
		if text := study.Beyond(o.Case-1, o.odds.FullH); text != "" {
			return []string{fmt.Sprintf("%s (case %d)", text, o.Case)}
		}
	}
	return nil
}

func (c *checked) printOdds(w io.Writer) error {
	if len(c.ExpectedStrays) == 0 {
		_, err := fmt.Fprintf(w, "expected strays: not computed for bodies above %d cells; `onegrain run --odds-only` does\n",
			quickCells)
		return err
	}
	never := hopeless{}
	g := &plain.Grid{Head: []string{"case", "expected strays", "chance of a single grain"}}
	var placings []int
	for _, o := range c.ExpectedStrays {
		placings = append(placings, o.Placings)
		exact := plain.Chance(o.Probability)
		if o.Because != "" {
			exact += " " + never.mark(o.Because)
		}
		g.Add(fmt.Sprint(o.Case), plain.Short(o.Expected), exact+plain.Margin(o.Placings, o.odds.Error))
	}
	if err := g.Print(w); err != nil {
		return err
	}
	for _, note := range append(never.notes(), overPlacings(placings)...) {
		if _, err := fmt.Fprintf(w, "\n%s\n", note); err != nil {
			return err
		}
	}
	return nil
}
