package report

import (
	"fmt"
	"strings"

	"onegrain/analysis/evidence"
)

// evidence is how the program fares against results found elsewhere.
func (s *Sources) evidence() Section {
	out := Section{ID: "evidence", Title: "How the program was tried"}
	e := s.Evidence
	if e == nil {
		return out
	}
	out.Blocks = []Block{{Text: fmt.Sprintf("%d findings compare answers of the program with laws and published values found outside of it: %d agree, %d fail, %d are reported without a verdict. "+
		"Each comparison was also made with a constant that is wrong on purpose; %d of these were refused, as they must be. Model version %s.", e.Findings, e.Agree, e.Failed, e.Reported, e.Refused, e.ModelVersion)}}
	if e.ModelVersion != s.Model {
		out.Blocks = append(out.Blocks, Block{Caution: []string{"This evidence is of another version of the model than the program that makes this page, which has version " + s.Model + "."}})
	}
	t := &Table{Caption: "Items of the evidence. Used: the largest difference as a share of its tolerance.", Marked: -1, Head: []string{"Item", "Findings", "Verdict", "Used"}, Numbers: []bool{false, true, false, true}}
	var each []Block
	for _, i := range e.Items {
		t.Rows = append(t.Rows, []string{fmt.Sprintf("%d. %s", i.Number, i.Name), fmt.Sprint(len(i.Findings)), itemVerdict(i), fixed(i.Worst(), 2)})
		each = append(each, Block{Heading: fmt.Sprintf("%d. %s", i.Number, i.Name)}, Block{Text: "Agreement settles " + ended(i.Settles)}, Block{Text: "It cannot settle " + ended(i.Cannot)}, Block{Text: "Compared with: " + ended(i.Source)})
	}
	return with(out, Block{Table: t}, Block{Fold: &Fold{Summary: "What each item settles, what it cannot, and what it is compared with", Blocks: each}}, Block{Fold: &Fold{Summary: "Every finding", Screen: true, Blocks: []Block{{Table: findings(e)}}}})
}

// ended ends a sentence that has begun already.
func ended(text string) string { return strings.TrimSuffix(text, ".") + "." }

// with adds blocks to a section.
func with(s Section, more ...Block) Section {
	s.Blocks = append(s.Blocks, more...)
	return s
}

func itemVerdict(i evidence.Told) string {
	if i.Failed() > 0 {
		return "fails"
	}
	return "agrees"
}

func findings(e *evidence.Page) *Table {
	t := &Table{Marked: -1, Head: []string{"Item", "Quantity", "Where", "Expected", "Found", "Tolerance", "Verdict", "Source"}, Numbers: []bool{true, false, false, true, true, true, false, false}}
	for _, i := range e.Items {
		for _, f := range i.Findings {
			tolerance := fmt.Sprintf("%.3g", f.Tolerance)
			if f.Reported {
				tolerance = unknown
			}
			name := f.Quantity
			if f.Unit != "" {
				name += " (" + f.Unit + ")"
			}
			t.Rows = append(t.Rows, []string{fmt.Sprint(i.Number), name, f.Where, fmt.Sprintf("%.5g", f.Expected), fmt.Sprintf("%.5g", f.Found), tolerance, f.Verdict, f.Source})
		}
	}
	return t
}
