package measure

import (
	"math"
	"testing"

	"onegrain/sim"
	"onegrain/sim/body"
	"onegrain/sim/growth"
	"onegrain/sim/nucleation"
)

// TestExposure is the closed form of a box that grows at constant rates in a prism: the liquid left
// after t hours of growth is the body less (2(h + R_a t))² R_c t, of its top face less (2(h + R_a
// t))². Tolerance: half a cell's layer around the box. Added up over time at a rate of one stray
// per unit and hour it is the Λ that Odds finds cell by cell; the steps of 1/200 of the time cost
// 2e-4. Canary: a growth rate 5 % off.
func TestExposure(t *testing.T) {
	const w, h, height, cell, ra, rc = 15.0, 1.5, 8.0, 0.5, 0.72, 0.4
	g := block(t, 2*w, 2*w, height, cell, body.Solid)
	on, grains := scene(g, 0)
	on.Seeds[0].SizeMM = [2]float64{2 * h, 2 * h}
	on.Nuclei = nucleation.Model{Melt: steady(t, 1), Top: steady(t, 1)}
	field := boxed(g, h, ra, rc, height)
	s := look(on, grains, field, 5)
	e := s.Exposure()
	off := 0
	for n, hour := range e.TimeH {
		since := hour - 1
		area := func(ra float64) float64 { return math.Pow(2*math.Min(w, h+ra*since), 2) }
		deep := math.Min(height, rc*since)
		melt, top := 4*w*w*height-area(ra)*deep, 4*w*w-area(ra)
		layer := cell / 2 * (area(ra) + 8*w*deep)
		if found := e.Left[nucleation.Melt][n]; math.Abs(found-melt) > layer+1e-9 {
			t.Errorf("%g mm³ of melt left after %g h, wanted %g ± %g", found, since, melt, layer)
		}
		if found := e.Left[nucleation.Top][n]; math.Abs(found-top) > 8*w*cell/2+1e-9 {
			t.Errorf("%g mm² of top left after %g h, wanted %g", found, since, top)
		}
		if math.Abs(e.Left[nucleation.Top][n]-(4*w*w-area(1.05*ra))) > 8*w*cell/2 {
			off++
		}
		if want := on.GrowthA.Rate(10) * since; math.Abs(e.GrownAMM[n]-want) > 1e-9 {
			t.Errorf("a face has grown %g mm after %g h, wanted %g", e.GrownAMM[n], since, want)
		}
		if want := on.GrowthC.Rate(10) * since; math.Abs(e.GrownCMM[n]-want) > 1e-9 {
			t.Errorf("c face has grown %g mm after %g h, wanted %g", e.GrownCMM[n], since, want)
		}
	}
	if off == 0 {
		t.Error("the canary passes: a growth rate 5 % off is not noticed")
	}
	if e.Left[nucleation.Side] != nil || e.Left[nucleation.Bottom] != nil {
		t.Error("liquid of places without a law")
	}
	if want := 1 + (height-cell/2)/rc; math.Abs(e.FullH-want) > 1e-5 {
		t.Errorf("full after %g h, wanted %g", e.FullH, want)
	}
	odds := s.Odds()
	for _, origin := range []nucleation.Origin{nucleation.Melt, nucleation.Top} {
		sum := 0.0
		for n := 1; n < len(e.TimeH); n++ {
			sum += (e.Left[origin][n-1] + e.Left[origin][n]) / 2 * (e.TimeH[n] - e.TimeH[n-1])
		}
		if want := odds.ByOrigin[origin]; math.Abs(sum/want-1) > 5e-3 {
			t.Errorf("origin %d: %g added up, the odds say %g", origin, sum, want)
		}
	}
}

// TestExposureOfALastFace: a flat body is full when an a face arrives, a slow one along c when a c
// face does; and what stays liquid stays exposed.
func TestExposureOfALastFace(t *testing.T) {
	g := block(t, 10, 10, 4, 0.5, body.Solid)
	on, grains := scene(g, 0)
	on.Nuclei.Melt = steady(t, 1)
	for _, c := range []struct {
		sector uint8
		byC    bool
	}{{0, false}, {3, false}, {4, true}, {5, true}, {6, false}} {
		field := made{g, func(x, _, _ float64) (int, uint8, float64) {
			if x > 4.5 {
				return 0, c.sector, 9
			}
			return 0, 2, 3
		}}
		if e := look(on, grains, field, 5).Exposure(); e.LastByC != c.byC || e.FullH != 9 {
			t.Errorf("last by sector %d: %v, full after %g h", c.sector, e.LastByC, e.FullH)
		}
	}
	liquid := made{g, func(x, _, _ float64) (int, uint8, float64) {
		if x > 0 {
			return growth.Liquid, 0, 0
		}
		return 0, 2, 3
	}}
	e := look(on, []sim.Grain{grains[0]}, liquid, 5).Exposure()
	if last := e.Left[nucleation.Melt][exposureSteps]; !math.IsInf(e.FullH, 1) || math.Abs(last-200) > 1e-9 {
		t.Errorf("full after %g h, %g mm³ left at the end; wanted never and 200", e.FullH, last)
	}
}
