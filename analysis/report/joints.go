package report

import (
	"fmt"
	"slices"
	"strings"

	"onegrain/analysis/joints"
)

// joints are domains and boundaries.
func (s *Sources) joints() (out []Block) {
	f, b := s.Findings, s.Findings.Boundaries
	var warnings []string
	if f.Scatter != nil {
		warnings = f.Scatter.Warnings
		out = append(s.placing(), Block{Text: fmt.Sprintf("Seeded grains that touch within %.4g° join into one domain; "+
			"a boundary within that angle is called low-angle.", f.JoinDeg)})
		out = append(out, s.figures("joints")...)
		if len(f.Scatter.Cases) > 0 {
			out = append(out, Block{Table: s.placings(f.Scatter.Cases)})
		}
	}
	if !slices.ContainsFunc(b.Kinds, func(k joints.Kind) bool { return k.Count > 0 }) {
		return out
	}
	out = append(out, Block{Heading: "All boundaries of all runs" + s.alike()})
	out = append(out, s.say("kinds")...)
	if len(b.Watched) > 0 {
		run := "one run"
		if best := f.Best; best != nil && best.Replicate > 0 {
			run = fmt.Sprintf("replicate %d of the best case", best.Replicate)
		}
		out = append(out, fold("The boundaries of "+run, s.say("watched")...))
	}
	return append(out, caution(slices.Concat(warnings, b.Warnings)...)...)
}

// placing says what the scatter of the seeds does: in the best case, then in all.
func (s *Sources) placing() []Block {
	f := s.Findings
	for _, p := range f.Scatter.Cases {
		if f.Best != nil && len(f.Scatter.Cases) > 1 && p.Case >= 0 && p.Case < len(f.PerCase) &&
			f.PerCase[p.Case].ID == f.Best.ID {
			if p.Runs == 1 {
				return []Block{{Lead: alone(p)}}
			}
			return []Block{{Lead: "In the best case: " + lower(p.Sentence)},
				{Text: "Over all cases" + s.alike() + " together: " + f.Scatter.Sentence}}
		}
	}
	if with := s.alike(); with != "" {
		return []Block{{Lead: "Of the cases" + with + ": " + lower(f.Scatter.Sentence)}}
	}
	return []Block{{Lead: f.Scatter.Sentence}}
}

// alike names what the cases have in common that sums are over: seeds that are placed differently
// are never summed.
func (s *Sources) alike() string {
	if len(s.Findings.Alike) == 0 {
		return ""
	}
	return " with " + s.settings(s.Findings.Alike)
}

// alone says what a single run shows.
func alone(p joints.Placing) string {
	if !p.WorstDeg.Median.Known() {
		return "In the run of the best case no two seeded grains meet."
	}
	return fmt.Sprintf("In the run of the best case the worst boundary between seeded grains has %s°, and the largest "+
		"domain holds %s of the solid body.",
		fixed(p.WorstDeg.Median, 1), hundredths(p.Largest.Median))
}

// lower begins a sentence that goes on after a colon.
func lower(text string) string {
	if text == "" {
		return ""
	}
	return strings.ToLower(text[:1]) + text[1:]
}

// placings is a row for each case.
func (s *Sources) placings(cases []joints.Placing) *Table {
	f := s.Findings
	t := tableOf("Runs with two seeded grains or more, case by case. Of the worst boundary and the largest domain of " +
		"each " +
		"run: the median, and what one run in ten exceeds or falls short of.").axes(f.Axes)
	t.numbers("Runs", "All joined", "95 % interval", "Worst boundary, °", "One in ten above, °", "Largest domain",
		"One in ten below", "Current of the worst")
	ordered := slices.Clone(cases)
	slices.SortStableFunc(ordered, func(a, b joints.Placing) int { return a.Case - b.Case })
	for _, p := range ordered {
		row := slices.Repeat([]string{unknown}, len(f.Axes))
		if p.Case >= 0 && p.Case < len(f.PerCase) {
			for i, one := range f.PerCase[p.Case].Settings {
				row[i] = powers(strings.TrimSpace(strings.TrimSuffix(one.Value, f.Axes[i].Unit)))
			}
		}
		t.row(append(row, fmt.Sprint(p.Runs), fmt.Sprintf("%d of %d", p.Joined, p.Runs-p.Untouching), shares(p.JoinShare),
			fixed(p.WorstDeg.Median, 1), fixed(p.WorstDeg.P90, 1), hundredths(p.Largest.Median),
			hundredths(p.Largest.P10), hundredths(p.Current.Median))...)
	}
	return t
}

// mostContacts are listed on a page.
const mostContacts = 40
