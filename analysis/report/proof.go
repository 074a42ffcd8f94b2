package report

import (
	"fmt"
	"strings"

	"onegrain/analysis/evidence"
)

// Evidence is the page that the program carries; the error is a fault of how it was built.
func Evidence() (*evidence.Page, error) {
	p, err := evidence.Kept()
	return &p, err
}

// evidence is how the program fares against results found elsewhere.
func (s *Sources) evidence() []Block {
	e := s.Evidence
	if e == nil {
		return nil
	}
	out := s.say("evidence")
	t := tableOf("Items of the evidence. Used: the largest difference as a share of its tolerance.").
		words("Item").numbers("Findings").words("Verdict").numbers("Used")
	every := tableOf("").numbers("Item").words("Quantity", "Where").numbers("Expected", "Found", "Tolerance").
		words("Verdict", "Source")
	var each []Block
	for _, i := range e.Items {
		name := fmt.Sprintf("%d. %s", i.Number, i.Name)
		t.row(name, fmt.Sprint(len(i.Findings)), map[bool]string{true: "fails", false: "agrees"}[i.Failed() > 0],
			fixed(i.Worst(), 2))
		each = append(each, Block{Heading: name}, Block{Text: "Agreement settles " + ended(i.Settles)},
			Block{Text: "It cannot settle " + ended(i.Cannot)}, Block{Text: "Compared with: " + ended(i.Source)})
		for _, f := range i.Findings {
			tolerance, name := fmt.Sprintf("%.3g", f.Tolerance), f.Quantity
			if f.Reported {
				tolerance = unknown
			}
			if f.Unit != "" {
				name += " (" + f.Unit + ")"
			}
			every.row(fmt.Sprint(i.Number), name, f.Where, fmt.Sprintf("%.5g", f.Expected), fmt.Sprintf("%.5g", f.Found),
				tolerance, f.Verdict, f.Source)
		}
	}
	all := fold("Every finding", Block{Table: every})
	all.Fold.Screen = true
	return append(out, Block{Table: t},
		fold("What each item settles, what it cannot, and what it is compared with", each...), all)
}

// ended ends a sentence that has begun already.
func ended(text string) string { return strings.TrimSuffix(text, ".") + "." }
