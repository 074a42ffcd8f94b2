package main

import (
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// What the pages show of case 4 of two-seeds-turned is what `draw` says of the magnet.
func TestTheManualTellsOfTheMagnet(t *testing.T) {
	told := func(n int) string {
		t.Helper()
		var said strings.Builder
		study, dir := filepath.Join("..", "..", "studies", "catalog", "two-seeds-turned.toml"), t.TempDir()
		args := []string{"draw", study, "--case", strconv.Itoa(n), "--no-strays", "--pictures", "programme", "--out", dir}
		if code := execute(args, streams{out: &strings.Builder{}, err: &said}); code != exitDone {
			t.Fatalf("exit code %d: %s", code, said.String())
		}
		_, magnet, _ := strings.Cut(said.String(), "mm across\n")
		return magnet
	}
	if four := told(4); four == "" || !strings.Contains(manual(t), "```\n"+four+"```") {
		t.Errorf("the manual lacks what is told of case 4:\n%s", four)
	}
	if strings.Contains(manual(t), told(5)) {
		t.Error("canary: case 5 is in the manual too")
	}
}
