package main

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// grid prints rows in aligned columns: numbers to the right, the last column of text as it comes.
type grid struct {
	head []string
	rows [][]string
	mark []bool // rows to be set off
}

func (g *grid) add(cells ...string) { g.rows, g.mark = append(g.rows, cells), append(g.mark, false) }

// print writes head, rule and rows.
func (g *grid) print(w io.Writer) error {
	width := make([]int, len(g.head))
	right := make([]bool, len(g.head))
	for i := range g.head {
		right[i] = len(g.rows) > 0
	}
	for _, row := range append([][]string{g.head}, g.rows...) {
		for i, c := range row {
			width[i] = max(width[i], utf8.RuneCountInString(c))
		}
	}
	for _, row := range g.rows {
		for i, c := range row {
			right[i] = right[i] && numeric(c)
		}
	}
	var b strings.Builder
	line := func(row []string) string {
		var l strings.Builder
		for i, c := range row {
			pad := strings.Repeat(" ", width[i]-utf8.RuneCountInString(c))
			if right[i] {
				c = pad + c
			} else if i < len(row)-1 {
				c += pad
			}
			if i > 0 {
				l.WriteString("  ")
			}
			l.WriteString(c)
		}
		return strings.TrimRight(l.String(), " ")
	}
	total := -2
	for _, n := range width {
		total += n + 2
	}
	b.WriteString(line(g.head) + "\n" + strings.Repeat("-", total) + "\n")
	for i, row := range g.rows {
		text := line(row)
		if g.mark[i] {
			text = bold(w, text)
		}
		b.WriteString(text + "\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// numeric tells whether a cell reads as a number, an interval or a gap.
func numeric(cell string) bool {
	return strings.Trim(cell, "0123456789.,-+–()e∞<≈ *") == ""
}

// number is a figure with at most `digits` after the point, a dash where there is none.
func number(x float64, digits int) string {
	switch {
	case math.IsNaN(x):
		return "-"
	case math.IsInf(x, 0):
		return "∞"
	}
	return strconv.FormatFloat(x, 'f', digits, 64)
}

// short is a figure of three digits, whatever its size.
func short(x float64) string {
	if math.IsNaN(x) {
		return "-"
	}
	return strconv.FormatFloat(x, 'g', 3, 64)
}

// span is a share with its interval.
func span(low, high float64, digits int) string {
	if math.IsNaN(low) || math.IsNaN(high) {
		return "-"
	}
	return fmt.Sprintf("%.*f–%.*f", digits, low, digits, high)
}

// bytesText is a size for people, in steps of 1024.
func bytesText(n int64) string {
	units := []string{"B", "KiB", "MiB", "GiB", "TiB"}
	x := float64(n)
	i := 0
	for ; x >= 1024 && i < len(units)-1; i++ {
		x /= 1024
	}
	return fmt.Sprintf("%.3g %s", x, units[i])
}

// hoursText is a duration for people.
func hoursText(h float64) string {
	switch s := h * 3600; {
	case s < 1:
		return "less than 1 s"
	case s < 90:
		return fmt.Sprintf("%.0f s", s)
	case s < 90*60:
		return fmt.Sprintf("%.0f min", s/60)
	}
	return fmt.Sprintf("%.1f h", h)
}

// short6 is a value as it is written in a study.
func short6(x float64) string { return strconv.FormatFloat(x, 'g', 6, 64) }

// hoursSpan is a range of durations for people.
func hoursSpan(low, high float64) string {
	a, b := hoursText(low), hoursText(high)
	if a == b {
		return a
	}
	return a + " to " + b
}
