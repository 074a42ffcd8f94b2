package window

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"onegrain/analysis/tally"
)

// Laws is what all laws that a logbook allows make of a case. What is not known is NaN.
type Laws struct {
	Chance    real   `json:"single_grain_chance"`       // of one grain, full in time: the mean
	Low       real   `json:"single_grain_chance_low"`   // 90 of 100 laws lie between
	High      real   `json:"single_grain_chance_high"`  //
	Worse     real   `json:"single_grain_chance_worse"` // mean of the worse family of strays
	Family    string `json:"worse_family,omitempty"`    // which that is: barrier or sites
	Share     real   `json:"family_share"`              // of the variance, that is between families
	FullLowH  real   `json:"time_to_full_h_low"`        // 90 of 100 laws lie between
	FullHighH real   `json:"time_to_full_h_high"`       //
	Count     int    `json:"laws"`                      // that were looked at
	By        string `json:"laws_by,omitempty"`         // "table", or why each took a run
}

// enoughLaws make a mean certain enough to compare counts with.
const enoughLaws = 200

// believe takes the chance over laws for that of the point.
func (l Laws) believe(p *Point) {
	p.Laws, p.Source, p.Chance = &l, fromLaws, l.Chance
	p.Interval = tally.Interval{Low: l.Chance, High: l.Chance}
}

// numbers of which an average is taken.
func (l *Laws) numbers() []*tally.Real {
	return []*tally.Real{&l.Chance, &l.Low, &l.High, &l.Worse, &l.Share, &l.FullLowH, &l.FullHighH}
}

// Strays says in words how the strays of the worse family come; empty where one family has nearly
// all laws.
func (l *Laws) Strays() string {
	return map[string]string{"sites": "at sites", "barrier": "as a rate"}[l.Family]
}

const (
	shareNote = "of the variance of the chance over laws, %s is whether strays come as a rate or at sites"
	runsNote  = "%s: no table of what is liquid, so %d laws stand for all, each by a full run"
)

// LawNotes say of chances over laws what makes them uncertain, and how they were worked out.
func LawNotes(points []Point) (all []string) {
	var shares []float64
	by := map[string]int{}
	for _, p := range points {
		if p.Laws == nil {
			continue
		}
		if p.Laws.Share.Known() {
			shares = append(shares, 100*float64(p.Laws.Share))
		}
		by[p.Laws.By] = p.Laws.Count
	}
	if n := len(shares); n > 0 {
		text := fmt.Sprintf("%.0f %%", shares[0])
		if low, high := slices.Min(shares), slices.Max(shares); n == 2 && len(points) == 2 {
			text = fmt.Sprintf("%.0f %% in the first row and %.0f %% in the second", shares[0], shares[1])
		} else if math.Round(low) < math.Round(high) {
			text = fmt.Sprintf("%.0f to %.0f %%", low, high)
		}
		all = append(all, fmt.Sprintf(shareNote, text))
	}
	for _, why := range slices.Sorted(maps.Keys(by)) {
		if why != "table" {
			all = append(all, fmt.Sprintf(runsNote, why, by[why]))
		}
	}
	return all
}
