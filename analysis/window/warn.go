package window

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
)

// warnings of the whole study.
func (s *Study) warnings(w *Window, points []Point, groups int) (all []string) {
	var n struct{ exact, none, few int }
	hopeless := map[string]int{}
	for _, p := range points {
		switch p.Source {
		case fromNone:
			n.none++
		case fromExact, fromMean:
			n.exact++
		}
		if p.Source != fromExact && p.Runs > 0 && p.Runs < fewRuns {
			n.few++
		}
		if p.Verdict == never {
			hopeless[Reason(p.Because)]++
		}
	}
	if w.Agreement.Disagree() {
		all = append(all, fmt.Sprintf("exact and counted chances disagree (p = %.1e over %s): something is wrong with one of them, so trust neither before it is known what", float64(w.Agreement.PValue), plural(w.Agreement.Cases, "case", "cases")))
	}
	if n.exact > 0 {
		all = append(all, "the odds assume the growth and nucleation laws of the study, and nuclei independent of one another; what else spoils a grain is not in them")
	}
	if n.exact > 0 && w.Agreement.Cases == 0 {
		all = append(all, "no run was counted, so nothing checks the exact odds: run a few cases with replicates too")
	}
	if least, most := s.placings(); n.exact > 0 && most > 0 {
		over := fmt.Sprint(least)
		if least < most {
			over += " to " + fmt.Sprint(most)
		}
		all = append(all, "seeds are placed with scatter: the exact chance of a case is the mean over "+over+" placings of its seeds, and as uncertain as their number makes it")
	}
	if n.few > 0 {
		all = append(all, fmt.Sprintf("%s fewer than %d runs, which leaves a counted share uncertain by up to ±%.0f %%: raise random.replicates", plural(n.few, "case has", "cases have"), fewRuns, 50*widest(points)))
	}
	if n.none > 0 {
		all = append(all, plural(n.none, "case has no result: it failed or was not finished", "cases have no result: they failed or were not finished"))
	}
	for _, reason := range slices.Sorted(maps.Keys(hopeless)) {
		all = append(all, fmt.Sprintf("%s cannot become a single grain, strays or not, since %s", s.cases(hopeless[reason]), reason))
	}
	if groups > len(w.Slices) {
		all = append(all, fmt.Sprintf("%d of %d settings of the other axes are shown, evenly chosen", len(w.Slices), groups))
	}
	return all
}

// fewRuns leave an interval wider than ± 0.2 in the middle.
const fewRuns = 25

// widest is the widest interval of the points that were counted too seldom.
func widest(points []Point) (most float64) {
	for _, p := range points {
		if p.Source != fromExact && p.Runs > 0 && p.Runs < fewRuns {
			most = math.Max(most, float64(p.Interval.High-p.Interval.Low))
		}
	}
	return most
}

// complaints of one slice.
func (v *view) complaints(out Slice) (all []string) {
	if len(v.p.through) > 0 {
		var names []string
		for _, i := range v.p.through {
			names = append(names, v.s.Axes[i].Label)
		}
		all = append(all, fmt.Sprintf("nearly every case has values of its own of what is not shown (%s): points look through it, and no limit is drawn", strings.Join(names, ", ")))
	}
	var edges []string
	for _, b := range out.Safe {
		edges = append(edges, v.edges(v.x, b.X)...)
		if b.Y != nil {
			edges = append(edges, v.edges(v.y, *b.Y)...)
		}
	}
	if len(edges) > 0 {
		all = append(all, "the range ends where exploring ended, at the "+strings.Join(edges, ", ")+": it may go on there")
	}
	if len(out.Crossings) > 1 || v.y == nil && len(out.Safe) > 1 {
		all = append(all, "the chance neither only rises nor only falls along "+v.x.Label)
	}
	if steep := v.steepest(); steep > 0.8 {
		all = append(all, fmt.Sprintf("the chance changes by %.0f %% from one case to the next: take closer values around the limit", 100*steep))
	}
	return all
}

func (v *view) edges(a *Axis, r Range) (all []string) {
	if a == nil || len(a.Values) < 2 || len(v.p.through) > 0 && r.FromEdge && r.ToEdge {
		return nil
	}
	if r.FromEdge {
		all = append(all, "lowest "+a.Label)
	}
	if r.ToEdge {
		all = append(all, "highest "+a.Label)
	}
	return all
}

// steepest is the largest step across the wanted chance between neighbours along the first axis.
func (v *view) steepest() (most float64) {
	if v.y != nil || v.x == nil || v.x.Levels != nil {
		return 0
	}
	for i := range max(0, len(v.points)-1) {
		a, b := v.points[i], v.points[i+1]
		if (a.Verdict == yes) != (b.Verdict == yes) && a.Chance.Known() && b.Chance.Known() {
			most = math.Max(most, math.Abs(float64(a.Chance-b.Chance)))
		}
	}
	return most
}
