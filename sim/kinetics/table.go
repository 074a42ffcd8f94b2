package kinetics

import (
	"fmt"
	"math"
	"sort"
)

// Table is a measured law: linear between its points, from (0 K, 0 mm/h), and constant beyond the last point, since the slope of
// the last piece is no evidence for what lies beyond. Made by NewTable; the zero value does not grow.
type Table struct {
	at, rate, integral []float64 // K, mm/h, mm K/h; the first point is 0, 0, 0
}

// NewTable makes a law from points in order of undercooling (K) with their rates (mm/h). The point (0, 0) is added where it is
// missing. An error names the point that is out of order, negative, not finite, or has growth at 0 K.
func NewTable(undercoolingK, rateMMPerH []float64) (Table, error) {
	if len(undercoolingK) != len(rateMMPerH) {
		return Table{}, fmt.Errorf("growth table: %d undercoolings but %d rates; give one rate for each undercooling", len(undercoolingK), len(rateMMPerH))
	}
	if len(undercoolingK) == 0 {
		return Table{}, fmt.Errorf("growth table: no points; give at least one undercooling above 0 K with its rate")
	}
	t := Table{[]float64{0}, []float64{0}, []float64{0}}
	for i, u := range undercoolingK {
		r := rateMMPerH[i]
		if u == 0 && r == 0 && i == 0 {
			continue
		}
		if err := t.add(u, r); err != nil {
			return Table{}, fmt.Errorf("growth table: point %d: %w", i+1, err)
		}
	}
	return t, nil
}

// add appends a point after the present last one.
func (t *Table) add(u, r float64) error {
	last := len(t.at) - 1
	switch {
	case u != u || r != r || math.Abs(u) > math.MaxFloat64 || math.Abs(r) > math.MaxFloat64:
		return fmt.Errorf("undercooling %v K, rate %v mm/h: must be finite numbers", u, r)
	case u == 0:
		return fmt.Errorf("rate %v mm/h at 0 K: nothing grows at 0 K; leave the point out", r)
	case u <= t.at[last]:
		return fmt.Errorf("undercooling %v K does not exceed the one before (%v K); sort the points", u, t.at[last])
	case r < 0:
		return fmt.Errorf("rate %v mm/h at %v K is negative; a grown face does not melt back below the peritectic", r, u)
	}
	area := float64(float64(0.5*(r+t.rate[last])) * (u - t.at[last]))
	t.at, t.rate, t.integral = append(t.at, u), append(t.rate, r), append(t.integral, t.integral[last]+area)
	return nil
}

// Rate is in mm/h at an undercooling in K.
func (t Table) Rate(undercoolingK float64) float64 {
	if !(undercoolingK > 0) || len(t.at) == 0 {
		return 0
	}
	i := t.piece(undercoolingK)
	return t.rate[i] + float64(t.slope(i)*(undercoolingK-t.at[i]))
}

// Integral is exact: half the sum of the rates at both ends of each piece times its span, in mm K/h.
func (t Table) Integral(undercoolingK float64) float64 {
	if !(undercoolingK > 0) || len(t.at) == 0 {
		return 0
	}
	i := t.piece(undercoolingK)
	return t.integral[i] + float64(float64(0.5*(t.rate[i]+t.Rate(undercoolingK)))*(undercoolingK-t.at[i]))
}

// mean sums the pieces between low and high, all positive: nothing cancels.
func (t Table) mean(low, high float64) float64 {
	total, u, r := 0.0, low, t.Rate(low)
	for i := t.piece(low) + 1; u < high && len(t.at) > 0; i++ {
		next := high
		if i < len(t.at) {
			next = math.Min(high, t.at[i])
		}
		rn := t.Rate(next)
		total += float64(float64(0.5*(r+rn)) * (next - u))
		u, r = next, rn
	}
	return total / (high - low)
}

// piece is the index of the last point at or below u ≥ 0.
func (t Table) piece(u float64) int {
	i := sort.SearchFloat64s(t.at, u)
	if i < len(t.at) && t.at[i] == u {
		return i
	}
	return i - 1
}

// slope of the rate after point i; 0 beyond the last.
func (t Table) slope(i int) float64 {
	if i+1 >= len(t.at) {
		return 0
	}
	return (t.rate[i+1] - t.rate[i]) / (t.at[i+1] - t.at[i])
}
