package window

import (
	"fmt"
	"math"
	"slices"

	"onegrain/analysis/tally"
)

// Window is the answer of Find.
type Window struct {
	Wanted    float64         `json:"wanted_chance"`
	Set       []Axis          `json:"-"` // all axes that are set, in parts where they were cut
	X         *Axis           `json:"x"` // nil where nothing is varied
	Y         *Axis           `json:"y"` // nil where one axis is
	Slices    []Slice         `json:"slices"`
	Best      *Point          `json:"best"`                    // by the rule of Best, of all settings; nil for none
	Averaged  []string        `json:"averaged_over,omitempty"` // labels of the axes that are not known
	Sentence  string          `json:"sentence"`
	Agreement tally.Agreement `json:"exact_against_counted"`
	Warnings  []string        `json:"warnings"`
}

// Slice is the study at one setting of all other axes.
type Slice struct {
	Fixed     []Setting  `json:"fixed,omitempty"`
	Points    []Point    `json:"points"`
	Crossings []Crossing `json:"crossings,omitempty"` // one axis
	Contours  *Contours  `json:"contours,omitempty"`  // two axes
	Safe      []Box      `json:"safe"`                // the largest first; along one axis all ranges, over two the largest box alone
	Sentence  string     `json:"sentence"`
	Warnings  []string   `json:"warnings,omitempty"`
}

// Crossing is a limit along one axis.
type Crossing struct {
	At       tally.Real     `json:"at"`
	Interval tally.Interval `json:"interval"` // null at an end that lies beyond what was explored
	Falls    bool           `json:"falls"`    // the chance falls below the wanted one as the axis rises
	Method   string         `json:"method"`
}

// Contours are lines of the wanted chance over two axes, each a row of places in the units of the axes.
type Contours struct {
	Line  [][][2]float64 `json:"line"`
	Inner [][][2]float64 `json:"inner,omitempty"` // where even the lower end of the 95 % interval reaches it
	Outer [][][2]float64 `json:"outer,omitempty"` // where no more than the upper end does
	// Method says how the surface was made.
	Method string `json:"method"`
}

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

// mostSlices are shown; more would not be read.
const mostSlices = 12

// Find looks for the part of the explored range where a single grain is as likely as wanted. The error names an option that cannot be;
// a study without cases, axes or success is no error, and is told in the sentence.
func Find(s Study, o Options) (Window, error) {
	wanted, err := o.chance()
	if err != nil {
		return Window{}, err
	}
	w := Window{Wanted: wanted, Slices: []Slice{}}
	if err := s.sound(); err != nil {
		return Window{}, err
	}
	var counts []tally.Count
	for _, c := range s.Cases {
		counts = append(counts, c.count())
	}
	w.Agreement = tally.Agree(counts, !s.Common)
	for _, name := range []string{o.X, o.Y} {
		if slices.ContainsFunc(s.Axes, func(a Axis) bool { return a.Name == name && a.Unknown }) {
			return Window{}, fmt.Errorf("window: axis %q is not known (role = \"unknown\") and averaged over: look along what is set", name)
		}
	}
	s = s.Averaged()
	p, err := s.plan(o)
	if err != nil {
		return Window{}, err
	}
	if p.x >= 0 {
		w.X = &s.Axes[p.x]
	}
	if p.y >= 0 {
		w.Y = &s.Axes[p.y]
	}
	points := s.Points(wanted)
	if i := Best(points, wanted); i >= 0 {
		w.Best = &points[i]
	}
	w.Set, w.Averaged = s.Axes, s.Over
	groups := s.slices(p)
	for _, g := range some(groups) {
		w.Slices = append(w.Slices, s.slice(p, g, points, wanted))
	}
	w.Warnings = slices.Concat(p.warnings, s.Notes, s.warnings(&w, points, len(groups)))
	w.Sentence = s.overall(&w)
	return w, nil
}

// sound tells whether each case has a value on each axis.
func (s *Study) sound() error {
	for _, c := range s.Cases {
		if len(c.At) != len(s.Axes) {
			return fmt.Errorf("window: case %s has %d values for %d axes", c.ID, len(c.At), len(s.Axes))
		}
	}
	return nil
}

// some are up to mostSlices of the groups, spread evenly, the first and the last among them.
func some(groups [][]int) [][]int {
	if len(groups) <= mostSlices {
		return groups
	}
	var out [][]int
	for k := range mostSlices {
		out = append(out, groups[k*(len(groups)-1)/(mostSlices-1)])
	}
	return out
}

// plan says along which axes to look; −1 for none. others are the axes that make slices.
type plan struct {
	x, y     int
	others   []int
	through  []int // axes that are looked through
	warnings []string
}

func (s *Study) plan(o Options) (plan, error) {
	p := plan{x: -1, y: -1}
	if s.together() {
		p.x = 0
		p.warnings = append(p.warnings, fmt.Sprintf("all axes were varied together: along %s the others change too", s.Axes[0].Label))
		return p, nil
	}
	axes, err := s.chosen(o)
	if err != nil {
		return p, err
	}
	if len(axes) > 0 {
		p.x = axes[0]
	}
	if len(axes) > 1 {
		p.y = axes[1]
	}
	for i := range s.Axes {
		if !slices.Contains(axes, i) && s.Axes[i].levels() > 1 {
			p.others = append(p.others, i)
		}
	}
	if len(p.others) > 0 && (s.Sampled && s.Over == nil || 2*len(s.slices(p)) > len(s.Cases)) {
		p.through, p.others = p.others, nil
	}
	return p, nil
}

func (a Axis) levels() int { return max(len(a.Values), len(a.Levels)) }

// chosen are the axes to look along: those asked for, else the two with the most numbers, in the order of the study; else one of words.
func (s *Study) chosen(o Options) ([]int, error) {
	var axes []int
	for _, name := range []string{o.X, o.Y} {
		i := slices.IndexFunc(s.Axes, func(a Axis) bool { return a.Name == name })
		switch {
		case name == "":
		case i < 0:
			return nil, fmt.Errorf("window: axis %q: the study does not vary it; it varies %s", name, s.names())
		case len(axes) == 1 && axes[0] == i:
			return nil, fmt.Errorf("window: axis %q is asked for twice: name two different ones", name)
		case s.Axes[i].Levels != nil && (o.Y != ""):
			return nil, fmt.Errorf("window: axis %q takes words and cannot be one of two: name axes of numbers, words make slices", name)
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
	if len(axes) == 0 {
		if i := slices.IndexFunc(s.Axes, func(a Axis) bool { return a.levels() > 1 }); i >= 0 {
			axes = []int{i}
		}
	}
	return axes, nil
}

func (s *Study) names() string {
	if len(s.Axes) == 0 {
		return "nothing"
	}
	text := ""
	for i, a := range s.Axes {
		if i > 0 {
			text += ", "
		}
		text += a.Name
	}
	return text
}

// together tells whether several axes of numbers rise or fall with the first, case by case.
func (s *Study) together() bool {
	n := len(s.Cases)
	if len(s.Axes) < 2 || n < 2 {
		return false
	}
	for _, a := range s.Axes {
		if len(a.Values) != n {
			return false
		}
	}
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return sign(s.Cases[a].At[0] - s.Cases[b].At[0]) })
	for i := range s.Axes {
		way := sign(s.Cases[order[1]].At[i] - s.Cases[order[0]].At[i])
		for k := 1; k < n; k++ {
			if sign(s.Cases[order[k]].At[i]-s.Cases[order[k-1]].At[i]) != way {
				return false
			}
		}
	}
	return true
}

func sign(x float64) int {
	switch {
	case x < 0:
		return -1
	case x > 0:
		return 1
	}
	return 0
}

// slices groups the cases by their settings on the other axes, in the order of these settings.
func (s *Study) slices(p plan) [][]int {
	index := map[string]int{}
	var groups [][]int
	for c, one := range s.Cases {
		key := ""
		for _, i := range p.others {
			key += fmt.Sprintf("%x ", math.Float64bits(one.At[i]))
		}
		g, known := index[key]
		if !known {
			g = len(groups)
			index[key], groups = g, append(groups, nil)
		}
		groups[g] = append(groups[g], c)
	}
	slices.SortStableFunc(groups, func(a, b []int) int {
		for _, i := range p.others {
			if d := sign(s.Cases[a[0]].At[i] - s.Cases[b[0]].At[i]); d != 0 {
				return d
			}
		}
		return 0
	})
	return groups
}
