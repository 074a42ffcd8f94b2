package unit

import "strconv"

// Decimal rounds a number to 12 digits: 0.1 + 2·0.1 reads 0.3 then, and is the same as 0.3.
func Decimal(x float64) float64 {
	y, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 12, 64), 64)
	return y
}
