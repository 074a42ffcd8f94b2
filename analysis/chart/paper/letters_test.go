package paper

import (
	"strings"
	"testing"
)

func TestLetteringKeepsUnitsAndWords(t *testing.T) {
	const long = "A title that is much longer than any sheet is wide, with a unit s⁻¹, ΔT, ⟨110⟩ and " +
		"averyveryveryveryveryveryveryveryveryveryveryveryveryveryveryveryverylongword that no line can hold"
	letters, err := NewLetters()
	if err != nil {
		t.Fatal(err)
	}
	const unit = "s⁻¹ mm² ΔT ⟨110⟩ − ≤ °C λ ∝"
	if got := letters.Known(unit); got != unit {
		t.Errorf("%q is written %q", unit, got)
	}
	if got := letters.Known("a\U0001F9CA"); got != "a\uFFFD" {
		t.Errorf("a sign the typeface lacks is written %q", got)
	}
	lines := letters.Wrapped(10, 120, long)
	if joined := strings.Join(lines, ""); strings.ReplaceAll(joined, " ", "") != strings.ReplaceAll(long, " ", "") {
		t.Errorf("wrapping lost text: %q", joined)
	}
	for _, line := range lines {
		if letters.Width(10, line) > 120 {
			t.Errorf("line %q is %v points wide", line, letters.Width(10, line))
		}
	}
	if n := len(letters.Wrapped(10, 120, "")); n != 0 {
		t.Errorf("no text gives %d lines", n)
	}
}
