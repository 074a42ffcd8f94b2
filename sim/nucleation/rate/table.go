package rate

import (
	"fmt"
	"math"
	"sort"
)

// Table is a measured rate: linear between its points, zero below the first and constant beyond the last, as a slope is no
// evidence for what lies outside. Made by NewTable; the zero value never nucleates.
type Table struct{ at, rate []float64 } // K, per unit and hour

// NewTable makes a law from points in order of undercooling (K, ≥ 0) with their rates (per mm³ or mm², and hour). An error names the point
// that is out of order, negative or not finite.
func NewTable(undercoolingK, ratePerUnitH []float64) (Table, error) {
	if len(undercoolingK) != len(ratePerUnitH) {
		return Table{}, fmt.Errorf("nucleation table: %d undercoolings but %d rates; give one rate for each undercooling", len(undercoolingK), len(ratePerUnitH))
	}
	if len(undercoolingK) == 0 {
		return Table{}, fmt.Errorf("nucleation table: no points; give at least one undercooling with its rate")
	}
	for i, u := range undercoolingK {
		switch r := ratePerUnitH[i]; {
		case !(u >= 0 && u <= math.MaxFloat64):
			return Table{}, fmt.Errorf("nucleation table: point %d: undercooling %v K must be a finite number, 0 or more", i+1, u)
		case !(r >= 0 && r <= math.MaxFloat64):
			return Table{}, fmt.Errorf("nucleation table: point %d: rate %v at %v K must be a finite number, 0 or more", i+1, r, u)
		case i > 0 && u <= undercoolingK[i-1]:
			return Table{}, fmt.Errorf("nucleation table: point %d: undercooling %v K does not exceed the one before (%v K); sort the points", i+1, u, undercoolingK[i-1])
		}
	}
	return Table{append([]float64(nil), undercoolingK...), append([]float64(nil), ratePerUnitH...)}, nil
}

// Expected is exact: piece by piece half the sum of the rates at its ends times its span.
func (t Table) Expected(fromK, toK, hours, _ float64) float64 {
	if len(t.at) == 0 || hours <= 0 {
		return 0
	}
	if fromK == toK {
		if fromK <= 0 {
			return 0
		}
		return float64(hours * t.value(fromK))
	}
	low, high, hours, ok := undercooled(fromK, toK, hours, t.at[0])
	if !ok {
		return 0
	}
	total, u, r := 0.0, low, t.value(low)
	for i := sort.SearchFloat64s(t.at, math.Nextafter(low, math.Inf(1))); u < high; i++ {
		next := high
		if i < len(t.at) {
			next = math.Min(high, t.at[i])
		}
		rn := t.value(next)
		total += float64(float64(0.5*(r+rn)) * (next - u))
		u, r = next, rn
	}
	return float64(hours * (total / (high - low)))
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
