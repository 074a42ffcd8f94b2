package report

import (
	"fmt"
	"slices"
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
	kept := points
	caption := "All cases. The marked row is the best case."
	if f.Best == nil {
		caption = "All cases."
	}
	if n := len(points); n > mostRows {
		kept = nil
		for k := range mostRows {
			kept = append(kept, points[k*(n-1)/(mostRows-1)])
		}
		if b := s.best(); b != nil {
			kept = append([]window.Point{*b}, kept...)
		}
		caption = fmt.Sprintf("%d of %d cases, evenly, the best one first. The file cases.parquet in the results folder has all of them.", mostRows, f.Cases)
	}
	t := &Table{Caption: caption, Marked: -1}
	named := map[string][]window.Setting{}
	for _, c := range f.PerCase {
		named[c.ID] = c.Settings
	}
	whole := len(named) > 0
	s.head(t, whole)
	if !whole {
		t.Caption += s.untold()
		for _, sl := range f.Window.Slices {
			for _, p := range sl.Points {
				named[p.ID] = s.placed(sl, p)
			}
		}
	}
	for i, p := range kept {
		if f.Best != nil && p.ID == f.Best.ID && t.Marked < 0 {
			t.Marked = i
		}
		t.Rows = append(t.Rows, s.row(p, named[p.ID], len(t.Head)-caseColumns))
	}
	shown := Block{Table: t}
	if len(t.Rows) > openRows {
		shown = Block{Fold: &Fold{Summary: "The table of cases", Blocks: []Block{shown}}}
	}
	return []Block{shown, {Fold: &Fold{Summary: "What the columns mean", Blocks: []Block{{List: meanings(f.Window.Wanted)}}}}}
}

func (s *Sources) best() *window.Point {
	if s.Findings.Best == nil {
		return nil
	}
	return s.point(s.Findings.Best.ID)
}

// caseColumns stand behind the varied ones.
const caseColumns = 9

// head names the columns: all axes, or only those that slices and points tell of.
func (s *Sources) head(t *Table, whole bool) {
	f := s.Findings
	add := func(name string, number bool) { t.Head, t.Numbers = append(t.Head, name), append(t.Numbers, number) }
	var axes []window.Axis
	if whole {
		axes = f.Axes
	} else if len(f.Window.Slices) > 0 {
		axes = s.told(f.Window.Slices[0])
	}
	for _, a := range axes {
		name := sentenceCase(a.Label)
		if a.Unit != "" {
			name += ", " + a.Unit
		}
		add(name, a.Levels == nil)
	}
	for _, name := range []string{"Exact odds", "Strays expected", "Counted", "95 % interval", "Clear diameter, mm", "Eight of ten, mm", "Solid after, h", "Programme, h"} {
		add(name, true)
	}
	add("Reaches "+strings.ReplaceAll(chance(f.Window.Wanted), " ", "\u00a0"), false)
}

// told are the axes that a slice and its points have values of.
func (s *Sources) told(sl window.Slice) (axes []window.Axis) {
	for _, a := range s.Findings.Axes {
		if s.valueOf(sl, window.Point{}, a) != "" {
			axes = append(axes, a)
		}
	}
	return axes
}

// untold names the axes that the rows of a long table do not tell.
func (s *Sources) untold() string {
	if len(s.Findings.Window.Slices) == 0 {
		return ""
	}
	told, missing := s.told(s.Findings.Window.Slices[0]), []string(nil)
	for _, a := range s.Findings.Axes {
		if !slices.ContainsFunc(told, func(b window.Axis) bool { return a.Name == b.Name }) {
			missing = append(missing, a.Label)
		}
	}
	if len(missing) == 0 {
		return ""
	}
	return " Not told here, though it differs from case to case: " + strings.Join(missing, ", ") + "."
}

func (s *Sources) valueOf(sl window.Slice, p window.Point, a window.Axis) string {
	w := s.Findings.Window
	for _, fixed := range sl.Fixed {
		if fixed.Axis == a.Name {
			return fixed.Value
		}
	}
	switch {
	case w.X != nil && w.X.Name == a.Name:
		return a.Text(real(p.X))
	case w.Y != nil && w.Y.Name == a.Name:
		return a.Text(real(p.Y))
	}
	return ""
}

func (s *Sources) placed(sl window.Slice, p window.Point) (all []window.Setting) {
	for _, a := range s.told(sl) {
		all = append(all, window.Setting{Axis: a.Name, Value: s.valueOf(sl, p, a)})
	}
	return all
}

// row of a case; its settings take `wide` columns.
func (s *Sources) row(p window.Point, settings []window.Setting, wide int) []string {
	var row []string
	for _, one := range settings {
		row = append(row, s.bare(one))
	}
	for len(row) < wide {
		row = append(row, unknown)
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
	return append(row[:wide], brief(exact), strays(real(p.Strays)), counted, interval, fixed(real(p.DiameterMM), 1), span(real(p.P10), real(p.P90), 1),
		hours(p.FullH), hours(p.ProgrammeH), verdict(p.Verdict))
}

// bare is a setting without the unit, which stands in the head.
func (s *Sources) bare(one window.Setting) string {
	for _, a := range s.Findings.Axes {
		if a.Name == one.Axis && a.Unit != "" && a.Levels == nil {
			return powers(trimUnit(one.Value, a.Unit))
		}
	}
	return one.Value
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

func meanings(wanted float64) []string {
	return []string{
		"Exact odds: chance that the run ends as a single grain, from one run without strays; with seeds placed with scatter the mean over some placings, ± its standard error. A dash where it was not computed.",
		"Strays expected: how many stray grains start before the first one changes anything. The exact odds are e to the minus this number, where the seeded grains become one domain that fills the body.",
		"Counted: runs that ended as a single grain, of how many; with the 95 % interval of that share.",
		"Clear diameter: the largest disc, through the whole thickness, that holds one domain and nothing else: the piece to cut out. Median of the runs, and the range that leaves out one run in ten on either side.",
		"Solid after: when the last liquid is gone (median of the runs that became solid). Programme: its whole length. Both count from the start, heating included.",
		"Reaches " + chance(wanted) + ": yes or no where the odds decide it; open where their interval holds the wanted chance, so that more runs are needed; never where the seeded grains do not become one domain that fills the body, strays or not.",
	}
}
