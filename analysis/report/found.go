package report

import (
	"slices"
	"sort"
	"strings"

	"onegrain/analysis/tally"
	"onegrain/analysis/window"
)

// mostRows of cases are listed on a page.
const mostRows = 200

// points are the cases, in the order of the slices.
func (s *Sources) points() (all []window.Point) {
	for _, sl := range s.Findings.Window.Slices {
		all = append(all, sl.Points...)
	}
	return all
}

// listed are the cases; where they are too many, the best one and some of them evenly.
func (s *Sources) listed() (points []window.Point) {
	all := s.points()
	if len(all) <= mostRows {
		return all
	}
	if b := s.Findings.Window.Best; b != nil {
		points = append(points, *b)
	}
	for k := range mostRows {
		points = append(points, all[k*(len(all)-1)/(mostRows-1)])
	}
	return points
}

// narrow tells whether the best case lies outside of every range that the sentence of its slice may
// name, while there is one.
func (s *Sources) narrow() bool {
	ranges, w := false, s.Findings.Window
	for _, sl := range w.Slices {
		i := slices.IndexFunc(sl.Points, func(q window.Point) bool { return q.ID == w.Best.ID })
		for _, b := range sl.Safe {
			ranges = true
			if i >= 0 && b.Holds(sl.Points[i]) {
				return false
			}
		}
	}
	return ranges
}

// hottest is the stage that ends hottest: before it the body is not molten, and undercooling means
// nothing.
func (s *Sources) hottest() (at int) {
	for i, r := range s.Shown.Stages {
		if r.TemperatureC > s.Shown.Stages[at].TemperatureC {
			at = i
		}
	}
	return at
}

// chosen is the number of the best case among those whose seeds are placed with scatter; -1 where
// there is one case only, or none is best.
func (s *Sources) chosen() int {
	f := s.Findings
	for i, p := range f.Scatter.Cases {
		if f.Best != nil && len(f.Scatter.Cases) > 1 && p.Case >= 0 && p.Case < len(f.PerCase) &&
			f.PerCase[p.Case].ID == f.Best.ID {
			return i
		}
	}
	return -1
}

// placings are the cases whose seeds are placed with scatter, in the order of the study.
func (s *Sources) placings() any {
	all := slices.Clone(s.Findings.Scatter.Cases)
	sort.SliceStable(all, func(i, j int) bool { return all[i].Case < all[j].Case })
	return all
}

// ratio is not known where there is no whole.
func ratio(part, whole float64) tally.Real {
	if whole > 0 {
		return tally.Real(part / whole)
	}
	return tally.Unknown()
}

// values are those of the axes in a case.
func (s *Sources) values(at int) []string {
	axes := s.Findings.Axes
	row := slices.Repeat([]string{unknown}, len(axes))
	if at >= 0 && at < len(s.Findings.PerCase) {
		for i, one := range s.Findings.PerCase[at].Settings {
			row[i] = powers(strings.TrimSpace(strings.TrimSuffix(one.Value, axes[i].Unit)))
		}
	}
	return row
}

// label of an axis for people.
func (s *Sources) label(name string) string {
	for _, a := range s.Findings.Axes {
		if a.Name == name {
			return a.Label
		}
	}
	return name
}

// Settings of a case in words; empty where nothing was varied, or where they are not known case by
// case.
func (s *Sources) Settings(id string) string {
	for _, c := range s.Findings.PerCase {
		if c.ID == id {
			return s.settings(c.Settings)
		}
	}
	if b := s.Findings.Best; b != nil && b.ID == id {
		return s.settings(b.Settings)
	}
	return ""
}

// settings in words.
func (s *Sources) settings(all []window.Setting) string {
	var parts []string
	for _, one := range all {
		parts = append(parts, s.label(one.Axis)+" "+powers(one.Value))
	}
	return strings.Join(parts, ", ")
}

// cautions are warnings as sentences, each once.
func cautions(lists ...[]string) (all []string) {
	for _, t := range slices.Concat(lists...) {
		if t = sentence(t); !slices.Contains(all, t) {
			all = append(all, t)
		}
	}
	return all
}
