package kinetics

import (
	"fmt"
	"sort"

	"onegrain/sim/number"
)

// Table is a measured law: linear between its points, from (0 K, 0 mm/h), and constant beyond the
// last point, since the slope of the last piece is no evidence for what lies beyond. Made by
// NewTable; the zero value does not grow.
type Table struct {
	at, rate, integral []float64 // K, mm/h, mm K/h; the first point is 0, 0, 0
}

// NewTable makes a law from points in order of undercooling (K) with their rates (mm/h). The point
// (0, 0) is added where it is missing. An error names the point that is out of order, negative, not
// finite, or has growth at 0 K.
func NewTable(undercoolingK, rateMMPerH []float64) (Table, error) {
	if err := number.CheckRates("growth table", undercoolingK, rateMMPerH); err != nil {
		return Table{}, err
	}
	if undercoolingK[0] == 0 && rateMMPerH[0] > 0 {
		return Table{}, fmt.Errorf("growth table: point 1: rate %v at 0 K: nothing grows at 0 K; leave the point out",
			rateMMPerH[0])
	}
	t := Table{[]float64{0}, []float64{0}, []float64{0}}
	for i, u := range undercoolingK {
		if u > 0 {
			last, r := len(t.at)-1, rateMMPerH[i]
			area := float64(float64(0.5*(r+t.rate[last])) * (u - t.at[last]))
			t.at, t.rate, t.integral = append(t.at, u), append(t.rate, r), append(t.integral, t.integral[last]+area)
		}
	}
	return t, nil
}

// Rate is in mm/h at an undercooling in K.
func (t Table) Rate(undercoolingK float64) float64 {
	if !(undercoolingK > 0) || len(t.at) == 0 {
		return 0
	}
	i := t.piece(undercoolingK)
	return t.rate[i] + float64(t.slope(i)*(undercoolingK-t.at[i]))
}

// Integral is exact: half the sum of the rates at both ends of each piece times its span, in mm
// K/h.
func (t Table) Integral(undercoolingK float64) float64 {
	if !(undercoolingK > 0) || len(t.at) == 0 {
		return 0
	}
	i := t.piece(undercoolingK)
	return t.integral[i] + float64(float64(0.5*(t.rate[i]+t.Rate(undercoolingK)))*(undercoolingK-t.at[i]))
}

// mean is the area over the span, low and high positive: nothing cancels.
func (t Table) mean(low, high float64) float64 {
	return number.Area(t.Rate, t.at, low, high) / (high - low)
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
