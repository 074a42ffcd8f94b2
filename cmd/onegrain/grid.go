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

// widest is how many columns of text a table may take before its head is set in several lines.
const widest = 100

// print writes head, rule and rows.
func (g *grid) print(w io.Writer) error {
	right := make([]bool, len(g.head))
	for i := range right {
		right[i] = len(g.rows) > 0
		for _, row := range g.rows {
			right[i] = right[i] && numeric(row[i])
		}
	}
	heads := [][]string{g.head}
	width := widths(append(heads, g.rows...))
	if total(width) > widest {
		heads = stacked(g.head, widths(g.rows))
		width = widths(append(heads, g.rows...))
	}
	var b strings.Builder
	for _, head := range heads {
		b.WriteString(line(head, width, right) + "\n")
	}
	b.WriteString(strings.Repeat("-", total(width)) + "\n")
	for i, row := range g.rows {
		text := line(row, width, right)
		if g.mark[i] {
			text = bold(w, text)
		}
		b.WriteString(text + "\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}

// widths of the columns, in characters.
func widths(rows [][]string) []int {
	var width []int
	for _, row := range rows {
		width = append(width, make([]int, max(0, len(row)-len(width)))...)
		for i, c := range row {
			width[i] = max(width[i], letters(c))
		}
	}
	return width
}

// letters counts what a terminal shows of a text.
func letters(text string) int {
	return utf8.RuneCountInString(strings.ReplaceAll(strings.ReplaceAll(text, boldOn, ""), boldOff, ""))
}

// total is the width of a line.
func total(width []int) int {
	n := -2
	for _, w := range width {
		n += w + 2
	}
	return n
}

func line(row []string, width []int, right []bool) string {
	var l strings.Builder
	for i, c := range row {
		pad := strings.Repeat(" ", width[i]-letters(c))
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

// stacked breaks heads at spaces and behind underscores into lines no wider than their column,
// where the words let it.
func stacked(head []string, width []int) [][]string {
	columns := make([][]string, len(head))
	tallest := 0
	for i, text := range head {
		var parts []string
		widest := 0 // of the column: its cells, or the longest word of its head
		words := strings.Fields(strings.ReplaceAll(text, "_", "_ "))
		for _, word := range words {
			widest = max(widest, width[i], utf8.RuneCountInString(word))
		}
		for _, word := range words {
			gap := " "
			if n := len(parts); n > 0 && strings.HasSuffix(parts[n-1], "_") {
				gap = ""
			}
			if n := len(parts); n > 0 && utf8.RuneCountInString(parts[n-1]+gap+word) <= widest {
				parts[n-1] += gap + word
				continue
			}
			parts = append(parts, word)
		}
		columns[i], tallest = parts, max(tallest, len(parts))
	}
	lines := make([][]string, tallest)
	for k := range lines {
		lines[k] = make([]string, len(head))
		for i, parts := range columns { // they stand on the rule
			if at := k - tallest + len(parts); at >= 0 {
				lines[k][i] = parts[at]
			}
		}
	}
	return lines
}

// numeric tells whether a cell reads as a number, an interval or a gap.
func numeric(cell string) bool {
	return strings.Trim(cell, "0123456789.,-+–()e∞<>≈ *†‡§¶±?") == ""
}

// chance is a probability in three decimals; 0 and 1 stand for themselves only.
func chance(p float64) string {
	switch {
	case p > 0 && p < 0.0005:
		return "<0.001"
	case p < 1 && p >= 0.9995:
		return ">0.999"
	}
	return number(p, 3)
}

// margin is what stands behind the mean over placings of a chance: its standard error, unknown of
// one placing. Where nothing was averaged, or all are alike, it is empty.
func margin(placings int, se float64) string {
	switch {
	case placings == 0 || se == 0:
		return ""
	case math.IsNaN(se):
		return " ± ?"
	}
	return " ± " + chance(se)
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

// folded breaks a text into lines no wider than a table should be; all but the first begin with the
// indent.
func folded(text, indent string) string {
	var b strings.Builder
	at := 0
	for i, word := range strings.Fields(text) {
		n := utf8.RuneCountInString(word)
		switch {
		case i > 0 && at+1+n > widest:
			b.WriteString("\n" + indent)
			at = utf8.RuneCountInString(indent)
		case i > 0:
			b.WriteString(" ")
			at++
		}
		b.WriteString(word)
		at += n
	}
	return b.String()
}
