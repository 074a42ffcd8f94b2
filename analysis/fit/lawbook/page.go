package lawbook

import (
	"fmt"
	"io"
	"math"
	"strings"

	"onegrain/analysis/belief"
	"onegrain/analysis/plain"
	"onegrain/studies/draws"
)

// Answer is what came of a logbook.
type Answer struct {
	File  *draws.File
	Notes []string // sentences about rows, and about what the runs cannot tell
	Wrong error    // Unsettled, where the laws do not explain some row; they are not to be used then

	JSON learned

	first string     // how much was seen
	grid  plain.Grid // the unknowns
	below []string   // sentences
}

// learned is what programs read.
type learned struct {
	File           string            `json:"file"`
	Body           string            `json:"body"`
	PeritecticC    float64           `json:"peritectic_C"`
	Runs           int               `json:"runs"`
	RunsWithStrays int               `json:"runs_with_strays"`
	Strays         int               `json:"strays"`
	Furnaces       []string          `json:"furnaces"`
	LowestK        float64           `json:"lowest_undercooling_K"`
	HighestK       float64           `json:"highest_undercooling_K"`
	LowestStrayK   *float64          `json:"lowest_stray_undercooling_K"` // null where none was seen
	HighestStrayK  *float64          `json:"highest_stray_undercooling_K"`
	Unknowns       []unknown         `json:"unknowns"`
	Families       []family          `json:"families"`
	Foreseen       []belief.Foreseen `json:"foreseen"`
	TellApart      *belief.Pair      `json:"would_tell_families_apart"`
	ParetoK        float64           `json:"pareto_k"`
	Effective      float64           `json:"effective_draws"`
	Laws           int               `json:"laws"`
	Out            string            `json:"out,omitempty"`
	Priors         []string          `json:"priors"`
	Warnings       []string          `json:"warnings"`
}

type unknown struct {
	Key       string   `json:"key"`
	Text      string   `json:"text"`
	Unit      string   `json:"unit"`
	Low       float64  `json:"low"` // 90 of 100 laws lie between low and high
	Middle    float64  `json:"middle"`
	High      float64  `json:"high"`
	MiddleC   *float64 `json:"middle_C"` // where it is an undercooling
	Learnt    float64  `json:"learnt"`   // 1 − (sd after / sd before)²
	KnownFrom string   `json:"known_from"`
}

type family struct {
	Family      string  `json:"family"`
	Share       float64 `json:"share"`
	LogEvidence float64 `json:"log_evidence"`
	ParetoK     float64 `json:"pareto_k"`
	Effective   float64 `json:"effective_draws"`
	Chain       bool    `json:"by_chain"`
}

// answer is what is said of a posterior.
func (q *Question) answer(p *belief.Posterior, f *draws.File, notes []string) *Answer {
	a := &Answer{File: f, Notes: notes}
	a.JSON = learned{File: q.File, Body: q.Body, PeritecticC: f.PeritecticC, Runs: p.Runs, RunsWithStrays: p.WithStrays,
		Strays: p.Strays, Furnaces: f.Furnaces, LowestK: p.LowestK, HighestK: p.HighestK, LowestStrayK: real(p.LowestStrayK),
		HighestStrayK: real(p.HighestStrayK), Unknowns: q.unknowns(p, f), Foreseen: p.Foreseen, TellApart: p.Apart,
		ParetoK: p.ParetoK, Effective: p.Effective, Laws: len(p.Laws), Out: q.Out,
		Priors: strings.Split(f.Priors, "\n"), Warnings: append([]string{}, notes...)}
	for _, one := range p.Families {
		a.JSON.Families = append(a.JSON.Families, family{one.Name, one.Share, one.LogEvidence, one.ParetoK, one.Effective,
			one.Chain})
	}
	a.first = q.seen(p, f.Furnaces)
	a.grid.Head = []string{"", "middle", "90 of 100 lie in", "°C", "known from"}
	for _, u := range a.JSON.Unknowns {
		name, c, d := u.Text, "", decimals(u.Low, u.High)
		if u.Unit != "" {
			name += ", " + u.Unit
		}
		if u.MiddleC != nil {
			c = plain.Number(*u.MiddleC, 1)
		}
		a.grid.Add(name, plain.Number(u.Middle, d), span(u.Low, u.High, d), c, u.KnownFrom)
	}
	a.below = []string{families(p)}
	a.below = append(a.below, "known from: of the variance before, the runs took 0.9 or more (the logbook), 0.5 or more "+
		"(both), 0.1 or more (mostly prior), or less (prior alone)")
	if text := foreseen(p.Foreseen); text != "" {
		a.below = append(a.below, text)
	}
	if names := unlikely(p.Foreseen, never); len(names) > 0 {
		a.Wrong = Unsettled{fmt.Sprintf("%s: rows contradict each other: by the laws of the runs before, %s; %s", q.File,
			strings.Join(names, "; "), again)}
	}
	return a
}

// real is a number for JSON; nil where there is none.
func real(x float64) *float64 {
	if math.IsNaN(x) {
		return nil
	}
	return &x
}

// seen says how much was.
func (q *Question) seen(p *belief.Posterior, furnaces []string) string {
	if p.Runs == 0 {
		return "no run yet: all that is known comes from publications"
	}
	where := "one furnace"
	if n := len(furnaces); n > 1 {
		where = fmt.Sprintf("%d furnaces (%s)", n, strings.Join(furnaces, ", "))
	}
	kelvins := fmt.Sprintf("%s to %s K (%.0f to %.0f °C)", plain.Short(p.LowestK), plain.Short(p.HighestK),
		q.body.PeritecticC-p.LowestK, q.body.PeritecticC-p.HighestK)
	if p.LowestK == p.HighestK {
		kelvins = fmt.Sprintf("%s K (%.0f °C)", plain.Short(p.LowestK), q.body.PeritecticC-p.LowestK)
	}
	text := fmt.Sprintf("%s, %s, %s; ", plain.Plural(p.Runs, "run"), where, kelvins)
	if p.WithStrays == 0 {
		return text + "no stray in any of them"
	}
	return text + fmt.Sprintf("strays in %d of them, %d in all", p.WithStrays, p.Strays)
}

// unknowns are the quantities of a posterior, and another furnace than those of the logbook.
func (q *Question) unknowns(p *belief.Posterior, f *draws.File) (all []unknown) {
	further := 0
	for _, one := range p.Quantities {
		u := unknown{one.Key, one.Text, one.Unit, one.Low, one.Middle, one.High, nil, one.Share, one.By}
		if p.Runs == 0 {
			u.Learnt, u.KnownFrom = 0, "prior alone" // what is left is dice
		}
		switch one.Key {
		case "stray_a_day_K", "equal_rates_K":
			u.MiddleC = real(f.PeritecticC - one.Middle)
		case offset:
			further++
			u.Text = fmt.Sprintf("%s: colder than it reads, against %s", f.Furnaces[further], f.Furnaces[0])
		}
		all = append(all, u)
	}
	for _, prior := range q.priors {
		if wide := within90(prior); prior.Key == offset {
			all = append(all, unknown{prior.Key, prior.Text, prior.Unit, prior.Middle - wide, prior.Middle, prior.Middle + wide,
				nil, 0, "prior alone"})
		}
	}
	return all
}

// offset is the key of the prior of a further furnace.
const offset = "furnace_offset_K"

// within90 is what 90 of 100 lie within by a prior, on either side: a factor or a distance.
func within90(p belief.Prior) float64 {
	const deviations = 1.6448536269514722
	if p.Log {
		return math.Exp(deviations * p.SD)
	}
	return deviations * p.SD
}

// Priors lists the priors that nobody has to give, a line each, for a page of help.
func Priors() string {
	var lines []string
	for _, p := range belief.Priors() {
		about := "×÷"
		if !p.Log {
			about = "by"
		}
		text := p.Text
		if p.Unit != "" {
			text += ", " + p.Unit
		}
		lines = append(lines, fmt.Sprintf("  %-22s %7.4g %s %-4.2g %s", p.Key, p.Middle, about, within90(p), text))
	}
	return strings.Join(lines, "\n")
}

// priorText is all priors, a line each.
func (q *Question) priorText() string {
	var lines []string
	for _, p := range q.priors {
		low, high := p.Middle-within90(p), p.Middle+within90(p)
		if p.Log {
			low, high = p.Middle/within90(p), p.Middle*within90(p)
		}
		text := p.Text
		if p.Unit != "" {
			text += ", " + p.Unit
		}
		lines = append(lines, fmt.Sprintf("%s: %s: %.3g, 90 of 100 in %.3g to %.3g; %s", p.Key, text, p.Middle, low, high,
			p.Source))
	}
	return strings.Join(lines, "\n")
}

// decimals is how many tell the ends of a band apart.
func decimals(low, high float64) int {
	half := (high - low) / 2
	if !(half > 0) {
		return 2
	}
	n := math.Ceil(-math.Log10(half))
	if half*math.Pow(10, n) < 3 {
		n++
	}
	return int(max(0, min(n, 6)))
}

func span(low, high float64, digits int) string {
	if low < 0 {
		return fmt.Sprintf("%.*f to %.*f", digits, low, digits, high)
	}
	return plain.Span(low, high, digits)
}

// Print writes the page for a person.
func (a *Answer) Print(w io.Writer) error {
	if _, err := fmt.Fprintln(w, plain.Folded(a.first, "")); err != nil {
		return err
	}
	if err := a.grid.Print(w); err != nil {
		return err
	}
	for _, text := range a.below {
		if _, err := fmt.Fprintln(w, plain.Folded(text, "  ")); err != nil {
			return err
		}
	}
	return nil
}

// Saved says what was kept of the laws, and how to use it; name is that of the file, empty for
// none.
func (a *Answer) Saved(name string) string {
	worth := fmt.Sprintf("%d laws (Pareto k %.2f, worth %.0f independent ones)", len(a.File.Laws), a.File.ParetoK,
		a.File.Effective)
	if name == "" {
		return worth + ": --out NAME.parquet keeps them for studies"
	}
	return fmt.Sprintf("%s: %s; a study uses them by laws = %q under [material], in place of growth_a, growth_c and "+
		"nucleation.melt", name, worth, name)
}
