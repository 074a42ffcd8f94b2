package number

import (
	"fmt"
	"math"
)

// Mean is the mean of a smooth function from low to high by Gauss quadrature with eight points.
func Mean(f func(float64) float64, low, high float64) float64 {
	mid, half := float64(0.5*(low+high)), float64(0.5*(high-low))
	total := 0.0
	for i, x := range [4]float64{0.1834346424956498, 0.5255324099163290, 0.7966664774136267, 0.9602898564975363} {
		w := [4]float64{0.3626837833783620, 0.3137066458778873, 0.2223810344533745, 0.1012285362903763}[i]
		total += float64(w * (f(mid-float64(half*x)) + f(mid+float64(half*x))))
	}
	return float64(0.5 * total)
}

// Area is the integral from low to high of a function that is straight between the places `at`,
// ascending, and beyond them. Piece by piece it is half the sum of the values at both ends times
// the span: exact, and nothing cancels.
func Area(f func(float64) float64, at []float64, low, high float64) float64 {
	total, x, y := 0.0, low, f(low)
	for _, next := range at {
		if next > low && next < high {
			end := f(next)
			total += float64(float64(0.5*(y+end)) * (next - x))
			x, y = next, end
		}
	}
	return total + float64(float64(0.5*(y+f(high)))*(high-x))
}

// CheckRates refuses points that make no table of rates over undercoolings (K): the error begins
// with `what` and names the point that is out of order, negative or not finite.
func CheckRates(what string, undercoolingK, rate []float64) error {
	switch {
	case len(undercoolingK) != len(rate):
		return fmt.Errorf("%s: %d undercoolings but %d rates; give one rate for each undercooling",
			what, len(undercoolingK), len(rate))
	case len(rate) == 0:
		return fmt.Errorf("%s: no points; give at least one undercooling with its rate", what)
	}
	for i, u := range undercoolingK {
		switch r := rate[i]; {
		case !(u >= 0 && u <= math.MaxFloat64):
			return fmt.Errorf("%s: point %d: undercooling %v K must be a finite number, 0 or more", what, i+1, u)
		case !(r >= 0 && r <= math.MaxFloat64):
			return fmt.Errorf("%s: point %d: rate %v at %v K must be a finite number, 0 or more", what, i+1, r, u)
		case i > 0 && u <= undercoolingK[i-1]:
			return fmt.Errorf("%s: point %d: undercooling %v K does not exceed the one before (%v K); sort the points",
				what, i+1, u, undercoolingK[i-1])
		}
	}
	return nil
}
