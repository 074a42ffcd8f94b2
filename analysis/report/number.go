package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"onegrain/analysis/tally"
)

// unknown stands where there is no number.
const unknown = "–"

// chance writes a chance as a percentage that never reaches 0 or 100 unless it is that.
func chance(p float64) string {
	switch {
	case math.IsNaN(p):
		return unknown
	case p == 0:
		return "0 %"
	case p < 0.001:
		return "less than 0.1 %"
	case p >= 1:
		return "100 %"
	case p > 0.9999:
		return "more than 99.99 %"
	case p > 0.999:
		return down(100*p, 2) + " %"
	}
	return down(100*p, 1) + " %"
}

// rough is a chance that has an interval: more than one digit behind the point would say too much.
func rough(p float64) string {
	if p < 1 && p > 0.999 {
		return "more than 99.9 %"
	}
	return chance(p)
}

// brief is a chance for tables.
func brief(text string) string {
	return strings.NewReplacer("less than ", "<", "more than ", ">").Replace(text)
}

// down rounds down, so that a chance is never told as larger than it is.
func down(x float64, decimals int) string {
	scale := math.Pow(10, float64(decimals))
	return strconv.FormatFloat(math.Floor(x*scale+1e-9)/scale, 'f', -1, 64)
}

// fixed writes a number with so many decimals.
func fixed(x float64, decimals int) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return unknown
	}
	return strings.Replace(strconv.FormatFloat(x, 'f', decimals, 64), "-", "−", 1)
}

func hours(x tally.Real) string { return fixed(float64(x), 1) }

// span is a range of values.
func span(low, high float64, decimals int) string {
	a, b := fixed(low, decimals), fixed(high, decimals)
	if a == unknown || b == unknown {
		return unknown
	}
	if a == b {
		return a
	}
	return a + " to " + b
}

// shares is an interval of a share in hundredths.
func shares(i tally.Interval) string {
	if !i.Low.Known() || !i.High.Known() {
		return unknown
	}
	low, high := down(100*float64(i.Low), 1), strconv.FormatFloat(math.Ceil(1000*float64(i.High)-1e-9)/10, 'f', -1, 64)
	if i.High < 1 && high == "100" {
		high = "more than 99.9"
	}
	return low + " to " + high + " %"
}

// strays is an expected number of them.
func strays(x float64) string {
	switch {
	case math.IsNaN(x):
		return unknown
	case x == 0:
		return "0"
	case x < 0.001:
		return "<0.001"
	case x >= 1000:
		return ">1000"
	}
	return strconv.FormatFloat(x, 'g', 3, 64)
}

// plural counts something.
func plural(n int, what string) string {
	if n != 1 {
		what += "s"
	}
	return fmt.Sprintf("%d %s", n, what)
}

// hundredths is a share as a percentage without decimals.
func hundredths(x tally.Real) string {
	if !x.Known() {
		return unknown
	}
	return fixed(100*float64(x), 0) + " %"
}

// minus puts true minus signs before numbers.
func minus(text string) string {
	for digit := '0'; digit <= '9'; digit++ {
		text = strings.ReplaceAll(text, " -"+string(digit), " −"+string(digit))
	}
	return text
}

// powers writes 1.2e+07 as 1.2·10⁷.
func powers(text string) string {
	before, after, found := strings.Cut(text, "e")
	if !found {
		return text
	}
	if _, err := strconv.ParseFloat(before, 64); err != nil {
		return text
	}
	digits, rest, _ := strings.Cut(after, " ")
	n, err := strconv.Atoi(digits)
	if err != nil {
		return text
	}
	raised := strings.NewReplacer("-", "⁻", "0", "⁰", "1", "¹", "2", "²", "3", "³", "4", "⁴", "5", "⁵", "6", "⁶", "7",
		"⁷", "8", "⁸", "9", "⁹").Replace(strconv.Itoa(n))
	return strings.TrimSpace(before + "·10" + raised + " " + rest)
}

// sentence begins with a capital and ends with a full stop.
func sentence(text string) string {
	r, n := utf8.DecodeRuneInString(text)
	if n == 0 {
		return ""
	}
	text = string(unicode.ToUpper(r)) + text[n:]
	if !strings.HasSuffix(text, ".") && !strings.HasSuffix(text, "!") && !strings.HasSuffix(text, "?") {
		text += "."
	}
	return text
}
