package plain

import (
	"bytes"
	"math"
	"strings"
	"testing"
	"unicode/utf8"
)

func TestNumbersStandToTheRight(t *testing.T) {
	g := &Grid{Head: []string{"name", "mm", "note"}}
	g.Add("a", "1.5", "x")
	g.Add("µm", "-", "long text")
	g.Add("c", "100.0", "")
	var b bytes.Buffer
	if err := g.Print(&b); err != nil {
		t.Fatal(err)
	}
	want := "name     mm  note\n----------------------\na       1.5  x\nµm        -  long text\nc     100.0\n"
	if b.String() != want {
		t.Errorf("printed\n%s\nwanted\n%s", b.String(), want)
	}
}

func TestLongTextsFold(t *testing.T) {
	text := Folded("[1] "+strings.Repeat("word ", 40), "    ")
	lines := strings.Split(text, "\n")
	if len(lines) != 3 || len(lines[0]) != 98 || !strings.HasPrefix(lines[1], "    word") || len(lines[1]) > widest {
		t.Errorf("%d lines:\n%s", len(lines), text)
	}
	if letters(Bold("µm")) != 2 {
		t.Error("marks count as letters")
	}
}

func TestFiguresForPeople(t *testing.T) {
	for got, want := range map[string]string{
		Number(1.25, 1):            "1.2",
		Number(math.NaN(), 1):      "-",
		Number(math.Inf(1), 1):     "∞",
		Short(1234.5):              "1.23e+03",
		Short(0.00123):             "0.00123",
		Span(0.1, 0.25, 2):         "0.10–0.25",
		Span(math.NaN(), 1, 2):     "-",
		Bytes(1023):                "1.02e+03 B",
		Bytes(3 << 30):             "3 GiB",
		Hours(0.0001):              "less than 1 s",
		Hours(0.01):                "36 s",
		Hours(0.5):                 "30 min",
		Hours(7.25):                "7.2 h",
		HoursSpan(0.0001, 0.00012): "less than 1 s",
		HoursSpan(0.5, 7.25):       "30 min to 7.2 h",
		Cell(nil):                  "-",
		Cell(0.1 + 0.2):            "0.3",
		Cell("a"):                  "a",
		Cell(int64(3)):             "3",
	} {
		if got != want {
			t.Errorf("%q: wanted %q", got, want)
		}
	}
}

func TestWideTablesHaveTallHeads(t *testing.T) {
	g := &Grid{Head: []string{"cooling_rate_K_per_h", "single grain", strings.Repeat("x", 70), "note"}}
	g.Add("0.4", "1.00", "1", "text")
	var b bytes.Buffer
	if err := g.Print(&b); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(b.String(), "\n")
	want := []string{
		"cooling_", " rate_K_  single", "   per_h   grain  " + strings.Repeat("x", 70) + "  note", strings.Repeat("-", 94),
	}
	for i, line := range want {
		if lines[i] != line {
			t.Errorf("line %d: %q, wanted %q", i, lines[i], line)
		}
	}
	if n := utf8.RuneCountInString(lines[4]); n != 94 {
		t.Errorf("%d characters: %q", n, lines[4])
	}
}
