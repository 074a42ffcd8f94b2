package tally

import (
	"encoding/json"
	"math"
)

// Real is a number that may not be known: NaN (or infinite) here, null in JSON.
type Real float64

// MarshalJSON writes null for what is no number.
func (r Real) MarshalJSON() ([]byte, error) {
	if !r.Known() || math.IsInf(float64(r), 0) {
		return []byte("null"), nil
	}
	return json.Marshal(float64(r))
}

// Known tells whether there is a number.
func (r Real) Known() bool { return !math.IsNaN(float64(r)) }

// Unknown is the Real that is no number.
func Unknown() Real { return Real(math.NaN()) }

// Interval holds its value in 95 of 100 cases, unless said otherwise.
type Interval struct {
	Low  Real `json:"low"`
	High Real `json:"high"`
}
