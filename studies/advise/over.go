package advise

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"onegrain/analysis/advice"
	"onegrain/analysis/advice/shelf"
	"onegrain/analysis/logbook/plan"
	"onegrain/sim/furnace"
	"onegrain/sim/liquid"
	"onegrain/studies"
)

// Over is what is wanted besides where laws are known as a logbook leaves them.
type Over struct {
	Sure         float64 // share of the laws that shall have the chance; 0: their mean
	Beyond       bool    // deeper than any row of the logbook
	StepK        float64 // what a controller holds
	StepKPerH    float64
	Good, PerRun int // pieces wanted, 0 for none; pieces that share a load of the furnace
}

// AdvisedOver is a programme over all laws of a file, and what they say of it.
type AdvisedOver struct {
	Study      string             `json:"study"`
	Case       int                `json:"case"`
	Values     map[string]any     `json:"values"`
	Laws       int                `json:"laws"`
	Chance     float64            `json:"wanted_chance"`
	Sure       float64            `json:"wanted_share_of_laws,omitempty"`
	ToleranceK float64            `json:"tolerance_K"`
	DeepestK   float64            `json:"deepest_K"`
	StartK     float64            `json:"start_undercooling_K"`
	RateKPerH  float64            `json:"rate_K_per_h"`
	Over       float64            `json:"chance_over_laws"`
	Low        float64            `json:"chance_over_laws_low"`
	High       float64            `json:"chance_over_laws_high"`
	Families   map[string]float64 `json:"chance_by_family"`
	KnownH     float64            `json:"programme_h_if_the_laws_were_known"`
	Another    shelf.Elsewhere    `json:"in_another_furnace"`
	AfterOne   shelf.Elsewhere    `json:"in_another_furnace_after_one_held_run"`
	Good       int                `json:"good_pieces_wanted,omitempty"`
	PerRun     int                `json:"pieces_a_load,omitempty"`
	Start      int                `json:"pieces_to_start,omitempty"`
	MiddleOnly int                `json:"pieces_to_start_by_the_middle_law,omitempty"`
	StartC     float64            `json:"start_C"`
	Stages     []Stage            `json:"stages"`
	ProgrammeH float64            `json:"programme_h"`
	Considered []shelf.Considered `json:"considered"`
	Warnings   []string           `json:"warnings"`
	Block      string             `json:"block"`
}

// wantedSure is how sure it is that enough pieces are good.
const wantedSure = 0.95

// OverLaws designs a programme over all laws of the study's file.
func OverLaws(p studies.Planned, w Wanted, o Over, begin func()) (*AdvisedOver, error) {
	b, t, err := overLaws(p, w, o)
	if err != nil {
		return nil, err
	}
	melt := p.Study.Melt()
	begin()
	c, err := t.Choose()
	if err != nil {
		return nil, err
	}
	a := &AdvisedOver{Case: p.Index + 1, Laws: len(melt.Laws), Chance: w.Chance, Sure: o.Sure, ToleranceK: w.ToleranceK,
		DeepestK: t.DeepestK, StartK: c.StartK, RateKPerH: c.RateKPerH, Over: c.Chance, Low: c.Low, High: c.High,
		Families: c.Families, KnownH: b.crossingH + c.KnownH, Considered: c.Considered,
		StartC: b.celsius(b.melt[0].UndercoolingK), Stages: b.stages(c.Points), ProgrammeH: b.crossingH + c.EndH,
		Warnings: append([]string{}, b.warnings...)}
	for i := range a.Considered {
		a.Considered[i].FullH += b.crossingH
	}
	a.Another = t.In(c, func(law int) float64 { before, _ := melt.AnotherK(law, c.StartK); return before })
	a.AfterOne = t.In(c, func(law int) float64 { _, after := melt.AnotherK(law, c.StartK); return after })
	if o.Good > 0 {
		a.Good, a.PerRun = o.Good, o.PerRun
		a.Start = t.Pieces(c.Points, c.JudgingLaws(), o.Good, o.PerRun, wantedSure)
		a.MiddleOnly = t.Pieces(c.Points, []int{-1}, o.Good, o.PerRun, wantedSure)
	}
	return a, nil
}

// overLaws takes a case apart for a choice over laws.
func overLaws(p studies.Planned, w Wanted, o Over) (*stand, *shelf.Task, error) {
	b, err := newStand(p, w.DownKPerH)
	if err != nil {
		return nil, nil, err
	}
	melt := p.Study.Melt()
	t := &shelf.Task{DeepestK: w.DeepestK, FirstKPerH: b.rateKPerH, Chance: w.Chance, Sure: o.Sure,
		ToleranceK: w.ToleranceK, StepK: o.StepK, StepKPerH: o.StepKPerH}
	if t.DeepestK == 0 {
		t.DeepestK = melt.HighestK
	}
	if !(t.DeepestK <= melt.HighestK) && !o.Beyond && w.DeepestK > 0 {
		return nil, nil, fmt.Errorf("deepest undercooling %g K: no row of the logbook is deeper than %g K, so nothing was "+
			"learnt beyond it; --beyond allows it", t.DeepestK, melt.HighestK)
	}
	if !(t.DeepestK > 0) {
		return nil, nil, errors.New("the laws do not say how deep the rows went that they were learnt from")
	}
	if !(melt.HighestStrayK > 0) {
		b.warnings = append(b.warnings,
			"no row of the logbook had a stray: where strays begin is known from the priors alone")
	}
	if !b.exact {
		b.warnings = append(b.warnings,
			"how the liquid of this body goes is a guess, learnt from one run by the middle law: "+
				"something is to grow round, its seeds are turned, or there is a gradient; run the study with the advised "+
				"programme and --odds-only, which grows the body by some laws")
	}
	for _, law := range melt.Laws {
		t.Laws = append(t.Laws, law.Family)
	}
	t.Follow = b.byLaw(p)
	return b, t, nil
}

// byLaw follows programmes by the laws of a file, −1 for the middle one.
func (b *stand) byLaw(p studies.Planned) shelf.Follow {
	return func(points []advice.Point, law int, by shelf.Shift) advice.Outcome {
		l := p.Law(law)
		course := b.table.Course(b.shifted(p, points, law, by), l.Laws, liquid.Quick)
		return advice.Outcome{ExpectedStrays: b.scale * course.Lambda(), FullH: course.FullH - b.crossingH}
	}
}

// shifted is a programme as the body has it by a law.
func (b *stand) shifted(p studies.Planned, points []advice.Point, law int, by shelf.Shift) furnace.Programme {
	shift := p.Law(law).ShiftK + by.OtherK
	if !math.IsNaN(by.RunSD) {
		sd, run := p.Study.Melt().ScatterK(law)
		shift += by.RunSD*sd - run
	}
	knots := slices.Clone(b.melt)
	for _, at := range points {
		if t := b.crossingH + at.TimeH; t > knots[len(knots)-1].TimeH {
			knots = append(knots, furnace.Knot{TimeH: t, UndercoolingK: at.UndercoolingK})
		}
	}
	return furnace.Programme{Knots: knots}.Deeper(shift)
}

// Next ranks the runs that could be made next, before so many pieces are made.
func Next(p studies.Planned, w Wanted, o Over, pieces int, candidates []Stages) (*shelf.Next, error) {
	b, t, err := overLaws(p, w, o)
	if err != nil {
		return nil, err
	}
	melt := p.Study.Melt()
	if len(candidates) == 0 {
		candidates = usual(melt.LowestK, t.DeepestK, melt.HighestStrayK > 0)
	}
	var all []shelf.Candidate
	for _, c := range candidates {
		all = append(all, shelf.Candidate{Text: c.Text, TakesH: b.crossingH + c.Hours, DeepestK: math.Max(c.FromK, c.ToK),
			Look: b.look(p, c)})
	}
	n, err := t.Next(all, pieces, func(law int) float64 { return melt.Laws[law].LengthScatter }, 1)
	if err != nil {
		return nil, err
	}
	n.Now, n.Known = n.Now+b.crossingH, n.Known+b.crossingH
	for i := range n.Runs {
		n.Runs[i].EndH += b.crossingH
	}
	return n, nil
}

// Stages are a run that could be made: after the melt it jumps to FromK and goes to ToK in Hours.
type Stages struct {
	Text              string
	FromK, ToK, Hours float64
	Unseeded          bool
	Pieces            int // 0 counts as 1
}

// Ahead is what comes of a further run.
type Ahead = shelf.Next

// ReadPlans reads runs to choose from, CSV. The error is everything that is wrong with the file.
func ReadPlans(file string, data []byte) (all []Stages, err error) {
	rows, err := plan.Read(file, data)
	for _, r := range rows {
		all = append(all, Stages(r))
	}
	return all, err
}

// usual are runs that tell something: held and cooled, seeded and not; and deeper ones where no
// stray was ever seen.
func usual(lowestK, deepestK float64, strays bool) (all []Stages) {
	held := func(u float64) {
		all = append(all, Stages{Text: shelf.Held("seeded", u, 10), FromK: u, ToK: u, Hours: 10},
			Stages{Text: shelf.Held("ten unseeded", u, 10), FromK: u, ToK: u, Hours: 10, Unseeded: true, Pieces: 10})
	}
	for i := range 5 {
		held(math.Round(2*(deepestK-(deepestK-lowestK)*0.5*float64(i)/4)) / 2)
	}
	to := deepestK
	if !strays {
		to = math.Round(deepestK + 6)
		held(math.Round(deepestK + 3))
		held(to)
	}
	for _, hours := range []float64{10, 20, 40} {
		from := math.Round(lowestK + (deepestK-lowestK)/4)
		all = append(all, Stages{Text: shelf.Cooled("seeded", from, to, hours), FromK: from, ToK: to, Hours: hours})
	}
	return all
}

// look says what a law expects of a run: strays, and how far a faces grow.
func (b *stand) look(p studies.Planned, c Stages) func(law int, by shelf.Shift) (strays, grownMM float64) {
	points := []advice.Point{{}, {TimeH: c.FromK / b.rateKPerH, UndercoolingK: c.FromK},
		{TimeH: c.FromK/b.rateKPerH + c.Hours, UndercoolingK: c.ToK}}
	rimMM := 0.0 // a width at the rim says no more than that
	for _, full := range b.table.Last() {
		rimMM = math.Max(rimMM, full.A)
	}
	return func(law int, by shelf.Shift) (strays, grownMM float64) {
		l, programme := p.Law(law), b.shifted(p, points, law, by)
		if !c.Unseeded {
			course := b.table.Course(programme, l.Laws, liquid.Quick)
			return b.scale * course.Lambda(), math.Min(course.At.A, rimMM)
		}
		whole := 0.0
		knots := programme.GrowthKnots()
		peak := 0.0
		for i := 1; i < len(knots); i++ {
			from, to := knots[i-1], knots[i]
			whole += l.Nuclei.Melt.Expected(from.UndercoolingK, to.UndercoolingK, to.TimeH-from.TimeH, peak)
			peak = math.Max(peak, to.UndercoolingK)
		}
		return whole * b.table.Whole(liquid.Origin("melt")) * float64(max(1, c.Pieces)), 0
	}
}
