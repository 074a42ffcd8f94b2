package main

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"onegrain/analysis/evidence"
)

// program builds the program that is judged.
func program(t *testing.T) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "onegrain")
	build := exec.Command("go", "build", "-ldflags=-s -w", "-o", path, "onegrain/cmd/onegrain") // no debug data: quicker
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("go build: %v: %s", err, out)
	}
	return path
}

// TestBattery does the short form, all of which must agree, and reads the page it wrote.
func TestBattery(t *testing.T) {
	out := filepath.Join(t.TempDir(), "page")
	var said bytes.Buffer
	if err := run([]string{"-short", "-program", program(t), "-out", out, "-compact",
		filepath.Join(t.TempDir(), "compact.json")}, &said); err != nil {
		t.Errorf("%v\n%s", err, said.String())
	}
	data, err := os.ReadFile(filepath.Join(out, "evidence.json"))
	if err != nil {
		t.Fatal(err)
	}
	var p evidence.Page
	if err := json.Unmarshal(data, &p); err != nil {
		t.Fatal(err)
	}
	if p.ModelVersion == "" || p.Size != "short" || p.Refused != p.Findings-p.Reported || p.Agree != p.Refused ||
		len(p.Items) < 4 {
		t.Errorf("model %q, %s form: %d findings, %d agree, %d reported, %d canaries refused, %d items", p.ModelVersion,
			p.Size, p.Findings, p.Agree, p.Reported, p.Refused, len(p.Items))
	}
	for _, name := range []string{"evidence.md", "evidence.html"} {
		page, err := os.ReadFile(filepath.Join(out, name))
		if err != nil {
			t.Fatal(err)
		}
		for _, item := range p.Items {
			if !strings.Contains(string(page), item.Name) {
				t.Errorf("%s does not tell of item %d", name, item.Number)
			}
		}
		if strings.Contains(string(page), "let pass") {
			t.Errorf("%s: a canary passed", name)
		}
	}
}

// TestRefusals: what cannot work is said in words.
func TestRefusals(t *testing.T) {
	for _, c := range []struct {
		args []string
		says string
	}{
		{[]string{"-items", "1,99"}, "there is no item 99"},
		{[]string{"-program", "nowhere/onegrain"}, "`make build`"},
		{[]string{"left", "over"}, "wanted flags alone"},
	} {
		if err := run(c.args, &bytes.Buffer{}); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%q: %v, wanted %q", c.args, err, c.says)
		}
	}
}
