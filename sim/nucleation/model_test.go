package nucleation

import (
	"testing"

	"onegrain/sim/body"
	"onegrain/sim/crystal"
	"onegrain/sim/draw"
	"onegrain/sim/furnace"
)

// Parallel crystals leave nothing to chance, in space and in both planes; others do.
func TestParallel(t *testing.T) {
	for _, flat := range []int{-1, 1, 2} {
		if o := (Parallel{}).Orientation(flat, [3]float64{0.3, 0.2, 0.9}); o != crystal.Turned(0, 0, 0) {
			t.Errorf("flat axis %d: parallel crystals are turned: %+v", flat, o)
		}
		if o := (Random{}).Orientation(flat, [3]float64{0.3, 0.2, 0.9}); o == crystal.Turned(0, 0, 0) {
			t.Errorf("flat axis %d: random crystals stand parallel", flat)
		}
	}
}

func TestOrigins(t *testing.T) {
	if Seed.String() != "seed" || Bottom.String() != "bottom" || Origin(9).String() != "unknown" {
		t.Error("names of origins")
	}
	g := disc(12, 5, 0.5, 0, -1)
	odds := NewOdds(Model{Top: sitesOf(1, 12, 2)}, g, furnace.Cooling{Programme: ramp(1, 25)})
	if odds.Weight(Top, 6, 6, 4) != 0.25 || odds.Weight(Top, 6, 6, 3) != 0 || odds.Weight(Melt, 6, 6, 4) != 0 ||
		odds.Weight(Top, 0, 0, 4) != 0 || expected(odds, 0, 0, 4, 25) != 0 {
		t.Error("weights of cells")
	}
	cold := furnace.Cooling{Gradient: furnace.Gradient{VerticalKPerMM: 1}}
	cold.Programme.Knots = []furnace.Knot{{TimeH: 0, UndercoolingK: 5}, {TimeH: 9, UndercoolingK: 20}}
	never := NewOdds(Model{Melt: sitesOf(1, 12, 2)}, g, cold).Events(draw.NewKey("never"))
	if _, ok := never.Next(); ok {
		t.Error("a body that was never molten nucleates")
	}
	full := NewOdds(Model{}, g, furnace.Cooling{Programme: ramp(1, 20)}).Events(draw.NewKey("none"))
	if _, ok := full.Next(); ok {
		t.Error("no law nucleates")
	}
	if up := (Fibre{}).Orientation(1, [3]float64{0.3, 0, 0}); up != crystal.Turned(0, 0, 0) {
		t.Error("a vertical section of a fibre leaves nothing to turn")
	}
	empty := body.NewOutline([3]int{1, 1, 1}, 1, [3]float64{}, -1, []body.State{body.Outside})
	none := NewOdds(Model{Melt: sitesOf(1, 12, 2)}, empty, furnace.Cooling{Programme: ramp(1, 20)})
	if _, ok := none.Events(draw.NewKey("empty")).Next(); ok {
		t.Error("a body without cells nucleates")
	}
	if i := chosen([]float64{0, 2, 2}, 1); i != 1 {
		t.Errorf("the very end falls on member %d, which has no share", i)
	}
	random := NewOdds(Model{}, empty, furnace.Cooling{}).model.Texture.Orientation(-1, [3]float64{0.1, 0.2, 0.3})
	if random != crystal.Random(0.1, 0.2, 0.3) {
		t.Error("orientations in three dimensions are uniform on SO(3)")
	}
}
