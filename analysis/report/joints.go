package report

import (
	"fmt"
	"slices"
	"strings"

	"onegrain/analysis/joints"
	"onegrain/analysis/tally"
)

// joints are domains and boundaries.
func (s *Sources) joints() Section {
	f := s.Findings
	out := Section{ID: "joints", Title: "Domains and boundaries"}
	if f.Scatter != nil {
		out.Blocks = append(out.Blocks, s.placing()...)
		out.Blocks = append(out.Blocks,
			Block{Text: fmt.Sprintf("Seeded grains that touch within %s° join into one domain; a boundary within that angle is called low-angle.", trimmed(f.JoinDeg))})
		out.Blocks = append(out.Blocks, s.figures("joints")...)
		if t := s.placings(f.Scatter); t != nil {
			out.Blocks = append(out.Blocks, Block{Table: t})
		}
	}
	b := f.Boundaries
	touching := 0
	for _, k := range b.Kinds {
		touching += k.Count
	}
	if touching == 0 {
		return out
	}
	out.Blocks = append(out.Blocks, Block{Heading: "All boundaries of all runs" + s.alike()}, Block{Text: b.Sentence}, Block{Table: kinds(b)},
		Block{Text: fmt.Sprintf("Current across a boundary, as a share of that within a grain: all of it up to %s°, e times less for each %s° more (%s). Both constants can be set under [magnet] in the study.", trimmed(b.ThresholdDeg), trimmed(b.DecayDeg), b.Source)})
	if len(b.Watched) > 0 {
		out.Blocks = append(out.Blocks, Block{Fold: &Fold{Summary: "The boundaries of " + s.watched(), Blocks: []Block{{Table: contacts(b.Watched)}}}})
	}
	warnings := b.Warnings
	if f.Scatter != nil {
		warnings = append(append([]string{}, f.Scatter.Warnings...), warnings...)
	}
	return Section{out.ID, out.Title, append(out.Blocks, caution(warnings)...)}
}

// placing says what the scatter of the seeds does: in the best case, then in all.
func (s *Sources) placing() []Block {
	f := s.Findings
	for _, p := range f.Scatter.Cases {
		if f.Best != nil && len(f.Scatter.Cases) > 1 && p.Case >= 0 && p.Case < len(f.PerCase) && f.PerCase[p.Case].ID == f.Best.ID {
			if p.Runs == 1 {
				return []Block{{Lead: alone(p)}}
			}
			return []Block{{Lead: "In the best case: " + lower(p.Sentence)}, {Text: "Over all cases" + s.alike() + " together: " + f.Scatter.Sentence}}
		}
	}
	if with := s.alike(); with != "" {
		return []Block{{Lead: "Of the cases" + with + ": " + lower(f.Scatter.Sentence)}}
	}
	return []Block{{Lead: f.Scatter.Sentence}}
}

// alike names what the cases have in common that sums are over: seeds that are placed differently are never summed.
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
	return fmt.Sprintf("In the run of the best case the worst boundary between seeded grains has %s°, and the largest domain holds %s of the solid body.",
		fixed(real(p.WorstDeg.Median), 1), hundredths(p.Largest.Median))
}

// lower begins a sentence that goes on after a colon.
func lower(text string) string {
	if text == "" {
		return ""
	}
	return strings.ToLower(text[:1]) + text[1:]
}

func trimmed(x float64) string { return fmt.Sprintf("%.4g", x) }

func (s *Sources) watched() string {
	if b := s.Findings.Best; b != nil && b.Replicate > 0 {
		return fmt.Sprintf("replicate %d of the best case", b.Replicate)
	}
	return "one run"
}

// placings is a row for each case.
func (s *Sources) placings(sc *joints.Scatter) *Table {
	if len(sc.Cases) == 0 {
		return nil
	}
	t := &Table{Caption: "Runs with two seeded grains or more, case by case. Of the worst boundary and the largest domain of each run: the median, and what one run in ten exceeds or falls short of.", Marked: -1}
	add := func(name string, number bool) { t.Head, t.Numbers = append(t.Head, name), append(t.Numbers, number) }
	for _, a := range s.Findings.Axes {
		add(headed(a), a.Levels == nil)
	}
	for _, name := range []string{"Runs", "All joined", "95 % interval", "Worst boundary, °", "One in ten above, °", "Largest domain", "One in ten below", "Current of the worst"} {
		add(name, true)
	}
	ordered := slices.Clone(sc.Cases)
	slices.SortStableFunc(ordered, func(a, b joints.Placing) int { return a.Case - b.Case })
	for _, p := range ordered {
		var row []string
		if p.Case >= 0 && p.Case < len(s.Findings.PerCase) {
			for i, one := range s.Findings.PerCase[p.Case].Settings {
				row = append(row, powers(trimUnit(one.Value, s.Findings.Axes[i].Unit)))
			}
		}
		for len(row) < len(s.Findings.Axes) {
			row = append(row, unknown)
		}
		t.Rows = append(t.Rows, append(row, fmt.Sprint(p.Runs), fmt.Sprintf("%d of %d", p.Joined, p.Runs-p.Untouching), shares(p.JoinShare),
			fixed(real(p.WorstDeg.Median), 1), fixed(real(p.WorstDeg.P90), 1), hundredths(p.Largest.Median), hundredths(p.Largest.P10), hundredths(p.Current.Median)))
	}
	return t
}

// kinds of boundaries.
func kinds(b joints.Boundaries) *Table {
	t := &Table{Caption: "Boundaries by what meets there.", Marked: -1, Head: []string{"Between", "Boundaries", "Area, mm²", "Low-angle, of the area", "Current that passes, mean over the area"},
		Numbers: []bool{false, true, true, true, true}}
	for _, k := range b.Kinds {
		low := tally.Unknown()
		if k.AreaMM2 > 0 {
			low = tally.Real(k.LowAreaMM2 / k.AreaMM2)
		}
		t.Rows = append(t.Rows, []string{between(k.Name), fmt.Sprint(k.Count), fixed(k.AreaMM2, 0), hundredths(low), hundredths(k.Passing)})
	}
	return t
}

func between(kind string) string {
	switch kind {
	case "seed-seed":
		return "seeded grains"
	case "seed-stray":
		return "seeded grain and stray"
	}
	return "strays"
}

// mostContacts are listed on a page.
const mostContacts = 40

func contacts(all []joints.Contact) *Table {
	t := &Table{Caption: "The largest area first. Grains are numbered from 1, seeded ones first.", Marked: -1,
		Head: []string{"Grains", "Between", "Area, mm²", "Disorientation, °", "Between c axes, °", "Low-angle", "Current that passes"}, Numbers: []bool{false, false, true, true, true, false, true}}
	for i, c := range all {
		if i == mostContacts {
			t.Caption += fmt.Sprintf(" %d more are in the table of boundaries.", len(all)-i)
			break
		}
		low := "no"
		if c.LowAngle {
			low = "yes"
		}
		t.Rows = append(t.Rows, []string{fmt.Sprintf("%d and %d", c.Grain1, c.Grain2), between(c.Kind), fixed(c.AreaMM2, 1), fixed(c.AngleDeg, 1), fixed(c.CAxisDeg, 1), low, hundredths(tally.Real(c.Passing))})
	}
	return t
}
