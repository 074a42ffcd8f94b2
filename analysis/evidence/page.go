package evidence

import (
	"math"
	"slices"
	"strconv"
)

// Page is what came of a battery, ready to be written.
type Page struct {
	ModelVersion string `json:"model_version"` // of the physics
	Size         string `json:"size"`          // full or short
	Findings     int    `json:"findings"`
	Agree        int    `json:"agree"`
	Reported     int    `json:"reported"` // without a verdict
	Failed       int    `json:"failed"`   // findings that differ or are blind, and items that broke off
	Refused      int    `json:"canaries_refused"`
	Items        []Item `json:"items"`
}

// Item is an item of the battery with its findings.
type Item struct {
	Number      int       `json:"number"`
	Name        string    `json:"name"`                  // a few words
	Source      string    `json:"source"`                // author and year, the derivation in words, or "common practice"
	Settles     string    `json:"settles"`               // what agreement here settles
	Cannot      string    `json:"cannot"`                // what it cannot
	Differences []string  `json:"differences,omitempty"` // between program and reference, and which was wrong
	Findings    []Finding `json:"findings"`
	Error       string    `json:"error,omitempty"` // why the item broke off
}

// NewPage puts judged items in order and counts what came of them; model is the version of the
// physics, size full or short.
func NewPage(items []Item, model, size string) Page {
	p := Page{ModelVersion: model, Size: size, Items: items}
	slices.SortStableFunc(p.Items, func(a, b Item) int { return a.Number - b.Number })
	for _, t := range p.Items {
		p.Findings += len(t.Findings)
		p.Failed += t.Failed()
		for _, f := range t.Findings {
			switch {
			case f.Verdict == agrees:
				p.Agree++
			case f.Verdict == reported:
				p.Reported++
			}
			if f.Canary.Wrong != "" && !f.Canary.Agrees() {
				p.Refused++
			}
		}
	}
	return p
}

// Failed counts the findings that differ or are blind, and one more for an item that broke off or
// found nothing.
func (t Item) Failed() int {
	n := 0
	for _, f := range t.Findings {
		if f.Failed() {
			n++
		}
	}
	if t.Error != "" || len(t.Findings) == 0 {
		n++
	}
	return n
}

// Worst is the largest share of a tolerance taken up in the item.
func (t Item) Worst() float64 {
	worst := 0.0
	for _, f := range t.Findings {
		if !f.Reported {
			worst = math.Max(worst, f.Used())
		}
	}
	return worst
}

// number in a table: six digits.
func number(x float64) string {
	if a := math.Abs(x); a != 0 && (a < 1e-3 || a >= 1e7) {
		return strconv.FormatFloat(x, 'e', 3, 64)
	}
	return strconv.FormatFloat(x, 'g', 6, 64)
}

// share of a tolerance.
func share(x float64) string {
	switch {
	case x > 0 && x < 0.01:
		return "<0.01"
	case x >= 100:
		return ">100"
	}
	return strconv.FormatFloat(x, 'f', 2, 64)
}
