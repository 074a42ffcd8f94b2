package window

import (
	"math"
	"strings"
)

// fewRuns leave an interval wider than ± 0.2 in the middle.
const fewRuns = 25

// said are the lines of a part of words.txt that has one for each warning.
func (v *view) said(part string, with values) (all []string) {
	for line := range strings.Lines(v.say(part, with)) {
		all = append(all, strings.TrimSpace(line))
	}
	return all
}

// warnings of the whole study.
func (s *Study) warnings(w *Window, points []Point, groups int) []string {
	exact, none, few, widest := 0, 0, 0, 0.0
	reasons := map[string]int{}
	for _, p := range points {
		switch p.Source {
		case fromNone:
			none++
		case fromExact, fromMean, fromLaws:
			exact++
		}
		if p.Source != fromExact && p.Source != fromLaws && p.Runs > 0 && p.Runs < fewRuns {
			few, widest = few+1, math.Max(widest, float64(p.Interval.High-p.Interval.Low))
		}
		if p.Verdict == never {
			reasons[p.Reason()]++
		}
	}
	least, most := s.placings()
	v := &view{s: s, wanted: w.Wanted}
	all := v.said("study doubts", values{"Agreement": w.Agreement, "Exact": exact, "None": none, "Few": few,
		"Least": least, "Most": most, "FewRuns": fewRuns, "Percent": 50 * widest, "Reasons": reasons,
		"Settings": groups, "Shown": len(w.Slices)})
	return append(all, s.LawNotes(points)...)
}

// complaints of one slice.
func (v *view) complaints(out Slice) []string {
	var through, edges []string
	for _, i := range v.p.through {
		through = append(through, v.s.Axes[i].Label)
	}
	for _, b := range out.Safe {
		for k, r := range b.ranges() {
			if len(v.p.through) == 0 || !r.FromEdge || !r.ToEdge {
				edges = append(edges, v.axes[k].edges(r)...)
			}
		}
	}
	step := v.steepest()
	with := values{"Through": strings.Join(through, ", "), "Ends": strings.Join(edges, ", "), "Step": step,
		"Percent": 100 * step}
	if len(out.Crossings) > 1 || len(v.axes) == 1 && len(out.Safe) > 1 {
		with["Bent"] = v.axes[0].Label
	}
	return v.said("slice doubts", with)
}

// steepest is the largest step across the wanted chance between neighbours along the only axis.
func (v *view) steepest() (most float64) {
	if len(v.axes) != 1 || v.axes[0].Levels != nil {
		return 0
	}
	for i := 1; i < len(v.points); i++ {
		a, b := v.points[i-1], v.points[i]
		if a.reaches() != b.reaches() && a.Chance.Known() && b.Chance.Known() {
			most = math.Max(most, math.Abs(float64(a.Chance-b.Chance)))
		}
	}
	return most
}
