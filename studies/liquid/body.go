package liquid

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"onegrain/analysis/logbook"
	"onegrain/sim"
	"onegrain/sim/furnace"
	"onegrain/sim/kinetics"
	"onegrain/sim/liquid"
	"onegrain/sim/measure"
)

// Body is a seeded body in which furnace runs were made.
type Body struct {
	name  string
	on    sim.Case
	known map[string]*liquid.Table // by seed, and by programme where that was learnt
}

// New is the body of a case without the scatter of its seeds. An error says why it cannot tell what
// was liquid.
func New(name string, on sim.Case, peritecticC float64) (*Body, error) {
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
	return &Body{name, on, map[string]*liquid.Table{}}, nil
}

// Name is what errors call the body.
func (b *Body) Name() string { return b.name }

// Whole is the whole of a place: mm³ of melt, or mm² of a surface.
func (b *Body) Whole(place string) float64 {
	return b.table([]logbook.Stage{{FromK: 10, ToK: 10, Hours: 1}}, 0).Whole(liquid.Origin(place))
}

// table is the liquid of the body, with another seed width in mm in place of that of the study,
// unless it is 0. Where a table would be a guess, it is learnt from a run along the stages.
func (b *Body) table(stages []logbook.Stage, seedMM float64) *liquid.Table {
	c := b.on
	if seedMM > 0 {
		c.Seeds = slices.Clone(c.Seeds)
		for i := range c.Seeds {
			c.Seeds[i].SizeMM = [2]float64{seedMM, seedMM}
		}
	}
	seeds, name := c.Nominal(), fmt.Sprint(seedMM)
	exact := liquid.Exact(&c, seeds)
	if !exact {
		name = fmt.Sprint(seedMM, stages)
	}
	if t := b.known[name]; t != nil {
		return t
	}
	if exact {
		b.known[name], _ = liquid.New(&c, seeds) // there is one
	} else {
		c.Programme.Knots = along(stages)
		b.known[name] = measure.Look(sim.Nominal(&c), 0).Liquid()
	}
	return b.known[name]
}

// along are the knots of stages that follow a melt.
func along(stages []logbook.Stage) []furnace.Knot {
	knots, t := []furnace.Knot{{TimeH: 0, UndercoolingK: min(0, stages[0].FromK)}}, 0.0
	for _, s := range stages {
		if knots[len(knots)-1].UndercoolingK != s.FromK {
			knots = append(knots, furnace.Knot{TimeH: t, UndercoolingK: s.FromK})
		}
		t += s.Hours
		knots = append(knots, furnace.Knot{TimeH: t, UndercoolingK: s.ToK})
	}
	return knots
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
	of, last := b.table(stages, seedMM), stages[len(stages)-1]
	var before liquid.Lengths
	for _, s := range stages[:len(stages)-1] {
		before = b.grown(before, s.FromK, s.ToK, s.Hours)
	}
	rise := (last.ToK - last.FromK) / last.Hours
	left := func(at float64) float64 {
		return of.Left(liquid.Origin(place), b.grown(before, last.FromK, last.FromK+rise*at, at))
	}
	n := min(mostPanels, max(fewestPanels, math.Ceil(math.Abs(rise)*hours/panelK)))
	held := 0.0
	for i := range int(n) {
		for _, x := range []float64{0.5 - 0.5/math.Sqrt(3), 0.5 + 0.5/math.Sqrt(3)} {
			at, h := hours*(float64(i)+x)/n, hours/n/2
			size := left(at)
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
	return parts, left(hours)
}

// grown is what faces have grown after a stage, mm.
func (b *Body) grown(before liquid.Lengths, fromK, toK, hours float64) liquid.Lengths {
	before.A += kinetics.Length(b.on.GrowthA, fromK, toK, hours)
	before.C += kinetics.Length(b.on.GrowthC, fromK, toK, hours)
	return before
}
