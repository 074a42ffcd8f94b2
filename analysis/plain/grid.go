package plain

import (
	"io"
	"strings"
	"unicode/utf8"
)

// Grid prints rows in aligned columns: numbers to the right, the last column of text as it comes.
type Grid struct {
	Head []string
	Rows [][]string

	mark map[int]func(line string) string // rows to be set off
}

// Add adds a row.
func (g *Grid) Add(cells ...string) { g.Rows = append(g.Rows, cells) }

// Mark sets off the row that was added last: its line is printed as set makes it.
func (g *Grid) Mark(set func(line string) string) {
	if g.mark == nil {
		g.mark = map[int]func(string) string{}
	}
	g.mark[len(g.Rows)-1] = set
}

// boldOn and boldOff set off what stands between them on a terminal; they take no room in a table.
const boldOn, boldOff = "\x1b[1m", "\x1b[0m"

// Bold sets a text off on a terminal.
func Bold(text string) string { return boldOn + text + boldOff }

// widest is how many columns of text a table may take before its head is set in several lines.
const widest = 100

// Print writes head, rule and rows; the error is that of w.
func (g *Grid) Print(w io.Writer) error {
	right := make([]bool, len(g.Head))
	for i := range right {
		right[i] = len(g.Rows) > 0
		for _, row := range g.Rows {
			right[i] = right[i] && numeric(row[i])
		}
	}
	heads := [][]string{g.Head}
	width := widths(append(heads, g.Rows...))
	if total(width) > widest {
		heads = stacked(g.Head, widths(g.Rows))
		width = widths(append(heads, g.Rows...))
	}
	var b strings.Builder
	for _, head := range heads {
		b.WriteString(line(head, width, right) + "\n")
	}
	b.WriteString(strings.Repeat("-", total(width)) + "\n")
	for i, row := range g.Rows {
		text := line(row, width, right)
		if set := g.mark[i]; set != nil {
			text = set(text)
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
	return utf8.RuneCountInString(strings.NewReplacer(boldOn, "", boldOff, "").Replace(text))
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
