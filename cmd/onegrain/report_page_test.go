package main

import (
	"encoding/json"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// met is what a reader of a page would meet, as testdata/readers/page.mjs tells it.
type met struct {
	Widths []struct {
		Width, Scroll, Client, Tiny, EmptyCells int
		Console, Requests, Out, Broken          []string
		Headings                                []string
		Title, Language                         string
		Figures                                 []struct {
			Alt, Caption   string
			Natural, Shown int
		}
	}
	PDF struct{ Bytes, Pages int }
}

// reader opens a page in Chromium. Without it the test is skipped, unless ONEGRAIN_READERS=1
// demands it.
func reader(t *testing.T, page string) (m met) {
	t.Helper()
	needBrowser(t)
	c := exec.Command("node", filepath.Join(readers, "page.mjs"), page)
	c.Stderr = os.Stderr
	text, err := c.Output()
	must(t, err)
	must(t, json.Unmarshal(text, &m))
	return m
}

var readers = filepath.Join("..", "..", "testdata", "readers")

// needBrowser skips a test where there is no browser, before the work that it would read.
func needBrowser(t *testing.T) {
	t.Helper()
	chromium := "/usr/bin/chromium"
	if named := os.Getenv("CHROMIUM"); named != "" {
		chromium = named
	}
	_, missing := os.Stat(filepath.Join(readers, "node_modules", "playwright-core"))
	if _, err := os.Stat(chromium); err != nil {
		missing = err
	}
	if missing != nil {
		if os.Getenv("ONEGRAIN_READERS") == "1" {
			t.Fatalf("no browser (%v): run testdata/install.sh", missing)
		}
		t.Skip("no browser: testdata/install.sh installs one")
	}
}

// wrong is what a reader would complain about.
func (m met) wrong() (all []string) {
	say := func(bad bool, what string) {
		if bad {
			all = append(all, what)
		}
	}
	say(len(m.Widths) != 2, "not seen at two widths")
	for _, w := range m.Widths {
		say(len(w.Console) > 0, "console: "+strings.Join(w.Console, "; "))
		say(len(w.Requests) > 0, "asks for "+strings.Join(w.Requests, " "))
		say(w.Scroll > w.Client || len(w.Out) > 0, "wider than the screen: "+strings.Join(w.Out, " "))
		say(len(w.Broken) > 0, "links to nowhere: "+strings.Join(w.Broken, " "))
		say(w.Tiny > 0, "text of less than 11 pixels")
		say(w.EmptyCells > 0, "empty cells")
		say(w.Title == "" || w.Language != "en", "no title or language")
		for _, f := range w.Figures {
			say(f.Natural == 0 || f.Shown < 300, "a figure that is not drawn: "+f.Caption)
			say(len(f.Alt) < 20 || f.Caption == "", "a figure without words: "+f.Caption+f.Alt)
		}
	}
	say(m.PDF.Pages < 3 || m.PDF.Bytes < 20_000, "no print")
	return all
}

// A page must be readable at a desk, on a telephone and on paper, from nothing but itself.
func TestReportIsReadable(t *testing.T) {
	needBrowser(t)
	dir := t.TempDir()
	study := filepath.Join(dir, "block.toml")
	must(t, os.WriteFile(study, []byte(strings.Replace(smallBlock, "[domain]", reportAxes+"[domain]", 1)), 0o666))
	results := filepath.Join(dir, "r")
	for _, args := range [][]string{{"run", study, "--out", results}, {"report", results}} {
		if code := execute(args, streams{out: io.Discard, err: io.Discard}); code != exitDone {
			t.Fatalf("%v: exit code %d", args, code)
		}
	}
	page := filepath.Join(results, "report.html")
	m := reader(t, page)
	for _, w := range m.wrong() {
		t.Error(w)
	}
	if n := len(m.Widths[0].Figures); n < 9 {
		t.Errorf("%d figures: wanted window, sizes, programme, pictures and field", n)
	}
	// canary: a table out of its box, a figure without words, a link to nowhere and a script that
	// fails must all be seen
	text, err := os.ReadFile(page)
	must(t, err)
	spoilt := strings.NewReplacer(`<div class="box"`, `<div class="none"`, ` alt="`, ` alt="" title="`, `href="#answer"`,
		`href="#nowhere"`, `</main>`, `</main><script>throw 1</script>`).Replace(string(text))
	bad := filepath.Join(dir, "spoilt.html")
	must(t, os.WriteFile(bad, []byte(spoilt), 0o666))
	said := strings.Join(reader(t, bad).wrong(), "\n")
	for _, want := range []string{"wider than the screen", "without words", "links to nowhere", "console"} {
		if !strings.Contains(said, want) {
			t.Errorf("a spoilt page: nobody says %q, only %q", want, said)
		}
	}
}

const reportAxes = `[[vary]]
key = "schedule.stage.2.rate_K_per_h"
name = "cooling_rate_K_per_h"
values = [1, 4, 16]
[[vary]]
key = "schedule.stage.1.to_undercooling_K"
name = "start_undercooling_K"
values = [6, 8]
`
