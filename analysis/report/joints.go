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
			out = append(out, s.say("placings")...)
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

// placings are the cases in their order.
func (s *Sources) placings() []joints.Placing {
	return slices.SortedStableFunc(slices.Values(s.Findings.Scatter.Cases),
		func(a, b joints.Placing) int { return a.Case - b.Case })
}

// values are those of the axes in a case.
func (s *Sources) values(at int) []string {
	axes := s.Findings.Axes
	row := slices.Repeat([]string{unknown}, len(axes))
	if at >= 0 && at < len(s.Findings.PerCase) {
		for i, one := range s.Findings.PerCase[at].Settings {
			row[i] = powers(strings.TrimSpace(strings.TrimSuffix(one.Value, axes[i].Unit)))
		}
	}
	return row
}

// mostContacts are listed on a page.
const mostContacts = 40
