package main

import (
	"bytes"
	"math"
	"strings"
	"testing"
)

func TestNumbersStandToTheRight(t *testing.T) {
	g := &grid{head: []string{"name", "mm", "note"}}
	g.add("a", "1.5", "x")
	g.add("µm", "-", "long text")
	g.add("c", "100.0", "")
	var b bytes.Buffer
	if err := g.print(&b); err != nil {
		t.Fatal(err)
	}
	want := "name     mm  note\n----------------------\na       1.5  x\nµm        -  long text\nc     100.0\n"
	if b.String() != want {
		t.Errorf("printed\n%s\nwanted\n%s", b.String(), want)
	}
}

func TestLongTextsFold(t *testing.T) {
	text := folded("[1] "+strings.Repeat("word ", 40), "    ")
	lines := strings.Split(text, "\n")
	if len(lines) != 3 || len(lines[0]) != 98 || !strings.HasPrefix(lines[1], "    word") || len(lines[1]) > widest {
		t.Errorf("%d lines:\n%s", len(lines), text)
	}
	if letters(boldOn+"µm"+boldOff) != 2 {
		t.Error("marks count as letters")
	}
}

func TestFiguresForPeople(t *testing.T) {
	for got, want := range map[string]string{
		number(1.25, 1):            "1.2",
		number(math.NaN(), 1):      "-",
		number(math.Inf(1), 1):     "∞",
		short(1234.5):              "1.23e+03",
		short(0.00123):             "0.00123",
		span(0.1, 0.25, 2):         "0.10–0.25",
		span(math.NaN(), 1, 2):     "-",
		bytesText(1023):            "1.02e+03 B",
		bytesText(3 << 30):         "3 GiB",
		hoursText(0.0001):          "less than 1 s",
		hoursText(0.01):            "36 s",
		hoursText(0.5):             "30 min",
		hoursText(7.25):            "7.2 h",
		hoursSpan(0.0001, 0.00012): "less than 1 s",
		hoursSpan(0.5, 7.25):       "30 min to 7.2 h",
		cell(nil):                  "-",
		cell(0.1 + 0.2):            "0.3",
		cell("a"):                  "a",
		cell(int64(3)):             "3",
	} {
		if got != want {
			t.Errorf("%q: wanted %q", got, want)
		}
	}
}
