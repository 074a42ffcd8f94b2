package report

import (
	"fmt"
	"slices"
	"strings"

	"onegrain/analysis/window"
)

// answer is the section that is read when no other is.
func (s *Sources) answer() []Block {
	f := s.Findings
	out := []Block{{Lead: f.Window.Sentence}}
	switch {
	case f.Best != nil:
		out = append(out, Block{Text: s.recommended()}, Block{Facts: s.facts()})
	case f.Runs.Total == 0:
		out = append(out, Block{Text: "No run was counted, so the size of the piece is not known."})
	default:
		out = append(out, Block{Text: "No case leaves a piece that could be cut out as one grain."})
	}
	if n := len(f.Window.Slices); n > 1 {
		var each []string
		for _, one := range f.Window.Slices {
			each = append(each, one.Sentence)
		}
		out = append(out, fold(fmt.Sprintf("The same for each of %d settings", n), Block{List: each}))
	}
	out = append(out, Block{Heading: "How far to trust this"}, Block{List: s.trust()})
	warnings := slices.Concat(f.Warnings, f.Window.Warnings)
	for _, sl := range f.Window.Slices {
		warnings = append(warnings, sl.Warnings...)
	}
	return append(out, caution(warnings...)...)
}

// recommended names the best case.
func (s *Sources) recommended() string {
	f := s.Findings
	name, what := s.settings(f.Best.Settings), "The best case"
	averaged := len(f.Window.Averaged) > 0
	switch {
	case name == "" && averaged:
		return "Nothing is chosen here: all that was varied is not known."
	case name == "":
		return "One case was computed."
	case averaged:
		what = "The best setting by the means over what is not known"
	}
	text := fmt.Sprintf("%s has %s. The rule: %s.", what, name, window.Rule)
	if f.Best.Shortfall != "" {
		text += " " + f.Best.Shortfall
	}
	if s.narrow(*f.Window.Best) {
		text += " It lies outside of the range named above, so it has less to spare: a case beside it may miss the " +
			"wanted chance."
	}
	return text
}

// narrow tells whether a case lies outside of every range that the sentence of its slice may name,
// while there is one.
func (s *Sources) narrow(p window.Point) bool {
	some := false
	for _, sl := range s.Findings.Window.Slices {
		i := slices.IndexFunc(sl.Points, func(q window.Point) bool { return q.ID == p.ID })
		for _, b := range sl.Safe {
			some = true
			if i >= 0 && b.Holds(sl.Points[i]) {
				return false
			}
		}
	}
	return some
}

// facts of the best case.
func (s *Sources) facts() (all []Fact) {
	p := s.Findings.Window.Best
	add := func(name, format string, values ...any) {
		all = append(all, Fact{name, fmt.Sprintf(format, values...)})
	}
	for _, one := range s.Findings.Best.Settings {
		add(sentenceCase(s.label(one.Axis)), "%s", powers(one.Value))
	}
	add("Chance of a single grain", "%s", odds(*p))
	if p.Over > 0 {
		add("Over what is not known", "every number is a mean over %s of %s; %d of them reach %s", plural(p.Over, "point"),
			strings.Join(s.Findings.Window.Averaged, ", "), p.Reach, chance(s.Findings.Window.Wanted))
	}
	if p.Strays.Known() {
		add("Stray grains to expect", "%s a run", strays(real(p.Strays)))
	}
	add("Clear piece", "%s", piece(*p))
	if p.FullH.Known() {
		add("Solid after", "%s h from the start, heating included", hours(p.FullH))
	}
	switch {
	case !p.ProgrammeH.Known():
	case p.FullH < 0.9*p.ProgrammeH:
		add("Programme as written", "%s h; its last %s h find nothing liquid any more and may be cut short, with a reserve",
			hours(p.ProgrammeH), fixed(real(p.ProgrammeH-p.FullH), 0))
	default:
		add("Programme as written", "%s h", hours(p.ProgrammeH))
	}
	return all
}

// piece is what can be cut out of the body.
func piece(p window.Point) string {
	text := fixed(real(p.DiameterMM), 1) + " mm across"
	switch {
	case !p.DiameterMM.Known():
		return "not known: only the odds were computed"
	case p.Runs == 1:
		return text + ", in the one run"
	case !p.P10.Known() || !p.P90.Known():
		return text + " (median)"
	case fixed(real(p.P10), 1) == fixed(real(p.P90), 1):
		return text + " (median), the same in nearly all runs"
	}
	return text + fmt.Sprintf(" (median); eight runs of ten: %s mm", span(real(p.P10), real(p.P90), 1))
}

func sentenceCase(text string) string { return strings.TrimSuffix(sentence(text), ".") }

// odds of a case: exact beside counted.
func odds(p window.Point) string {
	exact, counted := chance(real(p.Exact))+" by the exact odds", ""
	if p.Runs > 0 {
		counted = fmt.Sprintf("counted %d of %s (95 %% interval %s)", p.Hits, plural(p.Runs, "run"), shares(p.Counted))
	}
	if p.Source == "exact mean" {
		over := plural(p.Placings, "placing") + " of the seeds"
		if p.Over > 0 {
			over = "what is not known"
		}
		exact = fmt.Sprintf("%s by the exact odds, mean over %s (95 %% interval %s)", rough(real(p.Exact)), over,
			shares(p.Interval))
	}
	switch {
	case p.Verdict == "never":
		return "0 %, strays or not: " + p.Reason()
	case !p.Exact.Known():
		return counted
	case counted != "":
		return exact + "; " + counted
	case p.Source == "exact mean":
		return exact
	}
	return exact + "; not counted"
}

// trust says what the numbers rest on.
func (s *Sources) trust() []string {
	a := s.Findings.Window.Agreement
	var all []string
	switch {
	case a.Cases == 0 && s.Findings.Runs.Total == 0:
		all = append(all, "The odds are exact for the model: they follow from one run without strays and need no dice. "+
			"No runs were counted beside them.")
	case a.Cases == 0:
		all = append(all, "Exact and counted odds could not be compared.")
	case a.Disagree():
		all = append(all, fmt.Sprintf("Exact odds and counted runs of %s disagree (p = %.2g): do not rely on either "+
			"before the cause is found.", plural(a.Cases, "case"), float64(a.PValue)))
	default:
		all = append(all, fmt.Sprintf("Exact odds and counted runs, computed in two ways, agree over %s (p = %.2g; below "+
			"0.001 would be a disagreement).", plural(a.Cases, "case"), float64(a.PValue)))
	}
	off := "A furnace of yours may start strays a few kelvin earlier or later."
	if s.strayless() {
		off = ""
		all = append(all, "No case of this study can have a stray, since it sets no nucleation: the odds say only "+
			"whether the seeded grains fill the body.")
	}
	begin := "So make two or three runs of your own"
	if slices.ContainsFunc(s.Findings.Window.Slices, func(sl window.Slice) bool { return len(sl.Safe) > 0 }) {
		begin = "So begin well inside the range, make two or three runs of your own"
	}
	rests := append(append([]string{"The odds are those of the model and of the laws of the study."}, s.Laws...), off)
	return append(all, strings.TrimSpace(strings.Join(rests, " ")),
		begin+", and put what you find into the study: from temperature and hours at the body, width of the grain and "+
			"strays, onegrain fit makes both laws, and onegrain advise then a programme.")
}

// strayless tells whether no case can have a stray.
func (s *Sources) strayless() bool {
	points := s.points()
	return len(points) > 0 && !slices.ContainsFunc(points, func(p window.Point) bool { return p.Strays != 0 })
}
