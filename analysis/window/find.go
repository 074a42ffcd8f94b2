package window

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"onegrain/analysis/tally"
)

// Options of Find.
type Options struct {
	Chance float64 // wanted, above 0 and below 1; 0 means 0.95
	X, Y   string  // names of the axes to look along; empty: chosen
}

// Window is the answer of Find.
type Window struct {
	Wanted    float64         `json:"wanted_chance"`
	Set       []Axis          `json:"-"` // all axes that are set, in parts where they were cut
	X         *Axis           `json:"x"` // nil where nothing is varied
	Y         *Axis           `json:"y"` // nil where one axis is
	Slices    []Slice         `json:"slices"`
	Best      *Point          `json:"best"`                    // of all settings, by the rule of Best; nil for none
	Averaged  []string        `json:"averaged_over,omitempty"` // labels of the axes that are not known
	Sentence  string          `json:"sentence"`
	Agreement tally.Agreement `json:"exact_against_counted"`
	Warnings  []string        `json:"warnings"`
}

// Find looks for the part of the explored range where a single grain is as likely as wanted. The
// error names an option that cannot be; a study without cases, axes or success is no error, and is
// told in the sentence.
func Find(s Study, o Options) (Window, error) {
	w := Window{Wanted: cmp.Or(o.Chance, 0.95), Slices: []Slice{}}
	if !(w.Wanted > 0 && w.Wanted < 1) {
		return Window{}, fmt.Errorf("window: Chance = %v: wanted a chance above 0 and below 1, such as 0.95", o.Chance)
	}
	var counts []tally.Count
	for _, c := range s.Cases {
		if len(c.At) != len(s.Axes) {
			return Window{}, fmt.Errorf("window: case %s has %d values for %d axes", c.ID, len(c.At), len(s.Axes))
		}
		counts = append(counts, c.count())
	}
	w.Agreement = tally.Agree(counts, !s.Common)
	for _, a := range s.Axes {
		if a.Unknown && (a.Name == o.X || a.Name == o.Y) {
			return Window{}, fmt.Errorf("window: axis %q is not known (role = \"unknown\") and averaged over: look along "+
				"what is set", a.Name)
		}
	}
	s = s.Averaged()
	points := s.Points(w.Wanted)
	p, err := s.plan(o, points)
	if err != nil {
		return Window{}, err
	}
	if len(p.axes) > 0 {
		w.X = &s.Axes[p.axes[0]]
	}
	if len(p.axes) > 1 {
		w.Y = &s.Axes[p.axes[1]]
	}
	if i := Best(points, w.Wanted); i >= 0 {
		w.Best = &points[i]
	}
	w.Set, w.Averaged = s.Axes, s.Over
	groups := p.slices(points)
	shown := min(len(groups), mostSlices)
	for k := range shown { // evenly spread, the first and the last among them
		g := k
		if shown < len(groups) {
			g = k * (len(groups) - 1) / (shown - 1)
		}
		w.Slices = append(w.Slices, s.slice(p, groups[g], w.Wanted))
	}
	w.Warnings = slices.Concat(s.Notes, s.warnings(&w, points, len(groups)))
	w.Sentence = w.overall(len(points))
	return w, nil
}

// mostSlices are shown; more would not be read.
const mostSlices = 12

// plan says along which axes to look, up to two.
type plan struct {
	axes    []int
	others  []int // make slices
	through []int // are looked through
}

func (s *Study) plan(o Options, points []Point) (p plan, err error) {
	if s.together() {
		p.axes = []int{0}
		note := fmt.Sprintf("all axes were varied together: along %s the others change too", s.Axes[0].Label)
		s.Notes = append([]string{note}, s.Notes...)
		return p, nil
	}
	if p.axes, err = s.chosen(o); err != nil {
		return p, err
	}
	for i, a := range s.Axes {
		if !slices.Contains(p.axes, i) && a.levels() > 1 {
			p.others = append(p.others, i)
		}
	}
	if len(p.others) > 0 && (s.Sampled && s.Over == nil || 2*len(p.slices(points)) > len(points)) {
		p.through, p.others = p.others, nil
	}
	return p, nil
}

// slices groups the points by their settings on the other axes, in the order of these settings.
func (p plan) slices(points []Point) [][]Point {
	setting := func(q Point) []float64 { return pick(q.At, p.others) }
	groups := grouped(points, setting)
	slices.SortStableFunc(groups, func(a, b []Point) int { return slices.Compare(setting(a[0]), setting(b[0])) })
	return groups
}

// chosen are the axes to look along: those asked for, else the two with the most numbers, in the
// order of the study; else one of words.
func (s *Study) chosen(o Options) (axes []int, err error) {
	for _, name := range []string{o.X, o.Y} {
		i := slices.IndexFunc(s.Axes, func(a Axis) bool { return a.Name == name })
		switch {
		case name == "":
		case i < 0:
			return nil, fmt.Errorf("window: axis %q: the study does not vary it; it varies %s", name, s.names())
		case slices.Contains(axes, i):
			return nil, fmt.Errorf("window: axis %q is asked for twice: name two different ones", name)
		case s.Axes[i].Levels != nil && o.Y != "":
			return nil, fmt.Errorf("window: axis %q takes words and cannot be one of two: name axes of numbers, words make "+
				"slices", name)
		default:
			axes = append(axes, i)
		}
	}
	if len(axes) > 0 {
		return axes, nil
	}
	for i, a := range s.Axes {
		if len(a.Values) > 1 {
			axes = append(axes, i)
		}
	}
	slices.SortStableFunc(axes, func(a, b int) int { return s.Axes[b].levels() - s.Axes[a].levels() })
	axes = axes[:min(2, len(axes))]
	slices.Sort(axes)
	if i := slices.IndexFunc(s.Axes, func(a Axis) bool { return a.levels() > 1 }); len(axes) == 0 && i >= 0 {
		axes = []int{i}
	}
	return axes, nil
}

func (s *Study) names() string {
	var all []string
	for _, a := range s.Axes {
		all = append(all, a.Name)
	}
	return cmp.Or(strings.Join(all, ", "), "nothing")
}

// together tells whether several axes of numbers rise or fall with the first, case by case.
func (s *Study) together() bool {
	n := len(s.Cases)
	if len(s.Axes) < 2 || n < 2 || slices.ContainsFunc(s.Axes, func(a Axis) bool { return len(a.Values) != n }) {
		return false
	}
	cases := slices.SortedFunc(slices.Values(s.Cases), func(a, b Case) int { return cmp.Compare(a.At[0], b.At[0]) })
	way := func(k, axis int) int { return cmp.Compare(cases[k].At[axis], cases[k-1].At[axis]) }
	for i := range s.Axes {
		for k := 2; k < n; k++ {
			if way(k, i) != way(1, i) {
				return false
			}
		}
	}
	return true
}
