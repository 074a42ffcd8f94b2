package battery

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/BurntSushi/toml"
	"github.com/sourcegraph/conc/panics"

	"onegrain/analysis/evidence"
)

// TestFindings: the numbers of a finding and of its canary stand where they belong, its texts are
// filled in, and a name or a value that is missing is told.
func TestFindings(t *testing.T) {
	on, with := &bench{}, values{"where": "at home"}
	on.against("full", with, 1, 2, 3, 4)
	on.instead("full", with, 1, 2, 3, 4)
	canaries := []evidence.Comparison{{Expected: 4, Found: 2, Tolerance: 3}, {Expected: 1, Found: 4, Tolerance: 3}}
	for i, canary := range canaries {
		f := on.found[i]
		if f.Comparison != (evidence.Comparison{Expected: 1, Found: 2, Tolerance: 3}) || f.Canary.Comparison != canary {
			t.Errorf("%+v", f)
		}
		if f.Quantity == "" || f.Where != "at home" || f.Unit != "h" || f.Canary.Wrong != "rates +0.1 %" {
			t.Errorf("%+v", f)
		}
	}
	for name, with := range map[string]values{"fool": with, "full": {"here": "at home"}} {
		if broke := panics.Try(func() { finding(name, with, 1, 2, 3) }); broke == nil ||
			!strings.Contains(fmt.Sprint(broke.Value), name) {
			t.Errorf("%s of %v: %v", name, with, broke)
		}
	}
}

// TestFindingsAreAsked: no finding of the table is left over.
func TestFindingsAreAsked(t *testing.T) {
	var all map[string]evidence.Finding
	if _, err := toml.DecodeFS(texts, "findings.toml", &all); err != nil {
		t.Fatal(err)
	}
	var code strings.Builder
	files, err := filepath.Glob("item*.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		code.Write(text)
	}
	for name := range all {
		if !strings.Contains(code.String(), `("`+name+`", `) {
			t.Errorf("nothing finds %q", name)
		}
	}
}
