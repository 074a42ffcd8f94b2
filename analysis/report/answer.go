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
	text := "Of the cases that reach the wanted chance for sure, the best one (largest clear piece, then the earliest to be solid) has "
	if !f.Best.DiameterMM.Known() {
		text = "Of the cases that reach the wanted chance for sure, the earliest to be solid has "
	}
	if !f.Best.Reaches {
		text = fmt.Sprintf("No case reaches the wanted %s for sure. The one with the largest clear piece has ", chance(f.Window.Wanted))
	}
	if name := s.settings(f.Best.Settings); name != "" {
		text += name + "."
		if p := s.point(f.Best.ID); p != nil && s.narrow(*p) {
			text += " It lies outside of the range named above, so it has less to spare: a case beside it may miss the wanted chance." + s.inside()
		}
		switch f.Design {
		case "latin", "sobol", "saltelli":
			text += " In a study that samples its inputs a case may owe its place to some that no furnace sets, such as a constant of growth or nucleation."
		}
		return text
	}
	return "One case was computed."
}

// narrow tells whether a case lies outside of every range that the sentence of its slice may name, while there is one.
func (s *Sources) narrow(p window.Point) bool {
	some := false
	for _, sl := range s.Findings.Window.Slices {
		for _, b := range sl.Safe {
			some = true
			if within(b.X, p.X) && (b.Y == nil || within(*b.Y, p.Y)) && slices.ContainsFunc(sl.Points, func(q window.Point) bool { return q.ID == p.ID }) {
				return false
			}
		}
	}
	return some
}

// inside names the earliest case of the ranges.
func (s *Sources) inside() string {
	var first *window.Point
	where := ""
	for _, sl := range s.Findings.Window.Slices {
		for i, p := range sl.Points {
			if p.FullH.Known() && !s.narrow(p) && p.Verdict == "yes" && (first == nil || p.FullH < first.FullH) {
				first, where = &sl.Points[i], s.settings(s.placed(sl, p))
			}
		}
	}
	if first == nil || where == "" {
		return ""
	}
	return fmt.Sprintf(" Inside the range the earliest is %s: solid after %s h, with a chance of %s.", where, hours(first.FullH), chance(real(first.Chance)))
}

func within(r window.Range, x tally.Real) bool { return real(x) >= r.From && real(x) <= r.To }

// facts of the best case.
func (s *Sources) facts() (all []Fact) {
	b := s.Findings.Best
	p := s.point(b.ID)
	for _, one := range b.Settings {
		all = append(all, Fact{sentenceCase(s.label(one.Axis)), powers(one.Value)})
	}
	if p == nil {
		return append(all, Fact{"Chance of a single grain", chance(real(b.Chance))}, Fact{"Clear piece", fixed(real(b.DiameterMM), 1) + " mm across"}, Fact{"Programme", hours(b.ProgrammeH) + " h"})
	}
	all = append(all, Fact{"Chance of a single grain", odds(*p)})
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
		return "0 %: the seeded grains do not become one domain that fills the body, strays or not"
	case !p.Exact.Known():
		return "counted " + counted
	case p.Source == "exact mean":
		text := fmt.Sprintf("%s by the exact odds, mean over %s of the seeds (95 %% interval %s)", rough(real(p.Exact)), plural(p.Placings, "placing"), shares(p.Interval))
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
	if s.strayless() {
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
		"The odds are those of the model. Its nucleation law is calibrated to published experience rather than measured, and its growth law comes from few publications: a furnace of yours may start strays a few kelvin earlier or later.",
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
