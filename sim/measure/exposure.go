package measure

import (
	"math"

	"onegrain/sim/growth"
	"onegrain/sim/liquid"
	"onegrain/sim/nucleation"
)

// exposureSteps is how many steps Liquid takes.
const exposureSteps = 200

// Liquid is how the liquid of a run without strays and with a seed went, as a guess of how it goes
// under other programmes: in steps of equal time along the length of the first seed's faces, a or
// c, whichever were last.
func (s *Survey) Liquid() *liquid.Table {
	c := s.on
	start, end := s.GrowthStartH(), c.Programme.EndH()
	if s.liquid == 0 {
		end = s.fullH
	}
	var left [nucleation.Bottom + 1][]float64
	for origin := range left {
		if c.Nuclei.Law(nucleation.Origin(origin)) != nil {
			left[origin] = make([]float64, exposureSteps+1)
		}
	}
	lastByC := s.expose(&left, start, end)
	free, grown := newFree(c, s.grains[0].BornH), make([]float64, exposureSteps+1)
	for n := range grown {
		t := start + float64((end-start)*(float64(n)/exposureSteps))
		if grown[n] = free.grown(c.GrowthA, t); lastByC {
			grown[n] = free.lengthC(t)
		}
	}
	return liquid.Along(grown, lastByC, left)
}

// expose adds every cell to the steps at which it is still liquid, mm³ or mm², and says whether the
// last was captured by a c face.
func (s *Survey) expose(all *[nucleation.Bottom + 1][]float64, start, end float64) (lastByC bool) {
	weigh := nucleation.NewOdds(s.on.Nuclei, s.on.Grid, s.on.Cooling)
	scale := exposureSteps / (end - start)
	last := 0.0
	cells(s.field, s.on.Grid.N, func(i, j, k int, c growth.Cell) {
		step := exposureSteps
		if c.Grain >= 0 {
			t := float64(c.TimeH)
			step = max(0, min(step, int(math.Ceil((t-start)*scale))-1)) // the last step before t
			if t > last {
				last, lastByC = t, c.Sector == 4 || c.Sector == 5
			}
		}
		for origin, left := range all {
			if left != nil {
				left[step] += weigh.Weight(nucleation.Origin(origin), i, j, k)
			}
		}
	})
	for _, left := range all {
		for n := len(left) - 2; n >= 0; n-- {
			left[n] += left[n+1]
		}
	}
	return lastByC
}
