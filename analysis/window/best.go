package window

import (
	"math"
	"slices"
)

// Rule is the rule for the best case in words.
const Rule = "first the wanted chance, or the highest where none reaches it; " +
	"then the largest clear piece, within one cell; then the fewest hours until solid"

// Best is the one rule for the best of several points. It keeps those that reach the wanted chance,
// or where none does those with the highest; of these the ones whose clear piece is within one cell
// of the largest; of these the one that is solid first, and of equal ones the first in order. A
// piece or an hour that is not known comes behind all that are. −1 where no chance is known, or
// where the best could be neither a single grain nor a piece.
func Best(points []Point, wanted float64) int {
	var left []int
	most := math.Inf(-1)
	for i, p := range points {
		if p.Chance.Known() {
			left, most = append(left, i), max(most, float64(p.Chance))
		}
	}
	left = slices.DeleteFunc(left, func(i int) bool { return float64(points[i].Chance) < min(wanted, most) })
	widest := Point{DiameterMM: -1}
	for _, i := range left {
		if points[i].DiameterMM > widest.DiameterMM { // false where one is not known
			widest = points[i]
		}
	}
	best, least := -1, math.Inf(1)
	for _, i := range left {
		p := &points[i]
		cell := max(p.cell, widest.cell) * (1 + 1e-9) // pieces are sums of cells, right to rounding
		if widest.DiameterMM >= 0 && !(float64(p.DiameterMM)+cell >= float64(widest.DiameterMM)) {
			continue
		}
		h := float64(p.FullH)
		if best < 0 || h < least || math.IsNaN(least) && !math.IsNaN(h) {
			best, least = i, h
		}
	}
	if best >= 0 && points[best].Chance == 0 && !(points[best].DiameterMM > 0) {
		return -1
	}
	return best
}

// Shortfall says in a sentence what the best case lacks of the wanted chance; empty where it lacks
// nothing.
func (p Point) Shortfall(wanted float64) string {
	what := "case"
	if p.Over > 0 {
		what = "setting"
	}
	v := &view{wanted: wanted}
	return v.say("lacks", values{"Point": p, "Chance": p.Chance, "Wanted": real(wanted), "What": what})
}

// shown is the chance of a point in as many digits as it has.
func (p Point) shown() string {
	if p.Source == fromExact || p.Source == fromLaws {
		return percent(float64(p.Chance))
	}
	return rough(float64(p.Chance))
}
