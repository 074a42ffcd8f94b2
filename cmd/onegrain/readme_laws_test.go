package main

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// alike tells whether two texts have the same words, and numbers that differ by little: so much as
// another sampler would give.
func alike(a, b string) bool {
	number := regexp.MustCompile(`\d+(\.\d+)?`)
	words := func(s string) string { return strings.Join(strings.Fields(number.ReplaceAllString(s, "#")), " ") }
	x, y := number.FindAllString(a, -1), number.FindAllString(b, -1)
	if words(a) != words(b) || len(x) != len(y) {
		return false
	}
	for i := range x {
		p, _ := strconv.ParseFloat(x[i], 64)
		q, _ := strconv.ParseFloat(y[i], 64)
		if math.Abs(p-q) > 0.05*math.Abs(q)+0.03 {
			return false
		}
	}
	return true
}

// TestTheWalkOfTheReadme: the sheet of the page on learning gives the table that stands below it,
// and its first rows what the walk says. Canary: other rows give another table.
func TestTheWalkOfTheReadme(t *testing.T) {
	text, puck := manual(t), puckWindow(t)
	sheet, shown := blocks(text, "csv")[0], blocks(text, "text")[2]
	t.Chdir(t.TempDir())
	write := func(name, text string) {
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	do := func(args ...string) string {
		var out, told bytes.Buffer
		if code := execute(args, streams{out: &out, err: &told}); code != exitDone {
			t.Fatalf("%v: exit code %d: %s", args, code, told.String())
		}
		return out.String()
	}
	write("mine.toml", puck)
	lines := strings.SplitAfter(sheet, "\n")
	head := strings.Index(puck, "[[vary]]")
	one := strings.NewReplacer("to_undercooling_K = 8", "to_undercooling_K = 16", "rate_K_per_h = 0.4",
		"rate_K_per_h = 0.2", `base         = "Y123, air"`, `laws = "melt.parquet"`, "[nucleation.melt]\nlaw = \"barrier\"\n",
		"", "prefactor_per_mm3_h = 1.1e4\n", "").Replace(puck[:head])
	write("one.toml", regexp.MustCompile("barrier_K3.*\n").ReplaceAllString(one, ""))
	_, walk, _ := strings.Cut(text, "chance over all laws\n")
	walk, _, _ = strings.Cut(walk, "\n\n")
	for i, rows := range []int{0, 1, 3, 5, 8} {
		write("runs.csv", strings.Join(lines[:2+rows], ""))
		table := do("fit", "laws", "runs.csv", "--body", "mine.toml", "--out", "melt.parquet")
		daily := regexp.MustCompile(`one stray a day in .* at, K +(\S+)  (\S+) `).FindStringSubmatch(table)
		odds := do("run", "one.toml", "--odds-only", "--out", fmt.Sprint("results", rows))
		chance := regexp.MustCompile(`(?m)^ +\S+ +([01]\.\d+) +(\S+)`).FindStringSubmatch(odds)
		if daily == nil || chance == nil {
			t.Fatalf("%s%s", table, odds)
		}
		got := fmt.Sprintf("%s (%s) %s (%s)", daily[1], daily[2], chance[1], chance[2])
		want := regexp.MustCompile(`\S+ +\(\S+\) +\S+ \(\S+\)$`).FindString(strings.Split(walk, "\n")[i])
		if !alike(got, want) {
			t.Errorf("%d rows: the page says %s, but it is %s", rows, want, got)
		}
		if same := alike(table, shown); same != (rows == 8) {
			t.Errorf("%d rows: the table of the page %v, shown\n%s, but it is\n%s", rows, same, shown, table)
		}
	}
}
