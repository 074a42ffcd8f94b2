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

// cases are the window, and the table of all cases.
func (s *Sources) cases() Section {
	out := Section{ID: "window", Title: "The window", Blocks: s.figures("window")}
	points := s.points()
	if len(points) == 0 {
		return out
	}
	return Section{ID: out.ID, Title: out.Title, Blocks: append(out.Blocks, s.table(points)...)}
}

// table of the cases; where they are too many, of some of them evenly.
func (s *Sources) table(points []window.Point) []Block {
	f := s.Findings
	kept, what := points, "cases"
	if len(f.Window.Averaged) > 0 {
		what = "settings, each the mean over what is not known"
	}
	caption := fmt.Sprintf("All %s. The marked row is the best case.", what)
	if f.Best == nil {
		caption = fmt.Sprintf("All %s.", what)
	}
	if n := len(points); n > mostRows {
		kept = nil
		for k := range mostRows {
			kept = append(kept, points[k*(n-1)/(mostRows-1)])
		}
		if b := f.Window.Best; b != nil {
			kept = append([]window.Point{*b}, kept...)
		}
		caption = fmt.Sprintf("%d of %d %s, evenly, the best one first. The file cases.parquet in the results folder has all of them.", mostRows, n, what)
	}
	t := &Table{Caption: caption, Marked: -1}
	s.head(t)
	for i, p := range kept {
		if f.Best != nil && p.ID == f.Best.ID && t.Marked < 0 {
			t.Marked = i
		}
		t.Rows = append(t.Rows, s.row(p))
	}
	shown := Block{Table: t}
	if len(t.Rows) > openRows {
		shown = Block{Fold: &Fold{Summary: "The table of cases", Blocks: []Block{shown}}}
	}
	return []Block{shown, {Fold: &Fold{Summary: "What the columns mean", Blocks: []Block{{List: meanings(f.Window)}}}}}
}

// head names the columns.
func (s *Sources) head(t *Table) {
	w := s.Findings.Window
	add := func(name string, number bool) { t.Head, t.Numbers = append(t.Head, name), append(t.Numbers, number) }
	for _, a := range w.Set {
		add(headed(a), a.Levels == nil)
	}
	for _, name := range []string{"Exact odds", "Strays expected", "Counted", "95 % interval", "Clear diameter, mm", "Eight of ten, mm", "Solid after, h", "Programme, h"} {
		add(name, true)
	}
	add("Reaches "+strings.ReplaceAll(chance(w.Wanted), " ", "\u00a0"), false)
	if len(w.Averaged) > 0 {
		add("Points", true)
	}
}

// headed is an axis as the head of a column.
func headed(a window.Axis) string {
	name := sentenceCase(a.Label)
	if a.Unit != "" {
		name += ", " + a.Unit
	}
	return name
}

// row of a case.
func (s *Sources) row(p window.Point) []string {
	var row []string
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
	row = append(row, brief(exact), strays(real(p.Strays)), counted, interval, fixed(real(p.DiameterMM), 1), span(real(p.P10), real(p.P90), 1),
		hours(p.FullH), hours(p.ProgrammeH), verdict(p.Verdict))
	if len(s.Findings.Window.Averaged) > 0 {
		row = append(row, fmt.Sprintf("%d of %d", p.Reach, p.Over))
	}
	return row
}

func verdict(v string) string {
	switch v {
	case "yes", "no":
		return v
	case "open":
		return "open"
	case "never":
		return "never"
	}
	return "no result"
}

func meanings(w window.Window) []string {
	all := []string{
		"Exact odds: chance that the run ends as a single grain, from one run without strays; with seeds placed with scatter the mean over some placings, ± its standard error. A dash where it was not computed.",
		"Strays expected: how many stray grains start before the first one changes anything. The exact odds are e to the minus this number, where the seeded grains become one domain that fills the body.",
		"Counted: runs that ended as a single grain, of how many; with the 95 % interval of that share.",
		"Clear diameter: the largest disc, through the whole thickness, that holds one domain and nothing else: the piece to cut out. Median of the runs, and the range that leaves out one run in ten on either side.",
		"Solid after: when the last liquid is gone (median of the runs that became solid). Programme: its whole length. Both count from the start, heating included.",
		"Reaches " + chance(w.Wanted) + ": yes or no where the odds decide it; open where their interval holds the wanted chance, so that more runs are needed; never where the seeded grains do not become one domain that fills the body, strays or not.",
	}
	if len(w.Averaged) > 0 {
		all = append(all, "Points: of how many values of what is not known ("+strings.Join(w.Averaged, ", ")+") how many reach it. Every other number is the mean over them, in which each counts the same.")
	}
	return all
}
