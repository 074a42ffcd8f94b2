package advise

import (
	"errors"
	"fmt"
	"math"

	"onegrain/analysis/advice"
	"onegrain/analysis/tally"
	"onegrain/sim"
	"onegrain/sim/furnace"
	"onegrain/sim/kinetics"
	"onegrain/sim/liquid"
	"onegrain/sim/measure"
	"onegrain/studies"
	"onegrain/studies/again"
)

// stand is a test stand, where programmes are tried: a case with its own melting, and any cooling
// after it.
type stand struct {
	on          *sim.Case
	joinDeg     float64
	peritecticC float64
	melt        []furnace.Knot // until the last that is not undercooled
	rateKPerH   float64        // of the cooling that follows
	crossingH   float64        // when that passes the peritectic temperature
	deepest     float64        // undercooling that the study's own programme goes to, see reached
	table       *liquid.Table  // foretells
	exact       bool           // and needs no run
	scale       float64        // strays of the last run over those of the table
	runs        int
	apart       bool // the seeded grains are no single one
	own         World
	warnings    []string
}

// slowDown is a rate of cooling through the peritectic temperature, in K/h, below which a quicker
// one is worth a note.
const slowDown = 10

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
	b := &stand{on: &on, joinDeg: p.JoinDeg, peritecticC: peritecticC}
	if scattered {
		b.warnings = append(b.warnings,
			"the placing scatter of the seeds is left out: the advice is for seeds that lie as written")
	}
	if n := on.Nuclei; n.Melt == nil && n.Top == nil && n.Side == nil && n.Bottom == nil {
		return nil, errors.New("the study has no law of nucleation, so no programme causes strays and none is better than " +
			"another: give it [nucleation.melt]")
	}
	if math.IsInf(on.Programme.GrowthStartH(), 1) {
		return nil, errors.New("the programme never undercools the centre of the top face, to which the advice refers; " +
			"give the " +
			"[gradient] another sign or a seed at x = y = 0")
	}
	if p.Study.Melt() != nil {
		on.Programme = on.Programme.Deeper(-p.Law(-1).ShiftK) // as the controller has it
	}
	b.cut()
	b.know(on.Programme)
	own := b.truth(on.Programme)
	b.own = World{Expected: own.ExpectedStrays, Chance: math.Exp(-own.ExpectedStrays), FullH: tally.Unknown()}
	if !math.IsInf(own.FullH, 1) {
		b.own.FullH = tally.Real(own.FullH)
	}
	b.reached(own.FullH)
	if b.rateKPerH < slowDown && downKPerH == 0 {
		b.warnings = append(b.warnings, fmt.Sprintf("the study cools through the peritectic temperature at %.3g K/h, "+
			"and so does the advice; --down 60 cools quickly to the first stage, which saves hours", b.rateKPerH))
	} else if downKPerH > 0 {
		b.cross(downKPerH)
	}
	return b, nil
}

// know finds how the liquid goes: by a table where that is exact, else from a run under a
// programme.
func (b *stand) know(p furnace.Programme) {
	if seeds := b.on.Nominal(); liquid.Exact(b.on, seeds) {
		b.table, _ = liquid.New(b.on, seeds) // there is one
		b.exact, b.scale = true, 1
		return
	}
	b.learn(p)
}

// learn runs a programme, and takes from that how the liquid goes along the length of the faces
// that come last; strays that it foretells are then those of the run.
func (b *stand) learn(p furnace.Programme) advice.Outcome {
	b.runs++
	c := *b.on
	c.Programme = p
	survey := measure.Look(sim.Nominal(&c), b.joinDeg)
	odds := survey.Odds()
	b.table, b.scale = survey.Liquid(), 1
	if now := b.follow(p, liquid.Fine).ExpectedStrays; now > 0 && odds.ExpectedStrays > 0 {
		b.scale = odds.ExpectedStrays / now
	}
	if full := survey.FullH(); !math.IsNaN(full) {
		b.apart = odds.Because == measure.Apart
		return advice.Outcome{ExpectedStrays: odds.ExpectedStrays, FullH: full}
	}
	return advice.Outcome{ExpectedStrays: odds.ExpectedStrays, FullH: math.Inf(1)}
}

// follow is what the table foretells of a programme.
func (b *stand) follow(p furnace.Programme, stepK float64) advice.Outcome {
	c := b.table.Course(p, liquid.Laws{GrowthA: b.on.GrowthA, GrowthC: b.on.GrowthC, Nuclei: b.on.Nuclei}, stepK)
	return advice.Outcome{ExpectedStrays: b.scale * c.Lambda(), FullH: c.FullH}
}

// truth is what becomes of a programme, by a run where the table is a guess.
func (b *stand) truth(p furnace.Programme) advice.Outcome {
	if b.exact {
		return b.follow(p, liquid.Fine)
	}
	return b.learn(p)
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

// task hands the case to whoever designs.
func (b *stand) task(a *Advised) *advice.Task {
	since := func(o advice.Outcome) advice.Outcome {
		o.FullH -= b.crossingH
		return o
	}
	return &advice.Task{
		Chance: a.Chance, ToleranceK: a.ToleranceK, DeepestK: a.DeepestK, FirstKPerH: b.rateKPerH,
		Follow: func(p []advice.Point) advice.Outcome { return since(b.follow(b.under(p), liquid.Quick)) },
		Try:    func(p []advice.Point) advice.Outcome { return since(b.truth(b.under(p))) },
	}
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
