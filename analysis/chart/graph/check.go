package graph

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
)

// checks keep the first fault that is found in the values of a chart: the field, its value, and
// what was wanted.
type checks struct{ err error }

// that notes a fault at a place, with which the text begins, where a condition does not hold.
func (k *checks) that(holds bool, at, format string, values ...any) {
	if !holds && k.err == nil {
		k.err = fmt.Errorf("graph: "+at+format, values...)
	}
}

// walk goes through all that a chart is made from. Numbers are finite; NaN stands for what is not
// known in fields with the tag nan.
func (k *checks) walk(at string, v reflect.Value, unknown bool) {
	switch v.Kind() {
	case reflect.Float64:
		x := v.Float()
		k.that(!math.IsInf(x, 0) && (unknown || !math.IsNaN(x)), at, " = %v: wanted a finite number", x)
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			if e := v.Index(i); e.Kind() != reflect.Float64 || !finite(e.Float()) {
				k.walk(fmt.Sprintf("%s[%d]", at, i), e, unknown)
			}
		}
	case reflect.Struct:
		k.conditions(at, v.Interface())
		for i := range v.NumField() {
			f := v.Type().Field(i)
			k.walk(at+"."+f.Name, v.Field(i), f.Tag.Get("nan") != "")
		}
	}
}

// conditions of one value, beside those of its numbers.
func (k *checks) conditions(at string, of any) {
	switch c := of.(type) {
	case Axis:
		k.that(strings.TrimSpace(c.Name) != "", at, ".Name is empty: wanted what runs along the axis")
	case Point:
		k.that(!(c.Low > c.High), at, " has an interval from %v to %v: wanted Low ≤ High", c.Low, c.High)
	case Cell:
		k.that(!(c.Exact < 0 || c.Exact > 1), at, ".Exact = %v: wanted a chance, 0 to 1, or NaN", c.Exact)
		k.that(0 <= c.Hits && c.Hits <= c.Runs, at, " counts %d of %d runs: wanted 0 ≤ Hits ≤ Runs", c.Hits, c.Runs)
		k.that(c.Runs == 0 || c.Low >= 0 && c.Low <= c.High && c.High <= 1, at,
			" has the interval %v to %v: wanted 0 ≤ Low ≤ High ≤ 1", c.Low, c.High)
	case Window:
		k.that(c.Wanted >= 0 && c.Wanted < 1, at, ".Wanted = %v: wanted a chance below 1, or 0 for none", c.Wanted)
	case Curves:
		k.span(at, c.From, c.To)
	case Multiples:
		k.that(len(c.Windows) == 0 || len(c.Curves) == 0, at, " has %d Windows and %d Curves: wanted one kind only",
			len(c.Windows), len(c.Curves))
	case Bars:
		k.span(at, c.From, c.To)
		for i, set := range c.Sets {
			k.that(len(set.Points) == len(c.Names), at, ".Sets[%d] has %d points for %d names: wanted one for each",
				i, len(set.Points), len(c.Names))
		}
	case Programme:
		k.hours(at, c.TimeH)
		k.that(len(c.UndercoolingK) == len(c.TimeH), at, ".UndercoolingK has %d values for %d times: wanted one for each",
			len(c.UndercoolingK), len(c.TimeH))
	case History:
		k.hours(at, c.TimeH)
		for i, column := range [][]float64{c.UndercoolingK, c.ReachAMM, c.ReachCMM, c.SolidFraction, c.Nuclei} {
			k.that(column == nil || len(column) == len(c.TimeH), at, ".%s has %d values for %d times: wanted one for each",
				[]string{"UndercoolingK", "ReachAMM", "ReachCMM", "SolidFraction", "Nuclei"}[i], len(column), len(c.TimeH))
		}
	case Field:
		k.grid(at, "Values", c.NX, c.NY, c.StepMM, len(c.Values))
	case Strip:
		k.grid(at, "Grain", c.NX, c.NY, c.CellMM, len(c.Grain))
		if i := slices.IndexFunc(c.Grain, func(g int32) bool { return g < -2 || int(g) >= len(c.Stray) }); i >= 0 {
			k.that(false, at, ".Grain[%d] = %d, but Stray tells of %d grains: wanted -2, -1 or one of them",
				i, c.Grain[i], len(c.Stray))
		}
		k.that(!(c.Share < 0 || c.Share > 1.0001), at, ".Share = %v: wanted 0 to 1, or NaN where it is not known", c.Share)
	}
}

// span is a range of values that is shown at least.
func (k *checks) span(at string, from, to float64) {
	k.that(from <= to, at, ".From = %v, To = %v: wanted a range from below to above, or 0 and 0", from, to)
}

// hours must be in order.
func (k *checks) hours(at string, hours []float64) {
	for i := 1; i < len(hours); i++ {
		k.that(hours[i] >= hours[i-1], at, ".TimeH[%d] = %v: wanted hours in ascending order", i, hours[i])
	}
}

// grid is nx × ny squares with an edge of step, mm, and one of n values for each.
func (k *checks) grid(at, field string, nx, ny int, step float64, n int) {
	k.that(nx >= 0 && ny >= 0 && nx <= 1<<20 && ny <= 1<<20 && nx*ny == n, at,
		".%s has %d entries for %d × %d places: wanted one for each", field, n, nx, ny)
	k.that(n == 0 || step > 0 && step < 1e9, at, " has steps of %v mm: wanted a finite number above 0", step)
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
