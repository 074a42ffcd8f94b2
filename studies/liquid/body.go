package liquid

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"onegrain/analysis/logbook"
	"onegrain/sim"
	"onegrain/sim/draw"
	"onegrain/sim/furnace"
	"onegrain/sim/measure"
)

// Body is a seeded body in which furnace runs were made.
type Body struct {
	name    string
	on      sim.Case
	key     draw.Key
	joinDeg float64
	known   map[string]*measure.Exposure // by programme and seed
}

// New is the body of a case whose seeds lie without scatter; key and joinDeg are those of the case.
// An error says why it cannot tell what was liquid.
func New(name string, on sim.Case, key draw.Key, joinDeg, peritecticC float64) (*Body, error) {
	switch {
	case len(on.Seeds) == 0:
		return nil, errors.New("it has no seed, so nothing uses its liquid up; leave --body out, " +
			"and give volume_mm3 and seed_mm = 0")
	case on.Grid.Flat >= 0:
		return nil, errors.New("it lies in a plane, and a furnace run has a volume; leave body.plane out")
	case on.Gradient != (furnace.Gradient{}):
		return nil, errors.New("under a gradient strays start at many undercoolings at once, " +
			"which this fit does not know; leave [gradient] out")
	}
	law := barrier(1, 1, peritecticC)
	n := &on.Nuclei // of a place without a law no liquid is given
	n.Melt, n.Top, n.Side, n.Bottom = law, law, law, law
	return &Body{name, on, key, joinDeg, map[string]*measure.Exposure{}}, nil
}

// Name is what errors call the body.
func (b *Body) Name() string { return b.name }

// left is what was liquid at a place (melt, top, side or bottom) along a run.
func left(e *measure.Exposure, place string) []float64 {
	return e.Left[slices.Index([]string{"melt", "top", "side", "bottom"}, place)+1]
}

// Whole is the whole of a place: mm³ of melt, or mm² of a surface.
func (b *Body) Whole(place string) float64 {
	return left(b.exposure([]logbook.Stage{{FromK: 10, ToK: 10, Hours: 1}}, 0), place)[0]
}

// exposure grows the body along stages. A seed width in mm takes the place of that of the study,
// unless it is 0.
func (b *Body) exposure(stages []logbook.Stage, seedMM float64) *measure.Exposure {
	name := fmt.Sprint(seedMM, stages)
	if e := b.known[name]; e != nil {
		return e
	}
	c := b.on
	knots, t := []furnace.Knot{{TimeH: 0, UndercoolingK: min(0, stages[0].FromK)}}, 0.0 // molten
	for _, s := range stages {
		if knots[len(knots)-1].UndercoolingK != s.FromK {
			knots = append(knots, furnace.Knot{TimeH: t, UndercoolingK: s.FromK})
		}
		t += s.Hours
		knots = append(knots, furnace.Knot{TimeH: t, UndercoolingK: s.ToK})
	}
	c.Programme.Knots = knots
	if seedMM > 0 {
		c.Seeds = slices.Clone(c.Seeds)
		for i := range c.Seeds {
			c.Seeds[i].SizeMM = [2]float64{seedMM, seedMM}
		}
	}
	b.known[name] = measure.Look(sim.Seeded(&c, b.key), b.joinDeg).Exposure()
	return b.known[name]
}

// A stage is cut into panels of so many K, in each of which Gauss and Legendre's rule takes two
// moments: it misses (kh)⁴/4320 of a rate that goes as exp(ku), 1e-3 where it doubles every 0.25 K.
const (
	panelK       = 0.5
	fewestPanels = 20 // for the liquid
	mostPanels   = 200
)

// Liquid is what was liquid at a place in the last of some stages, up to so many hours of it: held
// parts, since the rate at a moment asks for no integral. A held stage is one part with the mean of
// its liquid. It also gives what is left then.
func (b *Body) Liquid(place string, stages []logbook.Stage, hours, seedMM float64) (parts []logbook.Part,
	atEnd float64) {
	e, last := b.exposure(stages, seedMM), stages[len(stages)-1]
	all := left(e, place)
	start := 0.0
	for _, s := range stages[:len(stages)-1] {
		start += s.Hours
	}
	rise := (last.ToK - last.FromK) / last.Hours
	n := min(mostPanels, max(fewestPanels, math.Ceil(math.Abs(rise)*hours/panelK)))
	held := 0.0
	for i := range int(n) {
		for _, x := range []float64{0.5 - 0.5/math.Sqrt(3), 0.5 + 0.5/math.Sqrt(3)} {
			at, h := hours*(float64(i)+x)/n, hours/n/2
			size := between(e.TimeH, all, start+at)
			if held += size * h; size > 0 {
				u := last.FromK + rise*at
				parts = append(parts, logbook.Part{Stage: logbook.Stage{FromK: u, ToK: u, Hours: h}, Size: size})
			}
		}
	}
	if rise == 0 && held > 0 {
		last.Hours = hours
		parts = []logbook.Part{{Stage: last, Size: held / hours}}
	}
	return parts, between(e.TimeH, all, start+hours)
}

// between is y at an hour, straight between ascending hours; beyond them the first or the last.
func between(hours, y []float64, at float64) float64 {
	i, _ := slices.BinarySearch(hours, at)
	switch i {
	case 0:
		return y[0]
	case len(hours):
		return y[len(y)-1]
	}
	return y[i-1] + (y[i]-y[i-1])*(at-hours[i-1])/(hours[i]-hours[i-1])
}
