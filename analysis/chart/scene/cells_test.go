package scene

import (
	"math"
	"strings"
	"testing"
)

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
	refused(t, "Clear.DiameterMM = -1", puck(2, 0), Sheet{Clear: Disc{DiameterMM: -1}})
	_, err := Make("grain", puck(2, 0), Sheet{}, measure)
	if err == nil || !strings.Contains(err.Error(), `no picture "grain"`) {
		t.Errorf("a kind that there is not: error %v", err)
	}
}

// refused checks that no picture is made and that the error says what is wrong.
func refused(t *testing.T, want string, c *Cells, s Sheet) {
	t.Helper()
	for _, kind := range kinds() {
		if made, err := Make(kind, c, withAngles(s), measure); err == nil || !strings.Contains(err.Error(), want) ||
			made != nil {
			t.Errorf("%s: error %v, wanted one with %q", kind, err, want)
		}
	}
}

// usual are the planes of a sheet that asks for none.
func usual(c *Cells, atH float64) []*view {
	s := Sheet{AtH: atH}
	return s.views(c, counted(c, s.untilH()))
}

// TestSectionRunsThroughTheLargestStray: the plane that is shown holds cells of it, wherever it is,
// and more of the body than the plane across; without strays it is that of the first seed.
func TestSectionRunsThroughTheLargestStray(t *testing.T) {
	for _, at := range [][2]float64{{0, 8}, {8, 0}, {-6, -6}, {1, -7}} {
		from := []nucleus{{halfMM: 1, at: [3]float64{2, 2.2, 4}}, {at: [3]float64{at[0], at[1], 1}, bornH: 4},
			{at: [3]float64{-7, 3, 1}, bornH: 14}}
		c := grownField([3]int{40, 40, 8}, 0.5, -1, disc(10), from)
		p, seen := usual(c, 0)[1], false
		for v := range p.v.n {
			for u := range p.u.n {
				seen = seen || p.grain(u, v) == 1
			}
		}
		wrongWay := at == [2]float64{0, 8} && p.along != 0 || at == [2]float64{8, 0} && p.along != 1
		if !seen || wrongWay || !strings.HasPrefix(p.caption(), "Vertical section through the largest stray, ") {
			t.Errorf("stray at %v: the plane %q shows it: %v", at, p.caption(), seen)
		}
		if early := usual(c, 3)[1]; math.Abs(early.atMM()-2.25) > 1e-12 ||
			early.caption() != "Vertical section, y = 2.25 mm" {
			t.Errorf("before there is a stray the plane is %q, wanted that of the first seed", early.caption())
		}
	}
	c := grownField([3]int{20, 20, 4}, 0.5, -1, everywhere, []nucleus{{halfMM: 1, at: [3]float64{0, 99, 1}}})
	if y := usual(c, 0)[1].atMM(); math.Abs(y-4.75) > 1e-12 {
		t.Errorf("for a seed beyond the body the section is at %v mm, wanted the last row", y)
	}
	if y := usual(grownField([3]int{20, 20, 4}, 0.5, -1, everywhere, nil), 1)[1].atMM(); math.Abs(y-0.25) > 1e-12 {
		t.Errorf("without a seed the section is at %v mm, wanted the middle", y)
	}
}
