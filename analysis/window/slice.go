package window

import (
	"cmp"
	"slices"

	"onegrain/analysis/tally"
)

// view is a slice at work: its points along one axis or two.
type view struct {
	s       *Study
	p       plan
	x, y    *Axis // y nil for one axis, both nil for none
	wanted  float64
	points  []Point
	columns []float64 // x values that occur in the slice, rising
	rows    []float64 // y values
	notes   []string
	near    [][]int
	means   string // how the box was found where it is not read off the cases alone
}

// slice looks at the cases of one setting of the other axes.
func (s *Study) slice(p plan, cases []int, points []Point, wanted float64) Slice {
	v := &view{s: s, p: p, wanted: wanted}
	if p.x >= 0 {
		v.x = &s.Axes[p.x]
	}
	if p.y >= 0 {
		v.y = &s.Axes[p.y]
	}
	v.points = make([]Point, 0, len(cases))
	for _, c := range cases {
		v.points = append(v.points, v.point(points[c]))
	}
	v.points = ordered(v.points, func(a, b *Point) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) })
	v.columns, v.rows = v.occurring(func(p Point) float64 { return float64(p.X) }), v.occurring(func(p Point) float64 { return float64(p.Y) })
	out := Slice{Points: v.points, Safe: []Box{}}
	if len(cases) > 0 {
		for _, i := range p.others {
			out.Fixed = append(out.Fixed, Setting{s.Axes[i].Name, s.Axes[i].number(s.Cases[cases[0]].At[i])})
		}
	}
	switch {
	case len(v.points) < 2 || v.x == nil:
	case len(p.through) > 0:
		out.Safe = v.sides()
	case v.y == nil && v.x.Levels != nil:
		out.Safe = v.words()
	case v.y == nil || len(v.rows) == 1:
		out.Crossings = v.curve()
		out.Safe = v.ranges()
	case len(v.columns) == 1:
		v.turn()
		out.Crossings = v.curve()
		out.Safe = v.ranges()
		v.turnBack(&out)
	default:
		out.Contours, out.Safe = v.surface()
	}
	if out.Safe == nil {
		out.Safe = []Box{}
	}
	out.Sentence = v.sentence(out)
	out.Warnings = append(v.notes, v.complaints(out)...)
	return out
}

// ordered are the points in order, equal ones as they were. Points are large, so places are sorted instead of them.
func ordered(points []Point, compare func(a, b *Point) int) []Point {
	places := make([]int, len(points))
	for i := range places {
		places[i] = i
	}
	slices.SortFunc(places, func(i, j int) int { return cmp.Or(compare(&points[i], &points[j]), i-j) })
	out := make([]Point, len(points))
	for k, i := range places {
		out[k] = points[i]
	}
	return out
}

// point has its place on the axes of the view.
func (v *view) point(p Point) Point {
	p.X, p.Y = tally.Unknown(), tally.Unknown()
	if v.p.x >= 0 {
		p.X = real(p.At[v.p.x])
	}
	if v.p.y >= 0 {
		p.Y = real(p.At[v.p.y])
	}
	return p
}

func (v *view) occurring(of func(Point) float64) []float64 {
	var all []float64
	for _, p := range v.points {
		all = append(all, of(p))
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// turn swaps the axes, for a slice that varies along the second one alone.
func (v *view) turn() {
	v.x, v.y = v.y, v.x
	v.columns, v.rows = v.rows, v.columns
	for i := range v.points {
		v.points[i].X, v.points[i].Y = v.points[i].Y, v.points[i].X
	}
}

// turnBack swaps them again. Crossings along the second axis would be taken for some along the first, so they are left out.
func (v *view) turnBack(out *Slice) {
	v.turn()
	out.Crossings = nil
	for i, b := range out.Safe {
		y := b.X
		out.Safe[i].X, out.Safe[i].Y = v.whole(v.x, v.columns[0], v.columns[0]), &y
	}
}

// whole is a range with its edges marked. Of an axis in parts it goes from middle to middle, since a mean over a part says little of
// its ends, and to the edge of what was explored.
func (v *view) whole(a *Axis, from, to float64) Range {
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

// words are boxes of one level each.
func (v *view) words() (all []Box) {
	for _, p := range v.points {
		if p.sure(v.wanted) {
			all = append(all, v.box([]Point{p}, Range{From: float64(p.X), To: float64(p.X)}, nil))
		}
	}
	return all
}

// ranges are the rows of neighbouring cases that reach the wanted chance, the one with the most cases first.
func (v *view) ranges() (all []Box) {
	for i := 0; i < len(v.points); i++ {
		k := i
		for k < len(v.points) && v.points[k].sure(v.wanted) {
			k++
		}
		if k > i {
			all = append(all, v.box(v.points[i:k], v.whole(v.x, float64(v.points[i].X), float64(v.points[k-1].X)), nil))
			i = k
		}
	}
	slices.SortStableFunc(all, func(a, b Box) int { return b.Cases - a.Cases })
	return all
}

func (v *view) box(points []Point, x Range, y *Range) Box {
	b := Box{X: x, Y: y, Cases: len(points), Lowest: 1, points: points}
	for _, p := range points {
		b.Lowest = min(b.Lowest, p.Chance)
	}
	if i := Best(points, v.wanted); i >= 0 {
		b.Best = &points[i]
	}
	return b
}

// sideLeast is how many cases make a side of a range worth telling, where other axes are looked through.
const sideLeast = 8

// sides looks through the other axes: the largest stretch from an end of either axis in which every case reaches the wanted chance.
func (v *view) sides() []Box {
	var best Box
	for _, axis := range []*Axis{v.x, v.y} {
		if axis == nil || axis.Levels != nil {
			continue
		}
		of := func(p Point) float64 { return float64(p.X) }
		if axis == v.y {
			of = func(p Point) float64 { return float64(p.Y) }
		}
		points := ordered(v.points, func(a, b *Point) int { return cmp.Compare(of(*a), of(*b)) })
		for range 2 {
			n := slices.IndexFunc(points, func(p Point) bool { return !p.sure(v.wanted) })
			if n < 0 {
				n = len(points)
			}
			if n > best.Cases && n >= sideLeast {
				a, b := of(points[0]), of(points[n-1])
				all := v.everywhere(v.y)
				best = v.box(points[:n], v.whole(v.x, min(a, b), max(a, b)), all)
				if axis == v.y {
					y := v.whole(v.y, min(a, b), max(a, b))
					best = v.box(points[:n], *v.everywhere(v.x), &y)
				}
			}
			slices.Reverse(points)
		}
	}
	if best.Cases == 0 {
		return nil
	}
	return []Box{best}
}

// everywhere is all of an axis, nil for none.
func (v *view) everywhere(a *Axis) *Range {
	if a == nil || len(a.Values) == 0 {
		return nil
	}
	r := v.whole(a, a.Values[0], a.Values[len(a.Values)-1])
	return &r
}
