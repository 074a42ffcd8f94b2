package table

import (
	"bytes"
	"encoding/json"
	"os"
	"testing"
)

// BenchmarkFailures tells what a failure costs where there are 6,000 already: as much as the first
// one, since those are not read again for it.
func BenchmarkFailures(b *testing.B) {
	what := Failure{CaseID: "0123456789abcdef", Replicate: 1, Values: map[string]any{"rate": 0.5}, Error: "broken"}
	line, err := json.Marshal(what)
	if err != nil {
		b.Fatal(err)
	}
	f, err := Create(b.TempDir()+"/r", []byte("title = \"a\"\n"), undrawn, session())
	if err != nil {
		b.Fatal(err)
	}
	if err := os.WriteFile(f.path(failuresName), bytes.Repeat(append(line, '\n'), 6000), 0o666); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if err := f.Fail(what); err != nil {
			b.Fatal(err)
		}
	}
}
