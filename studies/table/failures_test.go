package table

import (
	"os"
	"path/filepath"
	"testing"
)

// The first failures are read, all are counted, and a line that a kill has cut short is left out.
func TestFailuresAreReadAgain(t *testing.T) {
	dir, f := create(t)
	for _, id := range []string{"a", "b", "c"} {
		if err := f.Fail(Failure{CaseID: id, Replicate: 2, Error: "out of memory"}); err != nil {
			t.Fatal(err)
		}
	}
	name := filepath.Join(dir, failuresName)
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(name, text[:len(text)-5], 0o644); err != nil {
		t.Fatal(err)
	}
	if first, all, err := f.Failures(1); err != nil || all != 2 || len(first) != 1 || first[0].CaseID != "a" ||
		first[0].Replicate != 2 {
		t.Errorf("first %+v of %d, %v", first, all, err)
	}
	if err := os.Remove(name); err != nil {
		t.Fatal(err)
	}
	if first, all, err := f.Failures(1); err != nil || all != 0 || first != nil {
		t.Errorf("without a file: first %+v of %d, %v", first, all, err)
	}
}
