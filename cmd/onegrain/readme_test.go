package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"onegrain/studies"
)

// manual is README.md and the pages of `onegrain help`, and blocks are its fenced blocks of one
// language.
func manual(t *testing.T) string {
	t.Helper()
	text := file(t, filepath.Join("..", "..", "README.md"))
	if lines := strings.Count(text, "\n"); lines > 200 {
		t.Errorf("README.md has %d lines, wanted 200 at most: the rest belongs to a page of `onegrain help`", lines)
	}
	all, err := filepath.Glob("help/*.txt")
	if err != nil || len(all) < 20 {
		t.Fatalf("%d pages of help: %v", len(all), err)
	}
	for _, name := range all {
		text += "\n" + file(t, name)
	}
	return text
}

func file(t *testing.T, name string) string {
	t.Helper()
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func blocks(text, language string) []string {
	var all []string
	for _, m := range regexp.MustCompile("(?ms)^```"+language+"\n(.*?)^```$").FindAllStringSubmatch(text, -1) {
		all = append(all, m[1])
	}
	return all
}

// The study in README.md must work, and a key of it spelled wrong must not.
func TestTheStudyOfTheReadmeWorks(t *testing.T) {
	found := blocks(manual(t), "toml")
	if len(found) == 0 {
		t.Fatal("no study in README.md")
	}
	for _, text := range found {
		if _, err := studies.Load("README.toml", []byte(text), nil, 1<<30); err != nil {
			t.Errorf("%v", err)
		}
		if _, err := studies.Load("README.toml", []byte(strings.Replace(text, "cell_mm", "cel_mm", 1)), nil,
			1<<30); err == nil {
			t.Error("a wrong key went unseen")
		}
	}
}

// Every command, option, page and study that README.md names must be there.
func TestTheReadmeNamesWhatThereIs(t *testing.T) {
	text := manual(t)
	var told bytes.Buffer
	said := func(args ...string) string {
		told.Reset()
		if code := execute(args, streams{out: &told, err: &told}); code != exitDone {
			t.Errorf("onegrain %s: exit code %d", strings.Join(args, " "), code)
		}
		return told.String()
	}
	command := regexp.MustCompile(`(?m)(?:^|[ (` + "`" + `])(?:bin/)?onegrain ([a-z]+)` +
		`((?: --?[a-z-]+| [^-#` + "`" + `\n]\S*)*)`)
	named := command.FindAllStringSubmatch(text, -1)
	if len(named) < 12 {
		t.Errorf("%d commands found in README.md, wanted 12 at least", len(named))
	}
	for _, m := range named {
		words := strings.Fields(m[2])
		if m[1] == "help" {
			page, _, _ := strings.Cut(m[2], "`")
			said(append([]string{"help"}, strings.Fields(page)...)...)
			continue
		}
		help := said(m[1], "--help")
		if m[1] == "fit" && len(words) > 0 { // it has commands of its own
			help = said("fit", words[0], "--help")
		}
		if !strings.Contains(help, "Usage: onegrain "+m[1]) {
			t.Errorf("README.md speaks of onegrain %s, which is no command", m[1])
		}
		for _, w := range words {
			if strings.HasPrefix(w, "--") && !strings.Contains(help, w) {
				t.Errorf("onegrain %s knows no %s", m[1], w)
			}
		}
	}
	for _, name := range exampleNames() {
		if !strings.Contains(text, "| `"+name+"` |") {
			t.Errorf("README.md does not say what %s asks", name)
		}
	}
	for _, m := range regexp.MustCompile(`\]\(([^)]+)\)`).FindAllStringSubmatch(text, -1) {
		if _, err := os.Stat(filepath.Join("..", "..", m[1])); err != nil {
			t.Errorf("README.md points to %s, which is not there", m[1])
		}
	}
}

// The advice shown in README.md must be what the command gives.
func TestTheAdviceOfTheReadme(t *testing.T) {
	text := manual(t)
	t.Chdir(filepath.Join("..", ".."))
	var told, said bytes.Buffer
	line := []string{"advise", "studies/catalog/puck-window.toml", "--case", "30"}
	if code := execute(line, streams{out: &told, err: &said}); code != exitDone {
		t.Fatalf("exit code %d: %s", code, said.String())
	}
	if !strings.Contains(text, "```\n"+told.String()+"```\n") {
		t.Errorf("README.md shows other advice than\n%s", told.String())
	}
}

// The sheet of README.md must give the laws that stand below it, and the laws must fit into a
// study. Canary: with another number they do not come out.
func TestTheSheetOfTheReadmeGivesItsLaws(t *testing.T) {
	text, puck := manual(t), puckWindow(t)
	sheets, laws := blocks(text, "csv"), blocks(text, "text")
	if len(sheets) != 1 || len(laws) != 3 {
		t.Fatalf("%d sheets and %d laws in README.md", len(sheets), len(laws))
	}
	t.Chdir(t.TempDir())
	fit := func(sheet string, args ...string) string {
		if err := os.WriteFile("runs.csv", []byte(sheet), 0o644); err != nil {
			t.Fatal(err)
		}
		var out, told bytes.Buffer
		if code := execute(append([]string{"fit"}, args...), streams{out: &out, err: &told}); code != exitDone {
			t.Errorf("exit code %d: %s", code, told.String())
		}
		return out.String()
	}
	if err := os.WriteFile("mine.toml", []byte(puck+laws[0]), 0o644); err != nil {
		t.Fatal(err)
	}
	growth, nuclei := []string{"growth", "runs.csv"}, []string{"nuclei", "runs.csv", "--body", "mine.toml"}
	if got := fit(sheets[0], growth...); got != laws[0] {
		t.Errorf("README.md shows\n%s, but it is\n%s", laws[0], got)
	}
	if got := fit(sheets[0], nuclei...); got != laws[1] {
		t.Errorf("README.md shows\n%s, but it is\n%s", laws[1], got)
	}
	if fit(strings.Replace(sheets[0], "15.8", "15.2", 1), growth...) == laws[0] {
		t.Error("the canary passes: another width gives the same law")
	}
	study := strings.Split(puck, "[nucleation.melt]")[0] + laws[1] + laws[0]
	if loaded, err := studies.Load("pasted.toml", []byte(study), nil, 1<<30); err != nil {
		t.Error(err)
	} else if settings := fmt.Sprint(loaded.Settings()); !strings.Contains(settings, "1.903") ||
		!strings.Contains(settings, "5826.2") {
		t.Errorf("the laws are not in the study: %s", settings)
	}
}

// The statements of README.md must run in DuckDB on results of the study that they are about, made
// small here.
func TestDuckDBRunsTheStatementsOfTheReadme(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "puck-window.toml")
	smaller := strings.NewReplacer("replicates = 64", "replicates = 2", "cell_mm     = 0.2", "cell_mm     = 1")
	small := smaller.Replace(puckWindow(t))
	if err := os.WriteFile(path, []byte(small), 0o644); err != nil {
		t.Fatal(err)
	}
	var told bytes.Buffer
	line := []string{"run", path, "--out", filepath.Join(dir, "results", "puck-window")}
	if code := execute(line, streams{out: &told, err: &told}); code != exitDone {
		t.Fatalf("exit code %d: %s", code, told.String())
	}
	statements := blocks(manual(t), "sql")
	if len(statements) < 3 {
		t.Fatalf("%d statements found in README.md, wanted 3 at least", len(statements))
	}
	duckdb(t, filepath.Join(dir, "results", "puck-window", "cases.parquet")) // skips without DuckDB
	script, err := filepath.Abs(filepath.Join("..", "..", "testdata", "readers", "query.mjs"))
	if err != nil {
		t.Fatal(err)
	}
	c := exec.Command("node", append([]string{script}, statements...)...)
	c.Dir, c.Stderr = dir, os.Stderr
	text, err := c.Output()
	if err != nil {
		t.Fatal(err)
	}
	var all []struct{ Rows [][]any }
	if err := json.Unmarshal(text, &all); err != nil {
		t.Fatal(err)
	}
	for i, answer := range all {
		if len(answer.Rows) == 0 {
			t.Errorf("nothing found by\n%s", statements[i])
		}
	}
}

func puckWindow(t *testing.T) string {
	t.Helper()
	return file(t, filepath.Join("..", "..", "studies", "catalog", "puck-window.toml"))
}
