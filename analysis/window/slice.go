package window

import (
	"cmp"
	"slices"

	"onegrain/analysis/tally"
)

// Setting is an axis held at one value.
type Setting struct {
	Axis  string `json:"axis"`
	Value string `json:"value"` // with its unit
}

// Slice is the study at one setting of all other axes.
type Slice struct {
	Fixed     []Setting `json:"fixed,omitempty"`
	Points    []Point   `json:"points"`
	Crossings []limit   `json:"crossings,omitempty"` // one axis
	Contours  *contours `json:"contours,omitempty"`  // two axes
	// Safe are boxes, the largest first; along one axis all ranges, over two the largest box alone.
	Safe     []Box    `json:"safe"`
	Sentence string   `json:"sentence"`
	Warnings []string `json:"warnings,omitempty"`
}

// view is a slice at work: its points along up to two axes.
type view struct {
	s       *Study
	p       plan
	axes    []*Axis
	wanted  float64
	points  []Point
	columns []float64 // x values that occur in the slice, rising
	rows    []float64 // y values
	notes   []string
}

// slice looks at the points of one setting of the other axes.
func (s *Study) slice(p plan, points []Point, wanted float64) Slice {
	v := &view{s: s, p: p, wanted: wanted}
	for _, i := range p.axes {
		v.axes = append(v.axes, &s.Axes[i])
	}
	for i := range points {
		at := [2]real{tally.Unknown(), tally.Unknown()}
		for k, axis := range p.axes {
			at[k] = real(points[i].At[axis])
		}
		points[i].X, points[i].Y = at[0], at[1]
	}
	v.points = ordered(points, func(a, b *Point) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) })
	v.columns, v.rows = v.occurring(0), v.occurring(1)
	out := Slice{Points: v.points, Safe: []Box{}}
	for _, i := range p.others {
		out.Fixed = append(out.Fixed, Setting{s.Axes[i].Name, s.Axes[i].Text(points[0].At[i])})
	}
	v.look(&out)
	out.Sentence = v.sentence(out)
	out.Warnings = append(v.notes, v.complaints(out)...)
	return out
}

// look finds limits and boxes.
func (v *view) look(out *Slice) {
	var safe []Box
	switch one := len(v.axes) == 1; {
	case len(v.points) < 2 || len(v.axes) == 0:
	case len(v.p.through) > 0:
		safe = v.sides()
	case one && v.axes[0].Levels != nil:
		safe = v.ranges()
	case one || len(v.rows) == 1:
		out.Crossings, safe = v.crossings(), v.ranges()
	case len(v.columns)*len(v.rows) > 4*len(v.points):
		v.notes = append(v.notes, scatteredNote)
		safe = v.corner()
	default:
		out.Contours, safe = v.contours(), v.gridBox()
	}
	out.Safe = append(out.Safe, safe...)
}

// ordered are the points in order, equal ones as they were. Points are large, so places are sorted
// instead of them.
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

func (v *view) occurring(axis int) (all []float64) {
	for _, p := range v.points {
		all = append(all, p.place(axis))
	}
	slices.Sort(all)
	return slices.Compact(all)
}
