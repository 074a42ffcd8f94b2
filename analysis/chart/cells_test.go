package chart

import (
	"bytes"
	"math"
	"strconv"
	"strings"
	"testing"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/scale"
)

func number64(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

func TestFaultyFieldsAreNamed(t *testing.T) {
	for want, spoil := range map[string]func(c *Cells){
		"N[1] = 0":               func(c *Cells) { c.N[1] = 0 },
		"N[2] = 2147483647":      func(c *Cells) { c.N[2] = math.MaxInt32 },
		"CellMM = NaN":           func(c *Cells) { c.CellMM = math.NaN() },
		"CellMM = -1":            func(c *Cells) { c.CellMM = -1 },
		"Flat = 0":               func(c *Cells) { c.Flat = 0 },
		"along the flat axis z":  func(c *Cells) { c.Flat = 2 },
		"Grain has 3 values":     func(c *Cells) { c.Grain = c.Grain[:3] },
		"TimeH has 0 values":     func(c *Cells) { c.TimeH = nil },
		"Sector has 1 values":    func(c *Cells) { c.Sector = c.Sector[:1] },
		"there are 1 grains":     func(c *Cells) { c.Grain[0] = 1 },
		"Grain[0] = -3":          func(c *Cells) { c.Grain[0] = -3 },
		"Sector[0] = 7":          func(c *Cells) { c.Grain[0], c.Sector[0] = 0, 7 },
		"TimeH[0] = NaN":         func(c *Cells) { c.Grain[0], c.TimeH[0] = 0, float32(math.NaN()) },
		"TimeH[0] = -2 h":        func(c *Cells) { c.Grain[0], c.TimeH[0] = 0, -2 },
		"Origin[2] = NaN":        func(c *Cells) { c.Origin[2] = math.NaN() },
		"Grains[0].AtMM[1]":      func(c *Cells) { c.Grains[0].AtMM[1] = math.Inf(1) },
		"Grains[0].Axes[8] = 2":  func(c *Cells) { c.Grains[0].Axes[8] = 2 },
		"wanted 1152":            func(c *Cells) { c.Grain, c.TimeH = nil, nil },
		"0 values for 12 × 12 ×": func(c *Cells) { c.Grain, c.Sector, c.TimeH = nil, nil, nil },
	} {
		c := puck(2, 0)
		c.N[2], c.Grain, c.Sector, c.TimeH = 4, c.Grain[:576], c.Sector[:576], c.TimeH[:576]
		if strings.Contains(want, "1152") {
			c = grownField([3]int{12, 12, 8}, 1, -1, everywhere, nil)
		}
		spoil(c)
		refused(t, want, c, Sheet{})
	}
	refused(t, "no cells given", nil, Sheet{})
	refused(t, "AtH = -1", puck(2, 0), Sheet{AtH: -1})
	refused(t, "AtH = NaN", puck(2, 0), Sheet{AtH: math.NaN()})
}

// refused checks that no picture is made and that the error says what is wrong.
func refused(t *testing.T, want string, c *Cells, s Sheet) {
	t.Helper()
	kinds := drawers()
	if s.AtH == 0 {
		kinds["volume"] = nil
	}
	for kind, draw := range kinds {
		var buf bytes.Buffer
		var err error
		if draw == nil {
			err = WriteVTI(&buf, c)
		} else {
			_, err = draw(&buf, c, s)
		}
		if err == nil || !strings.Contains(err.Error(), want) || buf.Len() > 0 {
			t.Errorf("%s: error %v after %d bytes, wanted one with %q", kind, err, buf.Len(), want)
		}
	}
}

func TestUnknownFormatIsRefused(t *testing.T) {
	var buf bytes.Buffer
	if _, err := Grains(&buf, puck(2, 0), Sheet{Format: 7}); err == nil || !strings.Contains(err.Error(), "Format = 7") {
		t.Errorf("error %v", err)
	}
}

// TestSectionRunsThroughTheLargestStray: the plane that is shown holds cells of it, wherever it is,
// and more of the body than the plane across; without strays it is that of the first seed.
func TestSectionRunsThroughTheLargestStray(t *testing.T) {
	for _, at := range [][2]float64{{0, 8}, {8, 0}, {-6, -6}, {1, -7}} {
		from := []nucleus{{halfMM: 1, at: [3]float64{2, 2.2, 4}}, {at: [3]float64{at[0], at[1], 1}, bornH: 4}, {at: [3]float64{-7, 3, 1}, bornH: 14}}
		c := grownField([3]int{40, 40, 8}, 0.5, -1, disc(10), from)
		p, seen := views(c, math.Inf(1))[1], false
		for v := range p.nv {
			for u := range p.nu {
				seen = seen || p.grain(u, v) == 1
			}
		}
		if !seen || !strings.HasPrefix(p.caption(), "Vertical section through the largest stray, ") || at == [2]float64{0, 8} && p.uAxis != 1 || at == [2]float64{8, 0} && p.uAxis != 0 {
			t.Errorf("stray at %v: the plane %q shows it: %v", at, p.caption(), seen)
		}
		if early := views(c, 3)[1]; math.Abs(early.cutMM-2.25) > 1e-12 || early.caption() != "Vertical section, y = 2.25 mm" {
			t.Errorf("before there is a stray the plane is %q, wanted that of the first seed", early.caption())
		}
	}
	c := grownField([3]int{20, 20, 4}, 0.5, -1, everywhere, []nucleus{{halfMM: 1, at: [3]float64{0, 99, 1}}})
	if y := views(c, math.Inf(1))[1].cutMM; math.Abs(y-4.75) > 1e-12 {
		t.Errorf("for a seed beyond the body the section is at %v mm, wanted the last row", y)
	}
	if y := views(grownField([3]int{20, 20, 4}, 0.5, -1, everywhere, nil), 1)[1].cutMM; math.Abs(y-0.25) > 1e-12 {
		t.Errorf("without a seed the section is at %v mm, wanted the middle", y)
	}
}

func TestLetteringKeepsUnitsAndWords(t *testing.T) {
	letters, err := paper.NewLetters()
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
	lines := letters.Wrapped(10, 120, longTitle)
	if joined := strings.Join(lines, ""); strings.ReplaceAll(joined, " ", "") != strings.ReplaceAll(longTitle, " ", "") {
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
	for x, want := range map[float64]string{-1.25: "−1.2", 0: "0.0", -0.01: "0.0", 3: "3.0"} {
		if got := scale.Number(x, 1); got != want {
			t.Errorf("%v is written %q, wanted %q", x, got, want)
		}
	}
}
