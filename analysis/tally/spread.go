package tally

import (
	"math"
	"slices"
)

// Spread says how values scatter. All but Count are unknown where there are no values.
type Spread struct {
	Count  int   `json:"count"`
	Min    Real  `json:"min"`
	P10    Real  `json:"p10"`
	Median Real  `json:"median"`
	P90    Real  `json:"p90"`
	Max    Real  `json:"max"`
	Bins   []Bin `json:"bins,omitempty"`
	// Sample stands for the values in a chart: all of them in order, or of more than 100 the 100
	// quantiles at the middles of equal parts.
	Sample []float64 `json:"sample,omitempty"`
}

const sampled = 100

// Bin counts the values from From up to but not including To; the last one includes it.
type Bin struct {
	From  float64 `json:"from"`
	To    float64 `json:"to"`
	Count int     `json:"count"`
}

// SpreadOf orders the values (in place), leaves out what is no number, and sorts them into `bins`
// equal bins from low to high; bins = 0 makes none, and no sample. Where low is not below high the
// bins reach from the least value to the largest.
func SpreadOf(values []float64, low, high float64, bins int) Spread {
	values = slices.DeleteFunc(values, func(x float64) bool { return math.IsNaN(x) || math.IsInf(x, 0) })
	slices.Sort(values)
	at := func(q float64) Real { return Real(Quantile(values, q)) }
	s := Spread{Count: len(values), Min: at(0), P10: at(0.1), Median: at(0.5), P90: at(0.9), Max: at(1)}
	if bins <= 0 || len(values) == 0 {
		return s
	}
	s.Sample = slices.Clone(values)
	if len(values) > sampled {
		s.Sample = make([]float64, sampled)
		for k := range s.Sample {
			s.Sample[k] = Quantile(values, (float64(k)+0.5)/sampled)
		}
	}
	if low >= high {
		low, high = values[0], values[len(values)-1]
	}
	if low >= high {
		s.Bins = []Bin{{low, high, len(values)}}
		return s
	}
	width := (high - low) / float64(bins)
	for b := range bins {
		s.Bins = append(s.Bins, Bin{From: low + float64(b)*width, To: low + float64(b+1)*width})
	}
	for _, x := range values {
		b := int((x - low) / width)
		s.Bins[min(max(b, 0), bins-1)].Count++
	}
	return s
}

// Quantile interpolates between ordered values, q from 0 to 1; NaN for none.
func Quantile(sorted []float64, q float64) float64 {
	if len(sorted) == 0 {
		return math.NaN()
	}
	at := q * float64(len(sorted)-1)
	i := int(at)
	if i+1 >= len(sorted) {
		return sorted[len(sorted)-1]
	}
	return sorted[i] + (at-float64(i))*(sorted[i+1]-sorted[i])
}
