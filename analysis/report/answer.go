package report

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"onegrain/analysis/tally"
	"onegrain/analysis/window"
)

// sentence begins with a capital and ends with a full stop.
func sentence(text string) string {
	r, n := utf8.DecodeRuneInString(text)
	if n == 0 {
		return ""
	}
	text = string(unicode.ToUpper(r)) + text[n:]
	if !strings.HasSuffix(text, ".") && !strings.HasSuffix(text, "!") && !strings.HasSuffix(text, "?") {
		text += "."
	}
	return text
}

// answer is the section that is read when no other is.
func (s *Sources) answer() Section {
	f := s.Findings
	out := Section{ID: "answer", Title: "The answer", Blocks: []Block{{Lead: f.Window.Sentence}}}
	if f.Best == nil {
		text := "No case leaves a piece that could be cut out as one grain."
		if f.Runs.Total == 0 {
			text = "No run was counted, so the size of the piece is not known."
		}
		out.Blocks = append(out.Blocks, Block{Text: text})
	} else {
		out.Blocks = append(out.Blocks, Block{Text: s.recommended()}, Block{Facts: s.facts()})
	}
	if sl := f.Window.Slices; len(sl) > 1 {
		var each []string
		for _, one := range sl {
			each = append(each, one.Sentence)
		}
		out.Blocks = append(out.Blocks, Block{Fold: &Fold{Summary: fmt.Sprintf("The same for each of %d settings", len(sl)), Blocks: []Block{{List: each}}}})
	}
	out.Blocks = append(out.Blocks, Block{Heading: "How far to trust this"}, Block{List: s.trust()})
	out.Blocks = append(out.Blocks, caution(s.warnings())...)
	return out
}

// recommended names the best case.
func (s *Sources) recommended() string {
	f := s.Findings
	name := s.settings(f.Best.Settings)
	if name == "" {
		if len(f.Window.Averaged) > 0 {
			return "Nothing is chosen here: all that was varied is not known."
		}
		return "One case was computed."
	}
	what := "The best case"
	if len(f.Window.Averaged) > 0 {
		what = "The best setting by the means over what is not known"
	}
	text := fmt.Sprintf("%s has %s. The rule: %s.", what, name, window.Rule)
	if f.Best.Shortfall != "" {
		text += " " + f.Best.Shortfall
	}
	if s.narrow(*f.Window.Best) {
		text += " It lies outside of the range named above, so it has less to spare: a case beside it may miss the wanted chance."
	}
	return text
}

// narrow tells whether a case lies outside of every range that the sentence of its slice may name, while there is one.
func (s *Sources) narrow(p window.Point) bool {
	some := false
	for _, sl := range s.Findings.Window.Slices {
		i := slices.IndexFunc(sl.Points, func(q window.Point) bool { return q.ID == p.ID })
		for _, b := range sl.Safe {
			some = true
			if i >= 0 && within(b.X, sl.Points[i].X) && (b.Y == nil || within(*b.Y, sl.Points[i].Y)) {
				return false
			}
		}
	}
	return some
}

func within(r window.Range, x tally.Real) bool { return real(x) >= r.From && real(x) <= r.To }

// facts of the best case.
func (s *Sources) facts() (all []Fact) {
	p := s.Findings.Window.Best
	for _, one := range s.Findings.Best.Settings {
		all = append(all, Fact{sentenceCase(s.label(one.Axis)), powers(one.Value)})
	}
	all = append(all, Fact{"Chance of a single grain", odds(*p)})
	if p.Over > 0 {
		all = append(all, Fact{"Over what is not known", fmt.Sprintf("every number is a mean over %s of %s; %d of them reach %s", plural(p.Over, "point"),
			strings.Join(s.Findings.Window.Averaged, ", "), p.Reach, chance(s.Findings.Window.Wanted))})
	}
	if p.Strays.Known() {
		all = append(all, Fact{"Stray grains to expect", strays(real(p.Strays)) + " a run"})
	}
	if p.DiameterMM.Known() {
		text := fixed(real(p.DiameterMM), 1) + " mm across (median)"
		switch {
		case p.Runs == 1:
			text = fixed(real(p.DiameterMM), 1) + " mm across, in the one run"
		case !p.P10.Known() || !p.P90.Known():
		case fixed(real(p.P10), 1) == fixed(real(p.P90), 1):
			text += ", the same in nearly all runs"
		default:
			text += fmt.Sprintf("; eight runs of ten: %s mm", span(real(p.P10), real(p.P90), 1))
		}
		all = append(all, Fact{"Clear piece", text})
	} else {
		all = append(all, Fact{"Clear piece", "not known: only the odds were computed"})
	}
	return append(all, s.costs(*p)...)
}

func sentenceCase(text string) string { return strings.TrimSuffix(sentence(text), ".") }

// odds of a case: exact beside counted.
func odds(p window.Point) string {
	counted := ""
	if p.Runs > 0 {
		counted = fmt.Sprintf("%d of %s (95 %% interval %s)", p.Hits, plural(p.Runs, "run"), shares(p.Counted))
	}
	switch {
	case p.Verdict == "never":
		return "0 %, strays or not: " + p.Reason()
	case !p.Exact.Known():
		return "counted " + counted
	case p.Source == "exact mean":
		over := plural(p.Placings, "placing") + " of the seeds"
		if p.Over > 0 {
			over = "what is not known"
		}
		text := fmt.Sprintf("%s by the exact odds, mean over %s (95 %% interval %s)", rough(real(p.Exact)), over, shares(p.Interval))
		if counted != "" {
			text += "; counted " + counted
		}
		return text
	case counted == "":
		return chance(real(p.Exact)) + " by the exact odds; not counted"
	}
	return chance(real(p.Exact)) + " by the exact odds; counted " + counted
}

// costs are the hours of a case.
func (s *Sources) costs(p window.Point) (all []Fact) {
	if p.FullH.Known() {
		all = append(all, Fact{"Solid after", hours(p.FullH) + " h from the start, heating included"})
	}
	if !p.ProgrammeH.Known() {
		return all
	}
	text := hours(p.ProgrammeH) + " h"
	if p.FullH.Known() && p.FullH < 0.9*p.ProgrammeH {
		text += fmt.Sprintf("; its last %s h find nothing liquid any more and may be cut short, with a reserve", fixed(real(p.ProgrammeH-p.FullH), 0))
	}
	return append(all, Fact{"Programme as written", text})
}

// trust says what the numbers rest on.
func (s *Sources) trust() []string {
	a := s.Findings.Window.Agreement
	var all []string
	switch {
	case a.Cases == 0 && s.Findings.Runs.Total == 0:
		all = append(all, "The odds are exact for the model: they follow from one run without strays and need no dice. No runs were counted beside them.")
	case a.Cases == 0:
		all = append(all, "Exact and counted odds could not be compared.")
	case a.Disagree():
		all = append(all, fmt.Sprintf("Exact odds and counted runs of %s disagree (p = %.2g): do not rely on either before the cause is found.", plural(a.Cases, "case"), float64(a.PValue)))
	default:
		all = append(all, fmt.Sprintf("Exact odds and counted runs, computed in two ways, agree over %s (p = %.2g; below 0.001 would be a disagreement).", plural(a.Cases, "case"), float64(a.PValue)))
	}
	off := "A furnace of yours may start strays a few kelvin earlier or later."
	if s.strayless() {
		off = ""
		all = append(all, "No case of this study can have a stray, since it sets no nucleation: the odds say only whether the seeded grains fill the body.")
	}
	begin := "So make two or three runs of your own"
	for _, sl := range s.Findings.Window.Slices {
		if len(sl.Safe) > 0 {
			begin = "So begin well inside the range, make two or three runs of your own"
			break
		}
	}
	return append(all,
		"The odds are those of the model and of the laws of the study. "+strings.TrimSpace(strings.Join(append(slices.Clone(s.Laws), off), " ")),
		begin+", and put what you find into the study: from temperature and hours at the body, width of the grain and strays, onegrain fit makes both laws, and onegrain advise then a programme.")
}

// strayless tells whether no case can have a stray.
func (s *Sources) strayless() bool {
	points := s.points()
	for _, p := range points {
		if p.Strays != 0 {
			return false
		}
	}
	return len(points) > 0
}

// warnings of the study, the window and its slices.
func (s *Sources) warnings() []string {
	f := s.Findings
	all := append(append([]string{}, f.Warnings...), f.Window.Warnings...)
	for _, sl := range f.Window.Slices {
		all = append(all, sl.Warnings...)
	}
	return all
}
