package measure

import (
	"math"
	"slices"

	"onegrain/sim"
)

// steps is how many equal steps History takes through the time of growth.
const steps = 200

// Moment is the state of a run at a time. The temperature in °C is the peritectic temperature less
// UndercoolingK.
type Moment struct {
	TimeH         float64 // from the start of the programme
	UndercoolingK float64 // at the reference point; negative above the peritectic temperature
	HalfWidthAMM  float64 // free half width of the first seed's grain along a, the seed included; NaN without a seed
	HalfWidthCMM  float64 // what its c face has grown
	SolidFraction float64 // of the body's volume, strays included
	Nuclei        int     // strays born so far
}

// History is the run at every knot of the programme and at 200 equal steps from the start of growth
// to the end.
func (s *Survey) History() []Moment {
	list := make([]Moment, len(s.times.hours))
	body := float64(s.body())
	solid, stray := 0, s.seeded
	for n, t := range s.times.hours {
		m := &list[n]
		*m = Moment{TimeH: t, UndercoolingK: s.on.Programme.Undercooling(t),
			HalfWidthAMM: math.NaN(), HalfWidthCMM: math.NaN()}
		if s.seeded > 0 {
			f := newFree(s.on, s.grains[0].BornH)
			m.HalfWidthAMM, m.HalfWidthCMM = f.halfA(t), f.lengthC(t)
		}
		solid += s.times.cells[n]
		m.SolidFraction = float64(solid) / body
		for stray < len(s.grains) && s.grains[stray].BornH <= t {
			stray++
		}
		m.Nuclei = stray - s.seeded
	}
	return list
}

// GrowthStartH is when the first seed begins to grow, hours from the start of the programme;
// without seeds when the reference point becomes undercooled.
func (s *Survey) GrowthStartH() float64 {
	if s.seeded == 0 {
		return s.on.Programme.GrowthStartH()
	}
	start := s.grains[0].BornH
	for _, g := range s.grains[:s.seeded] {
		start = math.Min(start, g.BornH)
	}
	return start
}

// calendar counts the cells captured up to each of its hours since the one before.
type calendar struct {
	hours []float64 // ascending
	edges []float64 // the hours rounded as the times of cells are
	cells []int     // one more than hours: the last counts what came later
	now   int       // the hour counted under last: that of a neighbour, and never far away
}

func newCalendar(c *sim.Case, start float64) calendar {
	var k calendar
	for _, knot := range c.Programme.Knots {
		k.hours = append(k.hours, knot.TimeH)
	}
	end := c.Programme.EndH()
	for n := 0; n <= steps && start < end; n++ {
		k.hours = append(k.hours, start+float64(float64(n)/steps*(end-start)))
	}
	slices.Sort(k.hours)
	k.hours = slices.Compact(k.hours)
	for _, t := range k.hours {
		k.edges = append(k.edges, float64(float32(t)))
	}
	k.cells = make([]int, len(k.hours)+1)
	return k
}

// add counts a cell under the first hour that is not before its time.
func (k *calendar) add(timeH float64) {
	for k.now > 0 && k.edges[k.now-1] >= timeH {
		k.now--
	}
	for k.now < len(k.edges) && k.edges[k.now] < timeH {
		k.now++
	}
	k.cells[k.now]++
}
