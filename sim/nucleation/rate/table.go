package rate

import (
	"slices"
	"sort"

	"onegrain/sim/number"
)

// Table is a measured rate: linear between its points, zero below the first and constant beyond the
// last, as a slope is no evidence for what lies outside. Made by NewTable; the zero value never
// nucleates.
type Table struct{ at, rate []float64 } // K, per unit and hour

// NewTable makes a law from points in order of undercooling (K, ≥ 0) with their rates (per mm³ or
// mm², and hour). An error names the point that is out of order, negative or not finite.
func NewTable(undercoolingK, ratePerUnitH []float64) (Table, error) {
	if err := number.CheckRates("nucleation table", undercoolingK, ratePerUnitH); err != nil {
		return Table{}, err
	}
	return Table{slices.Clone(undercoolingK), slices.Clone(ratePerUnitH)}, nil
}

// Expected is exact: the area under the rates.
func (t Table) Expected(fromK, toK, hours, _ float64) float64 {
	switch {
	case len(t.at) == 0 || hours <= 0 || fromK == toK && fromK <= 0:
		return 0
	case fromK == toK:
		return float64(hours * t.value(fromK))
	}
	low, high, hours, ok := undercooled(fromK, toK, hours, t.at[0])
	if !ok {
		return 0
	}
	return float64(hours * (number.Area(t.value, t.at, low, high) / (high - low)))
}

// Intensity is the rate itself, whatever the slope.
func (t Table) Intensity(undercoolingK, _ float64) float64 {
	if len(t.at) == 0 || !(undercoolingK > 0) {
		return 0
	}
	return t.value(undercoolingK)
}

// value is the rate at an undercooling.
func (t Table) value(u float64) float64 {
	i := sort.SearchFloat64s(t.at, u) // first point at or above u
	switch {
	case i == len(t.at):
		return t.rate[i-1]
	case t.at[i] == u:
		return t.rate[i]
	case i == 0:
		return 0
	}
	f := (u - t.at[i-1]) / (t.at[i] - t.at[i-1])
	return t.rate[i-1] + float64(f*(t.rate[i]-t.rate[i-1]))
}
