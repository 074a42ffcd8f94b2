package window

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
)

const (
	disagree = "exact and counted chances disagree (p = %.1e over %s): one of them is wrong, so trust neither until " +
		"the cause is known"
	assumed = "the odds assume the growth and nucleation laws of the study, and strays that start independently of one " +
		"another; other things that spoil a grain are not in them"
	unchecked    = "no run was counted, so nothing checks the exact odds: run a few cases with replicates too"
	overPlacings = "seeds are placed with scatter: the exact chance of a case is the mean over %s placings of its " +
		"seeds, and more placings make it more certain"
	tooFew   = "%s fewer than %d runs, which leaves a counted share uncertain by up to ±%.0f %%: raise random.replicates"
	noSingle = "%s cannot become a single grain, strays or not, since %s"

	steep         = "the chance changes by %.0f %% from one case to the next: take closer values around the limit"
	lookedThrough = "nearly every case has its own values of what is not shown (%s): all cases are shown together, and " +
		"no limit is drawn"
)

// fewRuns leave an interval wider than ± 0.2 in the middle.
const fewRuns = 25

// warnings of the whole study.
func (s *Study) warnings(w *Window, points []Point, groups int) (all []string) {
	add := func(when bool, format string, values ...any) {
		if when {
			all = append(all, fmt.Sprintf(format, values...))
		}
	}
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
	a := w.Agreement
	add(a.Disagree(), disagree, float64(a.PValue), plural(a.Cases, "case", "cases"))
	add(exact > 0, assumed)
	add(exact > 0 && a.Cases == 0, unchecked)
	least, most := s.placings()
	over := fmt.Sprint(least)
	if least < most {
		over += " to " + fmt.Sprint(most)
	}
	add(exact > 0 && most > 0, overPlacings, over)
	all = append(all, LawNotes(points)...)
	add(few > 0, tooFew, plural(few, "case has", "cases have"), fewRuns, 50*widest)
	add(none > 0, "%s", plural(none, "case has no result: it failed or was not finished",
		"cases have no result: they failed or were not finished"))
	for _, reason := range slices.Sorted(maps.Keys(reasons)) {
		add(true, noSingle, s.cases(reasons[reason]), reason)
	}
	add(groups > len(w.Slices), "%d of %d settings of the other axes are shown, evenly chosen", len(w.Slices), groups)
	return all
}

// complaints of one slice.
func (v *view) complaints(out Slice) (all []string) {
	if len(v.p.through) > 0 {
		var names []string
		for _, i := range v.p.through {
			names = append(names, v.s.Axes[i].Label)
		}
		all = append(all, fmt.Sprintf(lookedThrough, strings.Join(names, ", ")))
	}
	var edges []string
	for _, b := range out.Safe {
		for k, r := range b.ranges() {
			if len(v.p.through) == 0 || !r.FromEdge || !r.ToEdge {
				edges = append(edges, v.axes[k].edges(r)...)
			}
		}
	}
	if len(edges) > 0 {
		at := strings.Join(edges, ", ")
		all = append(all, "the range ends at the edge of what was explored, at the "+at+": it may go on there")
	}
	if len(out.Crossings) > 1 || len(v.axes) == 1 && len(out.Safe) > 1 {
		all = append(all, "the chance neither only rises nor only falls along "+v.axes[0].Label)
	}
	if most := v.steepest(); most > 0.8 {
		all = append(all, fmt.Sprintf(steep, 100*most))
	}
	return all
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
