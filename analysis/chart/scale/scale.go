package scale

import (
	"math"
	"strconv"
)

// RoundSteps are the multiples of a round step (1, 2 or 5 · 10ⁿ) from low to high, about `wanted`
// of them, and the number of decimals they need.
func RoundSteps(low, high float64, wanted int) (values []float64, decimals int) {
	if !(high > low) {
		return []float64{low}, 1
	}
	raw := (high - low) / float64(max(wanted, 1))
	decade := math.Floor(math.Log10(raw))
	step := math.Pow(10, decade)
	for _, factor := range []float64{2, 2.5, 2} { // 1 → 2 → 5 → 10
		if step >= raw {
			break
		}
		step *= factor
	}
	slack := 1e-9 * (high - low)
	for i := math.Ceil((low - slack) / step); i*step <= high+slack; i++ {
		values = append(values, i*step+0) // +0 turns -0 into 0
	}
	return values, max(0, -int(math.Floor(math.Log10(step)+1e-9)))
}

// Frame is the closed outline of a rectangle.
func Frame(x, y, w, h float64) [][2]float64 {
	return [][2]float64{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}, {x, y}}
}

// Number writes a value with a true minus sign.
func Number(x float64, decimals int) string {
	s := strconv.FormatFloat(math.Abs(x), 'f', decimals, 64)
	if x < 0 && strconv.FormatFloat(0, 'f', decimals, 64) != s {
		return "−" + s
	}
	return s
}

// SoonAfter is where a plot over time ends, h: a twentieth after the body is solid, or with the
// programme where that ends before or the body is never solid (solidH is NaN). What the furnace
// does after that changes nothing in the body.
func SoonAfter(solidH, endH float64) float64 {
	if solidH > 0 {
		return math.Min(endH, 1.05*solidH)
	}
	return endH
}
