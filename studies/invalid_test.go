package studies

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"onegrain/studies/strict"
)

const (
	invalid    = "../testdata/invalid"
	testMemory = 1 << 30 // bytes for one run
)

func openBeside(name string) ([]byte, error) {
	return os.ReadFile(filepath.Join(invalid, "files", name))
}

// TestInvalidStudies walks the studies that cannot work. Each names on its first lines the valid
// study it comes from and the rule it breaks, and differs from that study in few lines; its .want
// holds all that Load says of it.
func TestInvalidStudies(t *testing.T) {
	paths, err := filepath.Glob(filepath.Join(invalid, "*.toml"))
	if err != nil || len(paths) < 150 {
		t.Fatalf("%d invalid studies (%v), wanted 150 at least", len(paths), err)
	}
	wants, rules := map[string]string{}, map[string]string{}
	for _, path := range paths {
		name := filepath.Base(path)
		text := read(t, path)
		base, rule, body := header(t, name, text)
		if other, ok := rules[rule]; ok {
			t.Errorf("%s: its rule is that of %s", name, other)
		}
		rules[rule] = name
		if n := changedLines(read(t, filepath.Join(invalid, "base", base+".toml")), body); n == 0 || n > 20 {
			t.Errorf("%s: %d lines differ from its base, wanted 1 to 20", name, n)
		}
		_, err := Load(name, []byte(text), openBeside, testMemory, decode)
		var problems strict.Problems
		if !errors.As(err, &problems) {
			t.Errorf("%s: no problems found (%v); rule: %s", name, err, rule)
			continue
		}
		check(t, path, name, err.Error()+"\n", wants)
	}
}

func check(t *testing.T, path, name, got string, wants map[string]string) {
	t.Helper()
	file := strings.TrimSuffix(path, ".toml")
	plain := strings.ReplaceAll(got, name, "")
	if other, ok := wants[plain]; ok {
		t.Errorf("%s says the same as %s", name, other)
	}
	wants[plain] = name
	want, err := os.ReadFile(file + ".want")
	if err == nil && string(want) == got {
		_ = os.Remove(file + ".got")
		return
	}
	t.Errorf("%s:\ngot   %swanted %s", name, got, want)
	if err := os.WriteFile(file+".got", []byte(got), 0o644); err != nil {
		t.Error(err)
	}
}

// TestBasesAreValid proves that nothing but the edit makes a study invalid.
func TestBasesAreValid(t *testing.T) {
	paths, err := filepath.Glob(filepath.Join(invalid, "base", "*.toml"))
	if err != nil || len(paths) == 0 {
		t.Fatal("no base studies", err)
	}
	for _, path := range paths {
		s, err := Load(filepath.Base(path), []byte(read(t, path)), openBeside, testMemory, decode)
		if err != nil {
			t.Errorf("%v", err)
			continue
		}
		for i := range s.Cases() {
			p, err := s.Plan(i)
			if err != nil {
				t.Fatal(err)
			}
			if _, err := p.Case(); err != nil {
				t.Errorf("%s, case %d: %v", path, i, err)
			}
		}
	}
}

func read(t *testing.T, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func header(t *testing.T, name, text string) (base, rule, body string) {
	t.Helper()
	lines := strings.SplitN(text, "\n", 3)
	base, ok := strings.CutPrefix(lines[0], "# base: ")
	rule, ok2 := strings.CutPrefix(lines[1], "# rule: ")
	if !ok || !ok2 {
		t.Fatalf("%s: wanted # base: and # rule: on its first two lines", name)
	}
	return base, rule, lines[2]
}

// changedLines counts the lines of two texts that are not in their longest common subsequence.
func changedLines(a, b string) int {
	x, y := strings.Split(a, "\n"), strings.Split(b, "\n")
	common := make([][]int, len(x)+1)
	for i := range common {
		common[i] = make([]int, len(y)+1)
	}
	for i := range x {
		for j := range y {
			if x[i] == y[j] {
				common[i+1][j+1] = common[i][j] + 1
			} else {
				common[i+1][j+1] = max(common[i][j+1], common[i+1][j])
			}
		}
	}
	return len(x) + len(y) - 2*common[len(x)][len(y)]
}
