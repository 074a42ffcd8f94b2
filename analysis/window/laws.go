package window

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"onegrain/analysis/tally"
)

// enoughLaws make a mean certain enough to compare counts with.
const enoughLaws = 200

// overLaws takes the chance over laws for that of the point.
func (p *Point) overLaws(l tally.Laws) {
	p.Laws, p.Source, p.Chance = &l, fromLaws, l.Chance
	p.Interval = tally.Interval{Low: l.Chance, High: l.Chance}
}

const (
	shareNote = "of the variance of the chance over laws, %s is whether strays come as a rate or at sites"
	runsNote  = "%s: no table of what is liquid, so %d laws stand for all, each by a full run"
)

// LawNotes say of chances over laws what makes them uncertain, and how they were worked out.
func (s Study) LawNotes(points []Point) (all []string) {
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
