package window

import (
	"fmt"
	"math"
	"strconv"
)

// percent is a chance for people, rounded down, with as many digits as it takes to tell it from 100
// %.
func percent(p float64) string { return rounded(p, 10) }

// rough is a chance that was counted or has an interval: more than one digit behind the point would
// say too much.
func rough(p float64) string { return rounded(p, 1) }

func rounded(p float64, most int) string {
	switch {
	case math.IsNaN(p):
		return "unknown"
	case p >= 1:
		return "100 %"
	case p > 0 && p < 0.001 && most > 1:
		return fmt.Sprintf("%.1e", p)
	}
	digits := min(most, max(0, int(math.Ceil(-math.Log10(1-p)-1e-9))-1)) // 0.95: one nine needs no digit behind the point
	if p < 0.1 {
		digits = 1
	}
	scale := math.Pow(10, float64(digits))
	return strconv.FormatFloat(math.Floor(100*p*scale+1e-6)/scale, 'f', -1, 64) + " %"
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// phrase is a range in words.
func (a *Axis) phrase(r Range) string {
	if a.Levels != nil {
		return a.Label + " " + a.Text(r.From)
	}
	first, last := a.ends()
	switch {
	case r.From == r.To && len(a.Values) > 1:
		return fmt.Sprintf("%s at %s", a.Label, a.Text(r.From))
	case r.From == r.To:
		return fmt.Sprintf("%s at %s (all that was explored)", a.Label, a.Text(r.From))
	case r.FromEdge && r.ToEdge:
		return fmt.Sprintf("%s anywhere from %s to %s (all that was explored)", a.Label, figure(first), a.Text(last))
	case r.FromEdge:
		return fmt.Sprintf("%s at or below %s (explored from %s)", a.Label, a.Text(inward(r.To, false)), figure(first))
	case r.ToEdge:
		return fmt.Sprintf("%s at or above %s (explored to %s)", a.Label, a.Text(inward(r.From, true)), figure(last))
	}
	return fmt.Sprintf("%s between %s and %s", a.Label, figure(inward(r.From, true)), a.Text(inward(r.To, false)))
}

// inward rounds to four digits, as figure does, but never out of the range.
func inward(x float64, up bool) float64 {
	y, _ := strconv.ParseFloat(figure(x), 64)
	step := math.Pow(10, math.Floor(math.Log10(math.Abs(x)))-3)
	switch {
	case up && y < x && x-y > 1e-9*math.Abs(x):
		y += step
	case !up && y > x && y-x > 1e-9*math.Abs(x):
		y -= step
	}
	return y
}
