package advise

import (
	"errors"
	"fmt"
	"math"

	"onegrain/analysis/advice"
	"onegrain/analysis/tally"
	"onegrain/sim"
	"onegrain/sim/draw"
	"onegrain/sim/furnace"
	"onegrain/sim/kinetics"
	"onegrain/sim/measure"
	"onegrain/sim/nucleation/rate"
	"onegrain/studies"
	"onegrain/studies/again"
)

// stand is a test stand, where programmes are tried: a case with its own melting, and any cooling
// after it.
type stand struct {
	on          *sim.Case
	key         draw.Key
	joinDeg     float64
	peritecticC float64
	melt        []furnace.Knot // until the last that is not undercooled
	rateKPerH   float64        // of the cooling that follows
	crossingH   float64        // when that passes the peritectic temperature
	deepest     float64        // undercooling that the study's own programme goes to, see reached
	face        kinetics.Law   // of the faces that fill the body last
	lastByC     bool
	own         World
	warnings    []string
}

// slowDown is a rate of cooling through the peritectic temperature, in K/h, below which a quicker
// one is worth a note.
const slowDown = 10

// ownRuns are those of newStand: the study's own programme, and the one that tells which faces come
// last.
const ownRuns = 2

// newStand takes a case apart and runs its own programme. Where a rate is given, it is taken for
// the cooling after the melt.
func newStand(p studies.Planned, downKPerH float64) (*stand, error) {
	on, peritecticC, scattered, err := again.Still(p)
	if err != nil {
		return nil, err
	}
	if len(on.Seeds) == 0 {
		return nil, errors.New("the study has no seed, so strays are all that grows: give it a [[seed]]")
	}
	b := &stand{on: &on, key: p.Key(1), joinDeg: p.JoinDeg, peritecticC: peritecticC}
	if scattered {
		b.warnings = append(b.warnings,
			"the placing scatter of the seeds is left out: the advice is for seeds that lie as written")
	}
	if len(b.laws()) == 0 {
		return nil, errors.New("the study has no law of nucleation, so no programme causes strays and none is better than " +
			"another: give it [nucleation.melt]")
	}
	if math.IsInf(on.Programme.GrowthStartH(), 1) {
		return nil, errors.New("the programme never undercools the centre of the top face, to which the advice refers; " +
			"give the " +
			"[gradient] another sign or a seed at x = y = 0")
	}
	b.cut()
	survey := b.grown(on.Programme)
	odds, exposure := survey.Odds(), survey.Exposure()
	b.own = World{Expected: odds.ExpectedStrays, Chance: math.Exp(-odds.ExpectedStrays), FullH: tally.Unknown()}
	if !math.IsInf(exposure.FullH, 1) {
		b.own.FullH = tally.Real(exposure.FullH)
	}
	b.reached(exposure.FullH)
	if b.rateKPerH < slowDown && downKPerH == 0 {
		b.warnings = append(b.warnings, fmt.Sprintf("the study cools through the peritectic temperature at %.3g K/h, "+
			"and so does the advice; --down 60 cools quickly to the first stage, which saves hours", b.rateKPerH))
	} else if downKPerH > 0 {
		b.cross(downKPerH)
	}
	full := b.grown(b.under([]advice.Point{{}, {TimeH: b.deepest / b.rateKPerH, UndercoolingK: b.deepest}}))
	if b.face, b.lastByC = on.GrowthA, full.Exposure().LastByC; b.lastByC {
		b.face = on.GrowthC
	}
	if run := full.Run(); run.SolidFraction == 1 && !run.SingleGrain {
		b.warnings = append(b.warnings, "the seeded grains do not join into one domain, so no programme makes this body "+
			"a single grain; the chance given is that of no stray")
	}
	return b, nil
}

// cut finds what of the programme comes before the cooling through the peritectic temperature.
func (b *stand) cut() {
	knots := b.on.Programme.Knots
	start := b.on.Programme.GrowthStartH()
	last := 0
	for i, k := range knots {
		if k.TimeH <= start && k.UndercoolingK <= 0 {
			last = i
		}
	}
	b.melt = knots[:last+1]
	from, to := knots[last], knots[last+1]
	b.cross(math.Min(1e4, (to.UndercoolingK-from.UndercoolingK)/(to.TimeH-from.TimeH)))
}

// cross sets the rate of the cooling after the melt.
func (b *stand) cross(rateKPerH float64) {
	last := b.melt[len(b.melt)-1]
	b.rateKPerH, b.crossingH = rateKPerH, last.TimeH-last.UndercoolingK/rateKPerH
}

// reached finds how deep the study's own programme means to grow: up to the end of the stage in
// which the body became full; what is cooled later is no longer growth.
func (b *stand) reached(fullH float64) {
	for _, k := range b.on.Programme.Knots[len(b.melt):] {
		b.deepest = math.Max(b.deepest, k.UndercoolingK)
		if k.TimeH >= fullH {
			return
		}
	}
}

// celsius is the temperature at an undercooling.
func (b *stand) celsius(undercoolingK float64) float64 { return b.peritecticC - undercoolingK }

// laws are those of the origins that have one, in the order of measure.Exposure.
func (b *stand) laws() (all []rate.Law) {
	n := b.on.Nuclei
	for _, law := range []rate.Law{n.Melt, n.Top, n.Side, n.Bottom} {
		if law != nil {
			all = append(all, law)
		}
	}
	return all
}

// task hands the case to whoever designs.
func (b *stand) task(a *Advised) *advice.Task {
	t := &advice.Task{
		Chance: a.Chance, ToleranceK: a.ToleranceK, DeepestK: a.DeepestK, FirstKPerH: b.rateKPerH, Try: b.try,
	}
	t.Grown = func(fromK, toK, hours float64) float64 { return kinetics.Length(b.face, fromK, toK, hours) }
	for _, law := range b.laws() {
		t.Sources = append(t.Sources, advice.Source{Expected: law.Expected})
	}
	return t
}

// try runs the case without strays under a programme.
func (b *stand) try(programme []advice.Point) (advice.Trial, error) {
	survey := b.grown(b.under(programme))
	e := survey.Exposure()
	t := advice.Trial{ExpectedStrays: survey.Odds().ExpectedStrays, FullH: e.FullH - b.crossingH, GrownMM: e.GrownAMM}
	if b.lastByC {
		t.GrownMM = e.GrownCMM
	}
	for _, left := range e.Left {
		if left != nil {
			t.Left = append(t.Left, left)
		}
	}
	return t, nil
}

func (b *stand) grown(p furnace.Programme) *measure.Survey {
	c := *b.on
	c.Programme = p
	return measure.Look(sim.Seeded(&c, b.key), b.joinDeg)
}

// under is the whole programme: melting, the points, and the last of them held until any seeded
// body must be full.
func (b *stand) under(programme []advice.Point) furnace.Programme {
	var p furnace.Programme
	p.Knots = append(p.Knots, b.melt...)
	for _, at := range programme {
		if t := b.crossingH + at.TimeH; t > p.Knots[len(p.Knots)-1].TimeH {
			p.Knots = append(p.Knots, furnace.Knot{TimeH: t, UndercoolingK: at.UndercoolingK})
		}
	}
	last := p.Knots[len(p.Knots)-1]
	g := b.on.Grid
	across := g.CellMM * float64(g.N[0]+g.N[1]+g.N[2])
	for _, law := range []kinetics.Law{b.on.GrowthA, b.on.GrowthC} {
		if rate := law.Rate(last.UndercoolingK); rate > 0 {
			hours := math.Min(2*across/rate, 1e6) // even a turned box has reached every corner then
			end := p.Knots[len(p.Knots)-1].TimeH + hours
			p.Knots = append(p.Knots, furnace.Knot{TimeH: end, UndercoolingK: last.UndercoolingK})
		}
	}
	return p
}
