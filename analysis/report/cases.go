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
	return append(out, shown, fold("What the columns mean", s.say("columns")...))
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
	exact := chance(p.Exact)
	if p.Source == "exact mean" {
		exact = rough(p.Exact)
		if p.Error > 0 { // of one placing it is not known
			exact += " ± " + fixed(100*p.Error, 1) + " %"
		}
	}
	row = append(row, brief(exact), strays(p.Strays), counted, interval, fixed(p.DiameterMM, 1),
		span(p.P10, p.P90, 1), fixed(p.FullH, 1), fixed(p.ProgrammeH, 1), verdict(p.Verdict))
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
