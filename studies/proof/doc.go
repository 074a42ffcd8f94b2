// Package proof gives the body of a study as a table of its liquid, proved against the engine.
//
//  1. Laws are learnt by thousands of looks at each furnace run, which only a table can give
//     (sim/liquid). [Of] makes that of a case, and says in a sentence why a body has none.
//  2. Where grains meet or have to grow round something the table is a guess. It is then compared
//     once with a run of the engine, and refused where the strays expected differ by more than 2 %.
//
// Units: mm, mm³, K, °C.
package proof

import (
	"errors"
	"fmt"
	"math"

	"onegrain/sim"
	"onegrain/sim/furnace"
	"onegrain/sim/liquid"
	"onegrain/sim/measure"
	"onegrain/studies"
	"onegrain/studies/again"
	"onegrain/studies/draws"
)

// Body is a body with its seeds, in which furnace runs were made.
type Body struct {
	*liquid.Table
	PeritecticC float64
	WholeMM3    float64
	RimMM       float64 // what a faces have grown when the last place is solid
	DepthMM     float64 // what c faces have then
	SeedMM      float64 // width of its seeds; 0 where they differ
	OffBy       float64 // by which part the table misses the strays of a run; NaN where it is exact
	Scattered   bool    // whether a scatter of placing was left out
}

// mostOff is by which part a table may miss the strays of a run.
const mostOff = 0.02

// Of is the body of a case. The error says why laws cannot be learnt in it.
func Of(p studies.Planned) (*Body, error) {
	on, peritecticC, scattered, err := again.Still(p)
	switch {
	case err != nil:
		return nil, err
	case len(on.Seeds) == 0:
		return nil, errors.New("it has no seed, and laws are learnt from what a seeded grain leaves liquid; take the " +
			"study of " +
			"a seeded body, and give runs without a seed seed_mm = 0")
	case on.Grid.Flat >= 0:
		return nil, errors.New("it lies in a plane, and a furnace run has a volume; leave body.plane out")
	case !on.Uniform():
		return nil, errors.New("under a gradient each place has its own undercooling, and laws are learnt with one " +
			"for all; leave [gradient] out: laws hold for the centre of the top face then")
	}
	seeds := on.Placed(p.Key(1))
	t, err := liquid.New(&on, seeds)
	if err != nil {
		return nil, err
	}
	b := &Body{Table: t, PeritecticC: peritecticC, OffBy: math.NaN(), Scattered: scattered,
		WholeMM3: float64(on.Grid.Cells()) * on.Grid.CellVolume()}
	b.RimMM, b.DepthMM = math.Inf(1), math.Inf(1)
	for _, end := range t.Last() {
		if end.A < b.RimMM {
			b.RimMM, b.DepthMM = end.A, end.C
		}
	}
	b.SeedMM = on.Seeds[0].SizeMM[0]
	for _, s := range on.Seeds {
		if s.SizeMM != [2]float64{b.SeedMM, b.SeedMM} {
			b.SeedMM = 0
		}
	}
	if t.Exact() {
		return b, nil
	}
	b.OffBy = off(&on, t, p)
	if !(b.OffBy <= mostOff) {
		return nil, fmt.Errorf("its grains meet, or grow round something, where a table of the liquid misses the strays "+
			"of a full run by %.2g %%, at most %.0f %%: laws cannot be learnt in it; take the study of a body with one seed "+
			"and nothing in its way, made of the same powder", 100*b.OffBy, 100*mostOff)
	}
	return b, nil
}

// off is by which part the table misses the strays of a run of the engine: one that cools from 8 to
// 24 K until the body is nearly solid, by the laws of growth of the case.
func off(on *sim.Case, t *liquid.Table, p studies.Planned) float64 {
	laws := draws.Law{Family: draws.Barrier, PrefactorPerMM3H: 1.1e4, BarrierK3: 1.12e7}.Laws(p.PeritecticC())
	laws.GrowthA, laws.GrowthC = on.GrowthA, on.GrowthC
	held := furnace.Programme{Knots: []furnace.Knot{{}, {UndercoolingK: 16}, {TimeH: 1e6, UndercoolingK: 16}}}
	hours := t.Course(held, laws, liquid.Quick).FullH
	if math.IsInf(hours, 1) {
		return math.Inf(1)
	}
	run := *on
	run.Programme = furnace.Programme{Knots: []furnace.Knot{{}, {UndercoolingK: 8}, {TimeH: hours, UndercoolingK: 24}}}
	run.Nuclei = laws.Nuclei
	told := t.Course(run.Programme, laws, liquid.Fine)
	real := measure.Look(sim.Seeded(&run, p.Key(1)), p.JoinDeg).Odds().ExpectedStrays
	return math.Abs(told.Lambda()/real - 1)
}
