package main

import (
	"fmt"
	"math"
	"sort"

	"onegrain/analysis/fit"
	"onegrain/sim"
	"onegrain/sim/draw"
	"onegrain/sim/furnace"
	"onegrain/sim/measure"
	"onegrain/sim/nucleation/rate"
)

// grownBody is the body of a study in which the runs of a sheet were made. It grows along their
// programmes and so knows what was liquid at every moment.
type grownBody struct {
	path        string
	on          sim.Case
	key         draw.Key
	joinDeg     float64
	peritecticC float64
	whole       [5]float64                   // mm³ or mm² by place, see placeNumber
	runs        map[string]*followed         // by the name of the run
	known       map[string]*measure.Exposure // by programme and seed
}

// followed is a run of a sheet as far as it was read: its stages in order, and what was looked at
// in the last one.
type followed struct {
	stages []fit.Stage
	looked map[string]bool
}

// placeNumber is where a place stands in measure.Exposure.
func placeNumber(place string) int {
	return map[string]int{"melt": 1, "top": 2, "side": 3, "bottom": 4}[place]
}

// readBody takes the body, the seeds and the laws of growth of a study's first case.
func (q *fitting) readBody(path string) (*grownBody, error) {
	study, err := loadStudy(path, memoryThere())
	if err != nil {
		return nil, err
	}
	p, err := planned(study, 1)
	if err != nil {
		return nil, err
	}
	b := &grownBody{path: path, key: p.Key(1), joinDeg: p.JoinDeg}
	b.runs, b.known = map[string]*followed{}, map[string]*measure.Exposure{}
	if b.on, b.peritecticC, _, err = stillCase(study, p); err != nil {
		return nil, err
	}
	switch {
	case len(b.on.Seeds) == 0:
		return nil, usage(fmt.Errorf(bodyUnseeded, path))
	case b.on.Grid.Flat >= 0:
		return nil, usage(fmt.Errorf(bodyFlat, path))
	case b.on.Gradient != (furnace.Gradient{}):
		return nil, usage(fmt.Errorf(bodyGradient, path))
	case math.IsNaN(q.peritecticC):
		q.peritecticC = b.peritecticC
	case math.Abs(q.peritecticC-b.peritecticC) > 0.005:
		return nil, usage(fmt.Errorf(bodyPeritectic, path, short6(b.peritecticC), short6(q.peritecticC)))
	}
	some := rate.Barrier{PrefactorPerUnitH: 1, BarrierK3: 1, PeritecticK: b.peritecticC + kelvinAt0C}
	n := &b.on.Nuclei // of a place without a law no liquid is told
	n.Melt, n.Top, n.Side, n.Bottom = some, some, some, some
	for place, left := range b.exposure([]fit.Stage{{FromK: 10, ToK: 10, Hours: 1}}, 0).Left {
		if left != nil {
			b.whole[place] = left[0]
		}
	}
	return b, nil
}

// follow adds the stage of a row to its run, and gives the run so far. Two rows in a row that tell
// of one stage, one of the melt and one of the top, or one of strays and one of growth, are one
// stage.
func (b *grownBody) follow(run, what string, stage fit.Stage) []fit.Stage {
	if run == "" {
		return []fit.Stage{stage}
	}
	f := b.runs[run]
	if f == nil {
		f = &followed{}
		b.runs[run] = f
	}
	if n := len(f.stages); n == 0 || f.stages[n-1] != stage || f.looked[what] {
		f.stages, f.looked = append(f.stages, stage), map[string]bool{}
	}
	f.looked[what] = true
	return f.stages
}

// exposure grows the body along stages. A seed width in mm takes the place of that of the study,
// unless it is 0.
func (b *grownBody) exposure(stages []fit.Stage, seedMM float64) *measure.Exposure {
	name := fmt.Sprint(seedMM, stages)
	if e := b.known[name]; e != nil {
		return e
	}
	c := b.on
	c.Programme.Knots = []furnace.Knot{{TimeH: 0, UndercoolingK: math.Min(0, stages[0].FromK)}} // molten
	t := 0.0
	for _, s := range stages {
		if last := c.Programme.Knots[len(c.Programme.Knots)-1]; last.UndercoolingK != s.FromK {
			c.Programme.Knots = append(c.Programme.Knots, furnace.Knot{TimeH: t, UndercoolingK: s.FromK})
		}
		t += s.Hours
		c.Programme.Knots = append(c.Programme.Knots, furnace.Knot{TimeH: t, UndercoolingK: s.ToK})
	}
	if seedMM > 0 {
		c.Seeds = append([]sim.Seed(nil), c.Seeds...)
		for i := range c.Seeds {
			c.Seeds[i].SizeMM = [2]float64{seedMM, seedMM}
		}
	}
	e := measure.Look(sim.Seeded(&c, b.key), b.joinDeg).Exposure()
	b.known[name] = e
	return e
}

// A stage is cut into panels of so many K, in each of which Gauss and Legendre's rule takes two
// moments: it misses (kh)⁴/4320 of a rate that goes as exp(ku), 1e-3 where it doubles every 0.25 K.
const (
	panelK       = 0.5
	fewestPanels = 20 // for the liquid
	mostPanels   = 200
)

// course is what was liquid at a place in the last of some stages, up to so many hours of it: held
// parts, since the rate at a moment asks for no integral. A held stage is one part with the mean of
// its liquid. It also tells what is left then.
func (b *grownBody) course(place string, stages []fit.Stage, hours, seedMM float64) (parts []fit.Liquid, atEnd float64) {
	e, last := b.exposure(stages, seedMM), stages[len(stages)-1]
	left := e.Left[placeNumber(place)]
	start := 0.0
	for _, s := range stages[:len(stages)-1] {
		start += s.Hours
	}
	rise := (last.ToK - last.FromK) / last.Hours
	n := math.Min(mostPanels, math.Max(fewestPanels, math.Ceil(math.Abs(rise)*hours/panelK)))
	held := 0.0
	for i := range int(n) {
		for _, x := range []float64{0.5 - 0.5/math.Sqrt(3), 0.5 + 0.5/math.Sqrt(3)} {
			at, h := hours*(float64(i)+x)/n, hours/n/2
			size := alongHours(e.TimeH, left, start+at)
			if held += size * h; size > 0 {
				u := last.FromK + rise*at
				parts = append(parts, fit.Liquid{Stage: fit.Stage{FromK: u, ToK: u, Hours: h}, Size: size})
			}
		}
	}
	atEnd = alongHours(e.TimeH, left, start+hours)
	if rise == 0 && held > 0 {
		last.Hours = hours
		return []fit.Liquid{{Stage: last, Size: held / hours}}, atEnd
	}
	return parts, atEnd
}

// alongHours is y at an hour, straight between ascending hours; beyond them the first or the last.
func alongHours(hours, y []float64, at float64) float64 {
	i := sort.SearchFloat64s(hours, at)
	switch i {
	case 0:
		return y[0]
	case len(hours):
		return y[len(y)-1]
	}
	return y[i-1] + (y[i]-y[i-1])*(at-hours[i-1])/(hours[i]-hours[i-1])
}
