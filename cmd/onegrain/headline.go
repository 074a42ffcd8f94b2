package main

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"onegrain/analysis"
	"onegrain/analysis/plain"
	"onegrain/studies/table"
)

// What is said under the table.
const (
	neverNote    = "%s no single grain even without strays: %s"
	bestNote     = "* best case: " + analysis.Rule
	placingNote  = "± standard error: with placing scatter an exact chance is the mean over placings, here %s a case"
	averagedNote = "every number is the mean over what is not known (%s); each point counts the same; reach: " +
		"the share of points with a chance of %g or more"
)

// headline prints the settings: what was set, how often a single grain came of it, and how large
// the clear piece is.
func headline(s streams, h *analysis.Headline, wanted float64) error {
	g := &plain.Grid{}
	for _, a := range h.Axes {
		g.Head = append(g.Head, a.Name)
	}
	if h.Averaged != nil {
		g.Head = append(g.Head, "points", fmt.Sprintf("reach %g", wanted))
	}
	never, placings := hopeless{}, []int{}
	columns := slices.Concat(overLaws(h, never), counted(h, never))
	for _, c := range columns {
		g.Head = append(g.Head, c.head)
	}
	for r, p := range h.Points {
		row := placeOf(h, r)
		placings = append(placings, p.Placings)
		for _, c := range columns {
			text := c.cell(r)
			if piece := p.DiameterMM.Known(); r == h.Best && (c.role == ofPiece && piece || c.role == ofChance && !piece) {
				text += " *"
			}
			row = append(row, text)
		}
		g.Add(row...)
		if r == h.Best {
			g.Mark(func(text string) string { return bold(s.out, text) })
		}
	}
	if err := g.Print(s.out); err != nil {
		return err
	}
	if h.Best >= 0 {
		s.say("%s", plain.Folded(bestNote, "  "))
	}
	for _, note := range append(never.notes(), overPlacings(placings)...) {
		s.say("%s", note)
	}
	if h.Averaged != nil {
		s.say("%s", plain.Folded(fmt.Sprintf(averagedNote, strings.Join(h.Averaged, ", "), wanted), "  "))
	}
	s.notes(h.Notes)
	return nil
}

// overPlacings says over how many placings exact chances were averaged; none where none was.
func overPlacings(placings []int) []string {
	placings = slices.DeleteFunc(placings, func(n int) bool { return n == 0 })
	if len(placings) == 0 {
		return nil
	}
	over := fmt.Sprint(slices.Min(placings))
	if most := slices.Max(placings); most > slices.Min(placings) {
		over += fmt.Sprintf(" to %d", most)
	}
	return []string{fmt.Sprintf(placingNote, over)}
}

// placeOf are the first cells of a row: the setting, and over how many points it is the mean.
func placeOf(h *analysis.Headline, r int) (row []string) {
	p := h.Points[r]
	for i, a := range h.Axes {
		if h.Averaged == nil {
			row = append(row, plain.Cell(h.Cases.Value(r, a.Name)))
		} else {
			row = append(row, strings.ReplaceAll(a.Bare(p.At[i]), " to ", "–"))
		}
	}
	if h.Averaged != nil {
		row = append(row, fmt.Sprint(p.Over), plain.Number(float64(p.Reach)/float64(p.Over), 2))
	}
	return row
}

// hopeless are the marks of a table on chances of 0, each with its cause.
type hopeless map[string]string

// mark stands beside a chance of 0; each cause has its own.
func (h hopeless) mark(because string) string {
	mark := cmp.Or(map[string]string{"liquid": "†", "apart": "‡", "unseeded": "§"}[because], "¶")
	h[mark] = analysis.Reason(because)
	return mark
}

// notes say what the marks of the table mean.
func (h hopeless) notes() (all []string) {
	for _, mark := range slices.Sorted(maps.Keys(h)) {
		all = append(all, fmt.Sprintf(neverNote, mark, h[mark]))
	}
	return all
}

// earlyStops tells whether any case was stopped by anything but its last replicate.
func earlyStops(cases *table.Frame) bool {
	for r := range cases.Len() {
		if cases.Value(r, "stopped_by") != "replicates" {
			return true
		}
	}
	return false
}
