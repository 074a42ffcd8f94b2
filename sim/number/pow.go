package number

import "math"

// Pow is x^y. For x < 0 the exponent must be a whole number, else NaN; x^0 is 1, also for NaN; 0^y
// is +Inf for y < 0.
func Pow(x, y float64) float64 {
	switch {
	case y == 0 || x == 1:
		return 1
	case x != x || y != y:
		return math.NaN()
	case y == 1:
		return x
	case x < 0:
		return powNegative(x, y)
	case x == 0 || x > math.MaxFloat64 || math.Abs(y) > math.MaxFloat64:
		return powLimit(x, y)
	}
	lh, ll := logSum(x)
	if math.Abs(float64(lh*y)) > 1000 { // certainly 0 or +Inf; also keeps the splitting of product from overflowing
		return expSum(float64(lh*y), 0)
	}
	hi, lo := product(lh, y)
	hi, lo = sum(hi, mad(ll, y, lo))
	return expSum(hi, lo)
}

// powNegative is x^y for x < 0 by the parity of y.
func powNegative(x, y float64) float64 {
	switch {
	case math.Floor(y) != y:
		return math.NaN()
	case math.Floor(y/2) == y/2:
		return Pow(-x, y)
	}
	return -Pow(-x, y)
}

// powLimit is x^y where x is 0 or +Inf, or y infinite.
func powLimit(x, y float64) float64 {
	if (x > 1) == (y > 0) {
		return math.Inf(1)
	}
	return 0
}
