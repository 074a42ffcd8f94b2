package measure

import (
	"math"

	"onegrain/sim/growth"
	"onegrain/sim/nucleation"
)

// Exposure tells in how much liquid strays could still start, at equal steps of time from the start
// of growth until the body is full or the programme ends. It is made for whoever designs
// programmes: weights times a law's rate, added up along the way, are Λ.
type Exposure struct {
	TimeH              []float64                        // hours from the start of the programme
	GrownAMM, GrownCMM []float64                        // what the faces of the first seed's grain have grown by then, mm
	Left               [nucleation.Bottom + 1][]float64 // by origin: mm³ (melt) or mm² still liquid; nil where no law is
	FullH              float64                          // when the last place was solid; +Inf where liquid stays
	LastByC            bool                             // by a c face
}

// exposureSteps is how many steps Exposure takes.
const exposureSteps = 200

// Exposure is for the survey of a run without strays and with a seed.
func (s *Survey) Exposure() *Exposure {
	c := s.on
	e := &Exposure{FullH: math.Inf(1)}
	start, end := s.GrowthStartH(), c.Programme.EndH()
	if s.liquid == 0 {
		e.FullH, end = s.fullH, s.fullH
	}
	free := newFree(c, s.grains[0].BornH)
	for n := range exposureSteps + 1 {
		t := start + float64((end-start)*(float64(n)/exposureSteps))
		e.TimeH = append(e.TimeH, t)
		e.GrownAMM, e.GrownCMM = append(e.GrownAMM, free.grown(c.GrowthA, t)), append(e.GrownCMM, free.lengthC(t))
	}
	for origin := range e.Left {
		if c.Nuclei.Law(nucleation.Origin(origin)) != nil {
			e.Left[origin] = make([]float64, exposureSteps+1)
		}
	}
	s.expose(e, start, end)
	return e
}

// expose adds every cell to the steps at which it is still liquid.
func (s *Survey) expose(e *Exposure, start, end float64) {
	weigh := nucleation.NewOdds(s.on.Nuclei, s.on.Grid, s.on.Cooling)
	scale := exposureSteps / (end - start)
	last := 0.0
	cells(s.field, s.on.Grid.N, func(i, j, k int, c growth.Cell) {
		step := exposureSteps
		if c.Grain >= 0 {
			t := float64(c.TimeH)
			step = max(0, min(step, int(math.Ceil((t-start)*scale))-1)) // the last step before t
			if t > last {
				last, e.LastByC = t, c.Sector == 4 || c.Sector == 5
			}
		}
		for origin, left := range e.Left {
			if left != nil {
				left[step] += weigh.Weight(nucleation.Origin(origin), i, j, k)
			}
		}
	})
	for _, left := range e.Left {
		for n := len(left) - 2; n >= 0; n-- {
			left[n] += left[n+1]
		}
	}
}
