package plain

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"onegrain/analysis/chart/scale"
)

// Chance is a probability in three decimals; 0 and 1 stand for themselves only.
func Chance(p float64) string {
	switch {
	case p > 0 && p < 0.0005:
		return "<0.001"
	case p < 1 && p >= 0.9995:
		return ">0.999"
	}
	return Number(p, 3)
}

// Margin is what stands behind the mean over placings of a chance: its standard error, unknown of
// one placing. Where nothing was averaged, or all are alike, it is empty.
func Margin(placings int, se float64) string {
	switch {
	case placings == 0 || se == 0:
		return ""
	case math.IsNaN(se):
		return " ± ?"
	}
	return " ± " + Chance(se)
}

// Number is a figure with at most `digits` after the point, a dash where there is none.
func Number(x float64, digits int) string {
	switch {
	case math.IsNaN(x):
		return "-"
	case math.IsInf(x, 0):
		return "∞"
	}
	return strconv.FormatFloat(x, 'f', digits, 64)
}

// Short is a figure of three digits, whatever its size.
func Short(x float64) string {
	if math.IsNaN(x) {
		return "-"
	}
	return strconv.FormatFloat(x, 'g', 3, 64)
}

// Span is a share with its interval.
func Span(low, high float64, digits int) string {
	if math.IsNaN(low) || math.IsNaN(high) {
		return "-"
	}
	return fmt.Sprintf("%.*f–%.*f", digits, low, digits, high)
}

// Bytes is a size for people, in steps of 1024.
func Bytes(n int64) string {
	units := []string{"B", "KiB", "MiB", "GiB", "TiB"}
	x := float64(n)
	i := 0
	for ; x >= 1024 && i < len(units)-1; i++ {
		x /= 1024
	}
	return fmt.Sprintf("%.3g %s", x, units[i])
}

// Hours is a duration for people.
func Hours(h float64) string {
	switch s := h * 3600; {
	case s < 1:
		return "less than 1 s"
	case s < 90:
		return fmt.Sprintf("%.0f s", s)
	case s < 90*60:
		return fmt.Sprintf("%.0f min", s/60)
	}
	return fmt.Sprintf("%.1f h", h)
}

// Short6 is a value as it is written in a study.
func Short6(x float64) string { return strconv.FormatFloat(x, 'g', 6, 64) }

// HoursSpan is a range of durations for people.
func HoursSpan(low, high float64) string {
	a, b := Hours(low), Hours(high)
	if a == b {
		return a
	}
	return a + " to " + b
}

// Folded breaks a text into lines no wider than a table should be; all but the first begin with the
// indent.
func Folded(text, indent string) string {
	var b strings.Builder
	at := 0
	for i, word := range strings.Fields(text) {
		n := utf8.RuneCountInString(word)
		switch {
		case i > 0 && at+1+n > widest:
			b.WriteString("\n" + indent)
			at = utf8.RuneCountInString(indent)
		case i > 0:
			b.WriteString(" ")
			at++
		}
		b.WriteString(word)
		at += n
	}
	return b.String()
}

// Few is a number of strays; how far below a thousandth it is changes nothing.
func Few(strays float64) string {
	if strays > 0 && strays < 0.001 {
		return "<0.001"
	}
	return Short(strays)
}

// Cell is a value of any kind for people.
func Cell(v any) string {
	switch v := v.(type) {
	case nil:
		return "-"
	case float64:
		return Short6(v)
	}
	return fmt.Sprint(v)
}

// Plural counts something.
func Plural(n int, what string) string { return scale.Plural(n, what) }
