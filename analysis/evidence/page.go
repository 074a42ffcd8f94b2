package evidence

import (
	"encoding/json"
	"io"
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
	Items        []Told `json:"items"`
}

// Told is an item with its findings.
type Told struct {
	Number      int       `json:"number"`
	Name        string    `json:"name"`
	Source      string    `json:"source"`
	Settles     string    `json:"settles"`
	Cannot      string    `json:"cannot"`
	Differences []string  `json:"differences,omitempty"`
	Findings    []Finding `json:"findings"`
	Error       string    `json:"error,omitempty"` // why the item broke off
}

// newPage counts.
func newPage(items []Told, model string, s Size) Page {
	p := Page{ModelVersion: model, Size: Of(s, "full", "short"), Items: items}
	slices.SortStableFunc(p.Items, func(a, b Told) int { return a.Number - b.Number })
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

// Failed counts the findings that differ or are blind, and one more for an item that broke off or found nothing.
func (t Told) Failed() int {
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
func (t Told) Worst() float64 {
	worst := 0.0
	for _, f := range t.Findings {
		if !f.Reported {
			worst = math.Max(worst, f.Used())
		}
	}
	return worst
}

// JSON writes the page as data.
func (p Page) JSON(w io.Writer) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	return e.Encode(p)
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
