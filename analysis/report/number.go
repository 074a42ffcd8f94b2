package report

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"time"

	"onegrain/analysis/chart/scale"
	"onegrain/analysis/tally"
)

// unknown stands where there is no number.
const unknown = "–"

// chance writes a chance as a percentage that never reaches 0 or 100 unless it is that.
func chance[F ~float64](p F) string {
	switch {
	case math.IsNaN(float64(p)):
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
		return down(100*float64(p), 2) + " %"
	}
	return down(100*float64(p), 1) + " %"
}

// rough is a chance that has an interval: more than one digit behind the point would say too much.
func rough[F ~float64](p F) string {
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
func fixed[F ~float64](x F, decimals int) string {
	if math.IsNaN(float64(x)) || math.IsInf(float64(x), 0) {
		return unknown
	}
	return strings.Replace(strconv.FormatFloat(float64(x), 'f', decimals, 64), "-", "−", 1)
}

// span is a range of values.
func span[F ~float64](low, high F, decimals int) string {
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
func strays[F ~float64](x F) string {
	switch {
	case math.IsNaN(float64(x)):
		return unknown
	case x == 0:
		return "0"
	case x < 0.001:
		return "<0.001"
	case x >= 1000:
		return ">1000"
	}
	return strconv.FormatFloat(float64(x), 'g', 3, 64)
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
	return regexp.MustCompile(` -([0-9])`).ReplaceAllString(text, " −$1")
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
	return strings.TrimSpace(before + "·10" + scale.Raised(n) + " " + rest)
}

// sentence begins with a capital and ends with a full stop.
func sentence(text string) string {
	if text != "" && !strings.ContainsAny(text[len(text)-1:], ".!?") {
		text += "."
	}
	return scale.Capital(text)
}

// titled begins with a capital and ends without a full stop.
func titled(text string) string { return strings.TrimSuffix(sentence(text), ".") }

// lower begins a sentence that goes on after a colon.
func lower(text string) string {
	if text == "" {
		return ""
	}
	return strings.ToLower(text[:1]) + text[1:]
}

func moment(t time.Time) string {
	if t.IsZero() {
		return "not ended"
	}
	return t.UTC().Format("2006-01-02 15:04") + " UTC"
}
