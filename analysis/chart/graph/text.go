package graph

import (
	"math"
	"strconv"
	"strings"

	"onegrain/analysis/chart/scale"
)

// short writes a value with at most four digits and a true minus sign.
func short(x float64) string {
	switch {
	case math.IsNaN(x):
		return "unknown"
	case x == 0:
		return "0"
	}
	s := strconv.FormatFloat(math.Abs(x), 'g', 4, 64)
	if mantissa, power, found := strings.Cut(s, "e"); found {
		n, _ := strconv.Atoi(power)
		s = mantissa + " · 10" + scale.Raised(n)
	}
	if x < 0 {
		return "−" + s
	}
	return s
}

// percent writes a share in hundredths, with as many digits as it has.
func percent(share float64) string {
	return strconv.FormatFloat(math.Round(1e8*share)/1e6, 'f', -1, 64)
}

// chanceText writes a chance in hundredths and never rounds one that is not certain to 0 or 100.
func chanceText(p float64) string {
	switch {
	case p > 0 && p < 1e-3:
		return "below 0.1"
	case p < 1 && p > 0.999:
		return "above 99.9"
	}
	return short(math.Round(1000*p) / 10)
}

// chanceInCell is a chance in two digits that is 0 or 1 only where it is certain.
func chanceInCell(p float64) string {
	switch {
	case p > 0 && p < 0.005:
		return "<0.01"
	case p < 1 && p >= 0.995:
		return ">0.99"
	case p == 0, p == 1:
		return strconv.FormatFloat(p, 'f', 0, 64)
	}
	return strconv.FormatFloat(p, 'f', 2, 64)
}
