package window

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/interp"

	"onegrain/analysis/tally"
	"onegrain/analysis/trace"
)

// limit is where the chance crosses the wanted one along one axis.
type limit struct {
	At       tally.Real     `json:"at"`
	Interval tally.Interval `json:"interval"` // null at an end that lies beyond what was explored
	Falls    bool           `json:"falls"`    // the chance falls below the wanted one as the axis rises
	Method   string         `json:"method"`
}

// contours are lines of the wanted chance over two axes, each a row of places in the units of the
// axes.
type contours struct {
	Line  [][][2]float64 `json:"line"`
	Inner [][][2]float64 `json:"inner,omitempty"` // where even the lower end of the 95 % interval reaches it
	Outer [][][2]float64 `json:"outer,omitempty"` // where no more than the upper end does
	// Method says how the surface was made.
	Method string `json:"method"`
}

const (
	methodCurve = "monotone cubic interpolation of log Λ between cases (F. N. Fritsch and J. Butland, " +
		"SIAM J. Sci. Stat. Comput. 5 (1984) 300), bisected; it lies between the nearest cases whose verdict is sure"
	methodGrid      = "log Λ of the computed cases, linear between neighbours on the grid"
	methodIntervals = methodGrid + "; inner and outer lines by the ends of the 95 % intervals"

	scatteredNote = "the cases lie on no grid, so no limit is drawn between them: take design.kind = \"grid\" for one"
	countedNote   = "no case has exact odds, as happens when a study is stopped early: counted shares are shown, and " +
		"no limit is drawn; run the study again to finish it"
)

// counted tells whether no case has an exact chance, and notes it.
func (v *view) counted() bool {
	sources := []string{fromExact, fromMean, fromLaws}
	if slices.ContainsFunc(v.points, func(p Point) bool { return slices.Contains(sources, p.Source) }) {
		return false
	}
	v.notes = append(v.notes, countedNote)
	return true
}

// crossings finds the limits along one axis, in each row of points of which all is known.
func (v *view) crossings() (all []limit) {
	if v.counted() {
		return nil
	}
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

// stretch finds the limits between points that are all known, two at least.
func (v *view) stretch(from, to int) (all []limit) {
	var x, y []float64
	axis := v.axes[0]
	for _, p := range v.points[from:to] {
		x, y = append(x, axis.scaled(p.place(0))), append(y, p.level())
	}
	f := &interp.FritschButland{}
	if err := f.Fit(x, y); err != nil {
		return nil // two points at least, rising: there is no other error
	}
	wanted := level(v.wanted)
	for i := range x[1:] {
		falls := y[i] <= wanted
		if falls == (y[i+1] <= wanted) {
			continue
		}
		low, high := x[i], x[i+1]
		for range 60 {
			if mid := (low + high) / 2; (f.Predict(mid) <= wanted) == falls {
				low = mid
			} else {
				high = mid
			}
		}
		between := v.between(from+i, from+i+1)
		all = append(all, limit{At: real(axis.unscaled(low)), Interval: between, Falls: falls, Method: methodCurve})
	}
	return all
}

// between is the part of the axis in which a limit between two points may lie: to the nearest
// points on both sides that are sure.
func (v *view) between(left, right int) tally.Interval {
	i := unknownInterval()
	before, after := yes, no
	if v.points[left].level() > level(v.wanted) {
		before, after = no, yes
	}
	for ; left >= 0 && !i.Low.Known(); left-- {
		if v.points[left].Verdict == before {
			i.Low = v.points[left].X
		}
	}
	for ; right < len(v.points) && !i.High.Known(); right++ {
		if is := v.points[right].Verdict; is == after || is == never && after == no {
			i.High = v.points[right].X
		}
	}
	return i
}

// contours reads the limit off cases that stand on a grid; nil where they were counted only.
func (v *view) contours() *contours {
	if v.counted() {
		return nil
	}
	c := &contours{Line: v.lines(Point.level), Method: methodGrid}
	if _, most := v.s.placings(); most > 0 {
		c.Inner = v.lines(func(p Point) float64 { return level(float64(p.Interval.Low)) })
		c.Outer = v.lines(func(p Point) float64 { return level(float64(p.Interval.High)) })
		c.Method = methodIntervals
	}
	return c
}

// lines are the lines along which a value of the points is that of the wanted chance, linear along
// the sides of the grid on the scales of the axes: open ones first, each from the end that is met
// first.
func (v *view) lines(of func(Point) float64) [][][2]float64 {
	height, wanted := v.grid(of), level(v.wanted)
	// a value at the level counts as above it there, but reaches the wanted chance: signs are turned
	segments := trace.Crossings(len(v.rows), len(v.columns), func(j, i int) float64 { return -height[i][j] }, -wanted)
	met := map[trace.Crossing]int{}
	for k, s := range segments {
		for end, c := range s {
			if _, known := met[c]; !known {
				met[c] = 2*k + 1 - end
			}
		}
	}
	lines := trace.Join(segments)
	for _, line := range lines {
		if met[line[len(line)-1]] <= met[line[0]] {
			slices.Reverse(line)
		}
	}
	slices.SortFunc(lines, func(a, b []trace.Crossing) int {
		closed := func(line []trace.Crossing) int {
			if line[0] == line[len(line)-1] {
				return 1
			}
			return 0
		}
		return cmp.Or(closed(a)-closed(b), met[a[0]]-met[b[0]])
	})
	out := make([][][2]float64, len(lines))
	for k, line := range lines {
		for _, c := range line {
			i, j := c.J, c.I
			toI, toJ := i, j+1
			if c.Up {
				toI, toJ = i+1, j
			}
			share := (wanted - height[i][j]) / (height[toI][toJ] - height[i][j])
			out[k] = append(out[k], [2]float64{
				v.axes[0].between(v.columns[i], v.columns[toI], share),
				v.axes[1].between(v.rows[j], v.rows[toJ], share),
			})
		}
	}
	return out
}

// grid lays a value of the points out on their grid, [column][row]; NaN where there is none.
func (v *view) grid(of func(Point) float64) [][]float64 {
	height := make([][]float64, len(v.columns))
	for i := range height {
		height[i] = slices.Repeat([]float64{math.NaN()}, len(v.rows))
	}
	for _, p := range v.points {
		i, _ := slices.BinarySearch(v.columns, p.place(0))
		j, _ := slices.BinarySearch(v.rows, p.place(1))
		height[i][j] = of(p)
	}
	return height
}
