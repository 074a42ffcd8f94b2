package graph

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// checks keep the first fault that is found in the values of a chart: the field, its value, and
// what was wanted.
type checks struct {
	at  string // what is checked, such as "Multiples.Windows[0]"
	err error
}

// in checks a part of a chart.
func (k *checks) in(part string, check func(*checks)) {
	before := k.at
	k.at += "." + part
	check(k)
	k.at = before
}

// that notes a fault of a field, with which the text begins, where a condition does not hold.
func (k *checks) that(holds bool, format string, values ...any) {
	if !holds && k.err == nil {
		k.err = fmt.Errorf("graph: "+k.at+format, values...)
	}
}

func (k *checks) axis(field string, a Axis) {
	k.that(strings.TrimSpace(a.Name) != "", ".%s.Name is empty: wanted what runs along the axis", field)
}

// span is a range of values that is shown at least.
func (k *checks) span(from, to float64) {
	k.that(from <= to, ".From = %v, To = %v: wanted a range from below to above, or 0 and 0", from, to)
}

// numbers may be unknown, NaN, only where that is said.
func (k *checks) numbers(field string, values []float64, unknown bool) {
	i := slices.IndexFunc(values, func(v float64) bool { return math.IsInf(v, 0) || !unknown && math.IsNaN(v) })
	if i >= 0 {
		k.that(false, ".%s[%d] = %v: wanted a finite number", field, i, values[i])
	}
}

// hours must be finite and in order.
func (k *checks) hours(hours []float64) {
	k.numbers("TimeH", hours, false)
	for i := 1; i < len(hours); i++ {
		k.that(hours[i] >= hours[i-1], ".TimeH[%d] = %v: wanted hours in ascending order", i, hours[i])
	}
}

// column has a value for each of some times; where values may be unknown, it may be nil as well.
func (k *checks) column(field string, values []float64, times int, unknown bool) {
	k.that(len(values) == times || unknown && values == nil, ".%s has %d values for %d times: wanted one for each",
		field, len(values), times)
	k.numbers(field, values, unknown)
}

func (k *checks) marks(marks []Mark) {
	for i, m := range marks {
		k.that(finite(m.At), ".Marks[%d].At = %v: wanted a finite number", i, m.At)
	}
}

func (k *checks) lines(field string, lines []Line) {
	for i, l := range lines {
		for j, p := range l.Points {
			at := fmt.Sprintf(".%s[%d].Points[%d]", field, i, j)
			k.that(finite(p.X), at+".X = %v: wanted a finite number", p.X)
			for _, v := range []float64{p.Y, p.Low, p.High} {
				k.that(!math.IsInf(v, 0), at+" has the value %v: wanted a finite number, or NaN where it is not known", v)
			}
			k.that(!(p.Low > p.High), at+" has an interval from %v to %v: wanted Low ≤ High", p.Low, p.High)
		}
	}
}

// grid is nx × ny squares with an edge of step, mm, and one of n values for each.
func (k *checks) grid(field string, nx, ny int, step float64, n int) {
	k.that(nx >= 0 && ny >= 0 && nx <= 1<<20 && ny <= 1<<20 && nx*ny == n,
		".%s has %d entries for %d × %d places: wanted one for each", field, n, nx, ny)
	k.that(n == 0 || step > 0 && step < 1e9, " has steps of %v mm: wanted a finite number above 0", step)
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
