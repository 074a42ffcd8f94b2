package report

import (
	"fmt"
	"strings"

	"onegrain/analysis/window"
)

// mostRows of cases are told on a page.
const mostRows = 200

// openRows are shown at once; a longer table has to be opened.
const openRows = 60

// cases are the window, and the table of all cases; where they are too many, of some of them
// evenly.
func (s *Sources) cases() []Block {
	out, f := s.figures("window"), s.Findings
	points, what := s.points(), "cases"
	if len(points) == 0 {
		return out
	}
	if len(f.Window.Averaged) > 0 {
		what = "settings, each the mean over what is not known"
	}
	caption := fmt.Sprintf("All %s.", what)
	if f.Best != nil {
		caption += " The marked row is the best case."
	}
	if n := len(points); n > mostRows {
		all := points
		points = nil
		if b := f.Window.Best; b != nil {
			points = append(points, *b)
		}
		for k := range mostRows {
			points = append(points, all[k*(n-1)/(mostRows-1)])
		}
		caption = fmt.Sprintf("%d of %d %s, evenly, the best one first. "+
			"The file cases.parquet in the results folder has all of them.", mostRows, n, what)
	}
	t := tableOf(caption).axes(f.Window.Set).numbers("Exact odds", "Strays expected", "Counted", "95 % interval",
		"Clear diameter, mm", "Eight of ten, mm", "Solid after, h", "Programme, h")
	t.words("Reaches " + strings.ReplaceAll(chance(f.Window.Wanted), " ", "\u00a0"))
	if len(f.Window.Averaged) > 0 {
		t.numbers("Points")
	}
	for _, p := range points {
		if f.Best != nil && p.ID == f.Best.ID && t.Marked < 0 {
			t.Marked = len(t.Rows)
		}
		t.row(s.row(p)...)
	}
	shown := Block{Table: t}
	if len(t.Rows) > openRows {
		shown = fold("The table of cases", shown)
	}
	return append(out, shown, fold("What the columns mean", Block{List: meanings(f.Window)}))
}

// row of a case.
func (s *Sources) row(p window.Point) (row []string) {
	for i, a := range s.Findings.Window.Set {
		row = append(row, powers(a.Bare(p.At[i])))
	}
	counted, interval := unknown, unknown
	if p.Runs > 0 {
		counted, interval = fmt.Sprintf("%d of %d", p.Hits, p.Runs), shares(p.Counted)
	}
	exact := chance(real(p.Exact))
	if p.Source == "exact mean" {
		exact = rough(real(p.Exact))
		if p.Error > 0 { // of one placing it is not known
			exact += " ± " + fixed(100*real(p.Error), 1) + " %"
		}
	}
	row = append(row, brief(exact), strays(real(p.Strays)), counted, interval, fixed(real(p.DiameterMM), 1),
		span(real(p.P10), real(p.P90), 1), hours(p.FullH), hours(p.ProgrammeH), verdict(p.Verdict))
	if len(s.Findings.Window.Averaged) > 0 {
		row = append(row, fmt.Sprintf("%d of %d", p.Reach, p.Over))
	}
	return row
}

func verdict(v string) string {
	if v == "unknown" {
		return "no result"
	}
	return v
}

func meanings(w window.Window) []string {
	all := []string{
		"Exact odds: chance that the run ends as a single grain, from one run without strays; with seeds placed with " +
			"scatter the mean over some placings, ± its standard error. A dash where it was not computed.",
		"Strays expected: how many stray grains start before the first one changes anything. The exact odds are e to the " +
			"minus this number, where the seeded grains become one domain that fills the body.",
		"Counted: runs that ended as a single grain, of how many; with the 95 % interval of that share.",
		"Clear diameter: the largest disc, through the whole thickness, that holds one domain and nothing else: the " +
			"piece to cut out. Median of the runs, and the range that leaves out one run in ten on either side.",
		"Solid after: when the last liquid is gone (median of the runs that became solid). Programme: its whole length. " +
			"Both count from the start, heating included.",
		"Reaches " + chance(w.Wanted) + ": yes or no where the odds decide it; open where their interval holds the " +
			"wanted chance, so that more runs are needed; never where the seeded grains do not become one domain that fills " +
			"the body, strays or not.",
	}
	if len(w.Averaged) > 0 {
		all = append(all, "Points: of how many values of what is not known ("+strings.Join(w.Averaged,
			", ")+") how many reach it. Every other number is the mean over them, in which each counts the same.")
	}
	return all
}
