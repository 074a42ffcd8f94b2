package report

import (
	"slices"

	"onegrain/analysis/window"
)

// mostRows of cases are told on a page.
const mostRows = 200

// openRows are shown at once; a longer table has to be opened.
const openRows = 60

// cases are the window, and the table of all cases.
func (s *Sources) cases() []Block {
	out := s.figures("window")
	if len(s.points()) == 0 {
		return out
	}
	shown := s.say("cases")
	if len(shown[0].Table.Rows) > openRows {
		shown = []Block{fold("The table of cases", shown...)}
	}
	return slices.Concat(out, shown, []Block{fold("What the columns mean", s.say("columns")...)})
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
