package window

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/interp"

	"onegrain/analysis/tally"
)

const (
	methodCurve = "monotone cubic interpolation of log Λ between cases (F. N. Fritsch and J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300), bisected; " +
		"it lies between the nearest cases whose verdict is sure"
	methodFit = "logistic regression of the counts (D. Firth, Biometrika 80 (1993) 27), 95 % band of its line"
)

// curve finds the limits along one axis.
func (v *view) curve() []Crossing {
	if v.counted() {
		return v.fitted()
	}
	var all []Crossing
	for from := 0; from < len(v.points); {
		to := from
		for to < len(v.points) && !math.IsNaN(v.points[to].level()) && (to == from || v.points[to].X > v.points[to-1].X) {
			to++
		}
		if to-from >= 2 {
			all = append(all, v.stretch(from, to)...)
		}
		from = max(to, from+1)
	}
	return all
}

// counted tells whether no case has an exact chance, so that counts have to do.
func (v *view) counted() bool {
	for _, p := range v.points {
		if p.Source == fromExact || p.Source == fromMean {
			return false
		}
	}
	return true
}

// stretch finds the limits in a row of points of which all is known.
func (v *view) stretch(from, to int) (all []Crossing) {
	var x, y []float64
	for _, p := range v.points[from:to] {
		x, y = append(x, v.x.scaled(float64(p.X))), append(y, p.level())
	}
	f := &interp.FritschButland{}
	if err := f.Fit(x, y); err != nil {
		return nil // two points at least, rising: there is no other error
	}
	limit := level(v.wanted)
	for i := range x[1:] {
		if (y[i] <= limit) == (y[i+1] <= limit) {
			continue
		}
		low, high := x[i], x[i+1]
		for range 60 {
			if mid := (low + high) / 2; (f.Predict(mid) <= limit) == (y[i] <= limit) {
				low = mid
			} else {
				high = mid
			}
		}
		all = append(all, Crossing{At: real(v.x.unscaled(low)), Interval: v.between(from+i, from+i+1), Falls: y[i] <= limit, Method: methodCurve})
	}
	return all
}

// between is the part of the axis in which a limit between two points may lie: to the nearest points on both sides that are sure.
func (v *view) between(left, right int) tally.Interval {
	i := tally.Interval{Low: tally.Unknown(), High: tally.Unknown()}
	is := func(k int) string { return v.points[k].Verdict }
	want := [2]string{yes, no}
	if v.points[left].level() > level(v.wanted) {
		want = [2]string{no, yes}
	}
	for ; left >= 0; left-- {
		if is(left) == want[0] {
			i.Low = v.points[left].X
			break
		}
	}
	for ; right < len(v.points); right++ {
		if is(right) == want[1] || is(right) == never && want[1] == no {
			i.High = v.points[right].X
			break
		}
	}
	return i
}

// finely is how many steps a regression is looked at along an axis.
const finely = 400

// fitted finds the limits of a regression through the counts.
func (v *view) fitted() (all []Crossing) {
	f := v.regress()
	if f == nil {
		return nil
	}
	n := len(v.columns)
	a, b := v.x.scaled(v.columns[0]), v.x.scaled(v.columns[n-1])
	limit := math.Log(v.wanted / (1 - v.wanted))
	at := func(k int) float64 { return v.x.unscaled(a + (b-a)*float64(k)/finely) }
	side := func(k int, se float64) bool {
		eta, e := f.line(at(k), math.NaN())
		return eta+se*e >= limit
	}
	for k := range finely {
		if side(k, 0) == side(k+1, 0) {
			continue
		}
		c := Crossing{At: real(math.Sqrt(at(k) * at(k+1))), Falls: side(k, 0), Method: methodFit, Interval: tally.Interval{Low: tally.Unknown(), High: tally.Unknown()}}
		if !v.x.Log {
			c.At = real((at(k) + at(k+1)) / 2)
		}
		for l := k; l >= 0; l-- {
			if side(l, -1.96) == side(l, 1.96) {
				c.Interval.Low = real(at(l))
				break
			}
		}
		for r := k + 1; r <= finely; r++ {
			if side(r, -1.96) == side(r, 1.96) {
				c.Interval.High = real(at(r))
				break
			}
		}
		all = append(all, c)
	}
	return all
}

// regress fits the counts, notes what is wrong with the fit, and tells each point what the fit makes of it; nil where it cannot be done.
func (v *view) regress() *fit {
	if v.s.Over != nil {
		return nil // counts of an average are no draws of one chance
	}
	y := v.y
	if len(v.rows) == 1 {
		y = nil
	}
	f := regression(v.points, v.x, y)
	if f == nil {
		return nil
	}
	var counts []tally.Count
	for _, p := range v.points {
		if p.Runs > 0 {
			eta, _ := f.line(float64(p.X), float64(p.Y))
			counts = append(counts, tally.Count{Runs: p.Runs, Hits: p.Hits, Chance: expit(eta)})
		}
	}
	if a := tally.Agree(counts, !v.s.Common); a.Disagree() {
		v.notes = append(v.notes, fmt.Sprintf("the regression does not fit the counts (p = %.2g): its limit is a guide only, and the sentence does without it", float64(a.PValue)))
		return f
	}
	v.means = "a regression through the counts"
	for i, p := range v.points {
		eta, se := f.line(float64(p.X), float64(p.Y))
		v.points[i].fit = tally.Interval{Low: real(expit(eta - 1.96*se)), High: real(expit(eta + 1.96*se))}
	}
	return f
}
