package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"onegrain/analysis"
	"onegrain/analysis/plain"
)

// tabled is a column of the headline table. The best case is marked at its clear piece, or where
// that is not known at its chance.
type tabled struct {
	head string
	role int
	cell func(r int) string
}

const (
	plainly = iota
	ofChance
	ofPiece
)

// lawful tells whether chances are means over the laws of a logbook.
func lawful(h *analysis.Headline) bool { return len(h.Points) > 0 && h.Points[0].Laws != nil }

// exact is the exact chance of a row.
func exact(h *analysis.Headline, r int, never hopeless) string {
	p := h.Points[r]
	text := plain.Chance(float64(p.Exact))
	if p.Verdict == "never" {
		text += " " + never.mark(p.Because)
	}
	return text + plain.Margin(p.Placings, float64(p.Error))
}

// overLaws are the columns of chances over the laws of a logbook, beside that of the middle one.
func overLaws(h *analysis.Headline, never hopeless) []tabled {
	if !lawful(h) {
		return nil
	}
	return []tabled{
		{"middle law", plainly, func(r int) string { return exact(h, r, never) }},
		{"over all laws", ofChance, func(r int) string { return plain.Chance(float64(h.Points[r].Laws.Chance)) }},
		{"90 of 100 laws in", plainly, func(r int) string {
			l := h.Points[r].Laws
			return plain.Span(float64(l.Low), float64(l.High), 2)
		}},
		{"worse family", plainly, func(r int) string {
			l := h.Points[r].Laws
			return strings.TrimSpace(plain.Chance(float64(l.Worse)) + " " + l.Family)
		}},
	}
}

// hour is an hour, or that it never comes.
func hour(h float64) string {
	if math.IsNaN(h) {
		return "never"
	}
	return plain.Number(h, 1)
}

// counted are the columns of what was counted, and of the exact odds without laws of a logbook.
// With these, what was not counted has no columns.
func counted(h *analysis.Headline, never hopeless) []tabled {
	const within = "in 90 of 100 laws"
	all := []tabled{
		{"runs", plainly, func(r int) string { return fmt.Sprint(h.Points[r].Runs) }},
		{"single grain", plainly, func(r int) string { return plain.Number(float64(h.Points[r].Fraction), 2) }},
		{"95 % interval", plainly, func(r int) string {
			p := h.Points[r]
			return plain.Span(float64(p.Counted.Low), float64(p.Counted.High), 2)
		}},
		{"exact", ofChance, func(r int) string { return exact(h, r, never) }},
		{"strays", plainly, func(r int) string { return plain.Few(float64(h.Points[r].Strays)) }},
		{"clear piece mm", ofPiece, func(r int) string { return plain.Number(float64(h.Points[r].DiameterMM), 1) }},
		{"p10–p90", plainly, func(r int) string {
			p := h.Points[r]
			return plain.Span(float64(p.P10), float64(p.P90), 1)
		}},
		{"solid h", plainly, func(r int) string { return plain.Number(float64(h.Points[r].FullH), 1) }},
		{within, plainly, func(r int) string {
			l := h.Points[r].Laws
			if l == nil {
				return "-"
			}
			return hour(float64(l.FullLowH)) + "–" + hour(float64(l.FullHighH))
		}},
		{"programme h", plainly, func(r int) string { return plain.Number(float64(h.Points[r].ProgrammeH), 1) }},
	}
	if h.Averaged == nil && earlyStops(h.Cases) {
		all = append(all, tabled{"stopped by", plainly, func(r int) string {
			return plain.Cell(h.Cases.Value(r, "stopped_by"))
		}})
	}
	runs := 0
	for _, p := range h.Points {
		runs += p.Runs
	}
	leave := []string{within}
	if lawful(h) {
		leave = []string{"exact"}
	}
	if lawful(h) && runs == 0 {
		leave = append(leave, "runs", "single grain", "95 % interval", "clear piece mm", "p10–p90", "stopped by")
	}
	return slices.DeleteFunc(all, func(c tabled) bool { return slices.Contains(leave, c.head) })
}
