package lawbook

import (
	"fmt"
	"math"
	"strings"

	"onegrain/analysis/belief"
	"onegrain/analysis/plain"
	"onegrain/studies/draws"
)

// notes are what the runs cannot tell. Of so many of them strays were looked for; crowded says that
// some had more than are told apart.
func (q *Question) notes(p *belief.Posterior, looked int, crowded bool) (all []string) {
	add := func(format string, values ...any) { all = append(all, fmt.Sprintf(format, values...)) }
	if len(q.Priors) > 0 {
		add("priors that were given: %s", strings.Join(q.Priors, "; "))
	}
	switch {
	case p.Runs == 0:
	case looked == 0:
		add("no run says anything about strays: where they begin is known from the prior alone; write " +
			"strays = 0 where none was there")
	case p.WithStrays == 0:
		add("no stray in %s: where strays begin is known from the prior alone above %s K; make one run that is sure to have "+
			"some", plain.Plural(looked, "run"), plain.Short(p.HighestK))
	case p.WithStrays == looked:
		add("strays in every run in which they were looked for: how safe a shallower programme is, is known from the prior "+
			"alone; make one run that stays shallower than %s K", plain.Short(p.LowestStrayK))
	}
	if p.Runs == 1 {
		add("one run: nearly all of what is said here is prior")
	}
	if crowded {
		add("more than %d strays count as %d or more: beyond, grains stop each other, and a count says little of their rate",
			manyStrays, manyStrays+1)
	}
	if !math.IsNaN(q.body.OffBy) {
		add("%s: its grains meet, or grow round something: the table of its liquid misses the strays of a "+
			"full run by %.2g %%", q.Body, 100*q.body.OffBy)
	}
	if q.body.Scattered {
		add("%s: seeds lie as it says, without their scatter of placing", q.Body)
	}
	for _, f := range p.Families {
		if f.Chain {
			add("%s: weights did not settle, so a chain took their place (split R̂ %.3f)", word(f.Name), f.Mixed)
		}
	}
	return all
}

// word is what a family is called.
func word(family string) string {
	return map[string]string{draws.Barrier: "strays as a rate (barrier)", draws.Sites: "strays at sites"}[family]
}

// families says how likely each is.
func families(p *belief.Posterior) string {
	if len(p.Families) == 1 {
		return word(p.Families[0].Name) + " alone was looked at"
	}
	share := p.Families[0].Share
	text := fmt.Sprintf("%s %.0f in 100, at sites %.0f in 100: ", word(p.Families[0].Name), 100*share, 100*(1-share))
	if max(share, 1-share) > 0.95 {
		return text + "these runs tell which"
	}
	text += "these runs do not tell which."
	if a := p.Apart; a != nil {
		text += fmt.Sprintf(" Two holds at %s K, %s h and %s h long, would best", plain.Short(a.UndercoolingK),
			plain.Short(a.ShortH), plain.Short(a.LongH))
		if a.Bits < 0.3 {
			text += ", though hardly"
		}
		text += "."
	}
	return text
}

// Chances below which what was seen was not foreseen, and below which no law explains it.
const (
	rare  = 0.05
	never = 1e-4
)

// unlikely names the rows whose chance was less.
func unlikely(all []belief.Foreseen, chance float64) (names []string) {
	for _, f := range all {
		if f.Chance < chance {
			names = append(names, fmt.Sprintf("line %d (%s) had a chance of %s", f.Line, f.Run, plain.Short(f.Chance)))
		}
	}
	return names
}

// foreseen says which rows the laws of the rows before did not foresee.
func foreseen(all []belief.Foreseen) string {
	if len(all) == 0 {
		return ""
	}
	names := unlikely(all, rare)
	if len(names) == 0 {
		return "all runs were as foreseen by the laws of the runs before them"
	}
	text := "not foreseen by the laws of the runs before: " + strings.Join(names, "; ")
	if float64(len(names)) > 1+rare*3*float64(len(all)) || len(unlikely(all, never)) > 0 {
		return text + ": has the furnace drifted, or the powder changed?"
	}
	return text + fmt.Sprintf("; of %d one in 20 is, by chance", len(all))
}
