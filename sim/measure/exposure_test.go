package measure

import (
	"math"
	"testing"

	"onegrain/sim"
	"onegrain/sim/body"
	"onegrain/sim/growth"
	"onegrain/sim/liquid"
	"onegrain/sim/nucleation"
)

// TestLiquid is the closed form of a box that grows at constant rates in a prism: the liquid left
// after t hours of growth is the body less (2(h + R_a t))² R_c t, of its top face less (2(h + R_a
// t))². Tolerance: half a cell's layer around the box and a step of the 200. Along the programme of
// the run the table has the strays that Odds finds cell by cell, within 2 %. Canary: a growth rate
// 5 % off.
func TestLiquid(t *testing.T) {
	const w, h, height, cell, ra, rc = 15.0, 1.5, 8.0, 0.5, 0.72, 0.4
	g := block(t, 2*w, 2*w, height, cell, body.Solid)
	on, grains := scene(g, 0)
	on.Seeds[0].SizeMM = [2]float64{2 * h, 2 * h}
	on.Nuclei = nucleation.Model{Melt: steady(t, 1), Top: steady(t, 1)}
	field := boxed(g, h, ra, rc, height)
	s := look(on, grains, field, 5)
	of := s.Liquid()
	off := 0
	for n := range 20 {
		since := (height - cell/2) / rc * float64(n) / 20
		at := liquid.Lengths{A: on.GrowthA.Rate(10) * since} // all cells of this field are of a faces
		area := func(ra float64) float64 { return math.Pow(2*math.Min(w, h+ra*since), 2) }
		deep := math.Min(height, rc*since)
		melt, top := 4*w*w*height-area(ra)*deep, 4*w*w-area(ra)
		step := 0.1
		layer := (cell/2 + step*ra) * (area(ra) + 8*w*deep)
		if found := of.Left(nucleation.Melt, at); math.Abs(found-melt) > layer+1e-9 {
			t.Errorf("%g mm³ of melt left after %g h, wanted %g ± %g", found, since, melt, layer)
		}
		edge := 8 * w * (cell/2 + step*ra)
		if n == 0 {
			edge = 4*h*h + edge // the patch
		}
		if found := of.Left(nucleation.Top, at); math.Abs(found-top) > edge {
			t.Errorf("%g mm² of top left after %g h, wanted %g", found, since, top)
		}
		if math.Abs(of.Left(nucleation.Top, at)-(4*w*w-area(1.05*ra))) > edge {
			off++
		}
	}
	if off == 0 {
		t.Error("the canary passes: a growth rate 5 % off is not noticed")
	}
	if of.Whole(nucleation.Side) != 0 || of.Whole(nucleation.Bottom) != 0 {
		t.Error("liquid of places without a law")
	}
	odds := s.Odds()
	on.Programme.Knots[len(on.Programme.Knots)-1].TimeH = 1 + (height-cell/2)/rc
	found := of.Course(on.Programme, liquid.Laws{GrowthA: on.GrowthA, GrowthC: on.GrowthC, Nuclei: on.Nuclei}, liquid.Fine)
	for _, origin := range []nucleation.Origin{nucleation.Melt, nucleation.Top} {
		if want := odds.ByOrigin[origin]; math.Abs(found.Strays[origin]/want-1) > 5e-3 {
			t.Errorf("origin %d: %g added up, the odds say %g", origin, found.Strays[origin], want)
		}
	}
}

// TestLiquidOfALastFace: a flat body is full when an a face arrives, a slow one along c when a c
// face does; and what stays liquid stays.
func TestLiquidOfALastFace(t *testing.T) {
	g := block(t, 10, 10, 4, 0.5, body.Solid)
	on, grains := scene(g, 0)
	on.Nuclei.Melt = steady(t, 1)
	far := 1e3 // mm
	for _, c := range []struct {
		sector uint8
		last   liquid.Lengths
	}{{0, liquid.Lengths{A: far}}, {3, liquid.Lengths{A: far}}, {4, liquid.Lengths{C: far}}, {5, liquid.Lengths{C: far}},
		{6, liquid.Lengths{A: far}}} {
		field := made{g, func(x, _, _ float64) (int, uint8, float64) {
			if x > 4.5 {
				return 0, c.sector, 9
			}
			return 0, 2, 3
		}}
		of := look(on, grains, field, 5).Liquid()
		if left := of.Left(nucleation.Melt, c.last); left != 0 || !of.Full(c.last) {
			t.Errorf("last by sector %d: %v left", c.sector, left)
		}
		if other := (liquid.Lengths{A: c.last.C, C: c.last.A}); of.Full(other) {
			t.Errorf("last by sector %d: full by the other faces", c.sector)
		}
	}
	some := made{g, func(x, _, _ float64) (int, uint8, float64) {
		if x > 0 {
			return growth.Liquid, 0, 0
		}
		return 0, 2, 3
	}}
	of := look(on, []sim.Grain{grains[0]}, some, 5).Liquid()
	if left := of.Left(nucleation.Melt, liquid.Lengths{A: far, C: far}); math.Abs(left-200) > 1e-9 {
		t.Errorf("%g mm³ left at the end; wanted 200", left)
	}
}
