package door

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/sourcegraph/conc/panics"
)

// TestRefused: a program that fails is told with what it said, and a name can be used once.
func TestRefused(t *testing.T) {
	dir := t.TempDir()
	script := filepath.Join(dir, "program")
	if err := os.WriteFile(script, []byte("#!/bin/sh\necho no such melt >&2\nexit 2\n"), 0o777); err != nil {
		t.Fatal(err)
	}
	d, err := Open(script, dir, 1)
	if err != nil {
		t.Fatal(err)
	}
	refusal := func(study string) string {
		return fmt.Sprint(panics.Try(func() { d.Run("one", study) }).Value)
	}
	if said := refusal("title = 1"); !strings.Contains(said, "no such melt") || !strings.Contains(said, "one") {
		t.Errorf("a refused study: %s", said)
	}
	if said := refusal("title = 2"); !strings.Contains(said, "taken") {
		t.Errorf("a name used twice: %s", said)
	}
	if _, err := Open(filepath.Join(dir, "absent"), dir, 1); err == nil || !strings.Contains(err.Error(), "make build") {
		t.Errorf("no program: %v", err)
	}
}

// TestDamagedVolume: what is no volume, or cut off, is an error and no panic.
func TestDamagedVolume(t *testing.T) {
	head := `<ImageData WholeExtent="0 2 0 1 0 1" Origin="0 0 0" Spacing="1 1 1">` +
		`<DataArray type="Int32" Name="grain" format="appended" offset="0"/>`
	for _, text := range []string{"", head, head + "<AppendedData encoding=\"raw\">\n_", head + "<AppendedData " +
		"encoding=\"raw\">\n_" + strings.Repeat("\xff", 64)} {
		if v, err := parse([]byte(text)); err == nil {
			t.Errorf("%q was read as %+v", text, v)
		}
	}
}
