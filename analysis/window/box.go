package window

import (
	"cmp"
	"math"
	"slices"

	"onegrain/analysis/tally"
)

// Box is a part of the explored range all of whose computed cases reach the wanted chance.
type Box struct {
	X      Range      `json:"x"`
	Y      *Range     `json:"y,omitempty"`
	Cases  int        `json:"cases"`
	Lowest tally.Real `json:"lowest_chance"` // believed of them
	Best   *Point     `json:"best"`          // of them, by the rule of Best

	points []Point
}

// Range of an axis, ends included.
type Range struct {
	From     float64 `json:"from"`
	To       float64 `json:"to"`
	FromEdge bool    `json:"from_is_edge"` // nothing below was explored
	ToEdge   bool    `json:"to_is_edge"`
}

// box of points that stand in these ranges, one for each axis.
func (v *view) box(points []Point, ranges ...Range) Box {
	b := Box{X: ranges[0], Cases: len(points), Lowest: 1, points: points}
	if len(ranges) > 1 {
		b.Y = &ranges[1]
	}
	for _, p := range points {
		b.Lowest = min(b.Lowest, p.Chance)
	}
	if i := Best(points, v.wanted); i >= 0 {
		b.Best = &points[i]
	}
	return b
}

// ranges of the box, one for each axis.
func (b Box) ranges() []Range {
	if b.Y == nil {
		return []Range{b.X}
	}
	return []Range{b.X, *b.Y}
}

// Holds tells whether a point of its slice stands in the box.
func (b Box) Holds(p Point) bool {
	for k, r := range b.ranges() {
		if x := p.place(k); !(x >= r.From && x <= r.To) {
			return false
		}
	}
	return true
}

// span is a range with its edges marked. Of an axis in parts it goes from middle to middle, since a
// mean over a part says little of its ends, and to the edge of what was explored.
func (a *Axis) span(from, to float64) Range {
	r := Range{From: from, To: to}
	if n := len(a.Values); n > 0 {
		r.FromEdge, r.ToEdge = from <= a.Values[0], to >= a.Values[n-1]
		if r.FromEdge && from < to {
			r.From, _ = a.ends()
		}
		if r.ToEdge && from < to {
			_, r.To = a.ends()
		}
	}
	return r
}

// ranges are the rows of neighbouring cases along the only axis that reach the wanted chance, the
// one with the most cases first. Words have no neighbours.
func (v *view) ranges() (all []Box) {
	axis := v.axes[0]
	for from := 0; from < len(v.points); from++ {
		to := from
		for to < len(v.points) && v.points[to].reaches() && (axis.Levels == nil || to == from) {
			to++
		}
		if to > from {
			r := axis.span(v.points[from].place(0), v.points[to-1].place(0))
			all = append(all, v.box(v.points[from:to], r))
			from = to - 1
		}
	}
	slices.SortStableFunc(all, func(a, b Box) int { return b.Cases - a.Cases })
	return all
}

// sideLeast is how many cases make a range worth telling where cases stand on no grid.
const sideLeast = 8

// sides looks through the other axes: the largest stretch from an end of either axis in which every
// case reaches the wanted chance.
func (v *view) sides() (best []Box) {
	for k, axis := range v.axes {
		if axis.Levels != nil {
			continue
		}
		points := ordered(v.points, func(a, b *Point) int { return cmp.Compare(a.place(k), b.place(k)) })
		for range 2 {
			n := 0
			for n < len(points) && points[n].reaches() {
				n++
			}
			if n >= sideLeast && (best == nil || n > best[0].Cases) {
				var found []Range
				for _, a := range v.axes {
					found = append(found, a.span(a.Values[0], a.Values[len(a.Values)-1]))
				}
				a, b := points[0].place(k), points[n-1].place(k)
				found[k] = axis.span(min(a, b), max(a, b))
				best = []Box{v.box(slices.Clone(points[:n]), found...)}
			}
			slices.Reverse(points)
		}
	}
	return best
}

// corner is the largest box about a corner of what was explored, for cases that stand on no grid;
// it ends at cases.
func (v *view) corner() []Box {
	var found [][]Point
	for _, way := range [][2]float64{{1, 1}, {1, -1}, {-1, 1}, {-1, -1}} {
		depth, limit := func(p Point) float64 { return way[1] * p.place(1) }, math.Inf(1)
		var within []Point // of the points so far, those before the limit
		for _, p := range ordered(v.points, func(a, b *Point) int {
			// at one place of the first axis "yes" is the last
			return cmp.Or(cmp.Compare(way[0]*a.place(0), way[0]*b.place(0)), cmp.Compare(a.Verdict, b.Verdict))
		}) {
			switch {
			case depth(p) >= limit:
			case p.reaches():
				within = append(within, p)
			default:
				found, limit = append(found, within), depth(p)
				within = slices.DeleteFunc(slices.Clone(within), func(q Point) bool { return depth(q) >= limit })
			}
		}
		found = append(found, within)
	}
	best := slices.MaxFunc(found, func(a, b []Point) int { return len(a) - len(b) })
	if len(best) < sideLeast {
		return nil
	}
	var ranges []Range
	for k, axis := range v.axes {
		byPlace := func(a, b Point) int { return cmp.Compare(a.place(k), b.place(k)) }
		ranges = append(ranges, axis.span(slices.MinFunc(best, byPlace).place(k), slices.MaxFunc(best, byPlace).place(k)))
	}
	return []Box{v.box(best, ranges...)}
}

// gridBox is the largest box of a grid whose cases are all there and all reach the wanted chance.
// Of equal ones the first counts.
func (v *view) gridBox() []Box {
	places, short, long := [2][]float64{v.columns, v.rows}, 0, 1
	if len(v.columns) > len(v.rows) {
		short, long = 1, 0
	}
	reach := v.grid(func(p Point) float64 {
		if p.reaches() {
			return 1
		}
		return 0
	})
	size := 0
	found := make([]Range, 2)
	for i0 := range places[short] { // every stretch of the shorter side: the longest run where all of it is good
		good := slices.Repeat([]bool{true}, len(places[long]))
		for i1 := i0; i1 < len(places[short]); i1++ {
			run := 0
			for j := range good {
				at := [2]int{i1, j}
				good[j] = good[j] && reach[at[short]][at[long]] == 1
				if run++; !good[j] {
					run = 0
				}
				if run*(i1-i0+1) > size {
					size = run * (i1 - i0 + 1)
					found[short] = v.axes[short].span(places[short][i0], places[short][i1])
					found[long] = v.axes[long].span(places[long][j-run+1], places[long][j])
				}
			}
		}
	}
	if size == 0 {
		return nil
	}
	whole := v.box(nil, found...)
	within := slices.DeleteFunc(slices.Clone(v.points), func(p Point) bool { return !whole.Holds(p) })
	return []Box{v.box(within, found...)}
}
