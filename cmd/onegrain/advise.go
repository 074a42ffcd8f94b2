package main

import (
	"fmt"
	"math"
	"strings"

	"github.com/spf13/cobra"

	"onegrain/analysis/advice"
	"onegrain/analysis/tally"
	"onegrain/analysis/window"
	"onegrain/studies"
)

// adviser is what the options of `advise` say.
type adviser struct {
	n                                int
	chance, tolerance, deepest, down float64
	asJSON                           bool
}

func adviseCommand(s streams) *cobra.Command {
	var a adviser
	c := command("advise STUDY.toml", func(_ *cobra.Command, args []string) error { return a.run(s, args[0]) })
	f := c.Flags()
	f.IntVar(&a.n, "case", 1, "`number` of the case, from 1 in the order of the study")
	f.Float64Var(&a.chance, "chance", 0.95, "wanted `chance` of a single grain")
	f.Float64Var(&a.tolerance, "tolerance", 1, "`K` by which the true undercooling may be deeper and the chance still hold")
	f.Float64Var(&a.deepest, "deepest", 0, "deepest undercooling in `K` that may come up (default: what the study's own programme goes to until the body is full)")
	f.Float64Var(&a.down, "down", 0, "rate of cooling after the melt in `K/h`, down to the first stage (default: the study's)")
	f.BoolVar(&a.asJSON, "json", false, "print JSON instead of a table")
	return c
}

// check refuses options.
func (a *adviser) check() error {
	if err := likely(a.chance); err != nil {
		return err
	}
	switch {
	case !(a.tolerance >= 0 && a.tolerance <= 50):
		return usage(fmt.Errorf("--tolerance %v: wanted 0 to 50 K", a.tolerance))
	case !(a.deepest >= 0 && a.deepest <= 200):
		return usage(fmt.Errorf("--deepest %v: wanted up to 200 K", a.deepest))
	case !(a.down >= 0 && a.down <= 1e4):
		return usage(fmt.Errorf("--down %v: wanted a rate up to 10000 K/h", a.down))
	}
	return nil
}

// advised is what `advise` tells.
type advised struct {
	Study         string         `json:"study"`
	Case          int            `json:"case"`
	Values        map[string]any `json:"values"`
	Chance        float64        `json:"wanted_chance"`
	ToleranceK    float64        `json:"tolerance_K"`
	DeepestK      float64        `json:"deepest_K"`
	Expected      float64        `json:"expected_strays"` // at the tolerance
	StartC        float64        `json:"start_C"`
	Stages        []advisedStage `json:"stages"`
	ProgrammeH    float64        `json:"programme_h"`
	FullH         tally.Real     `json:"time_to_full_h"`
	Undercoolings []advisedWorld `json:"if_the_undercooling_is_off"`
	Own           advisedWorld   `json:"own_programme"`
	OwnProgrammeH float64        `json:"own_programme_h"`
	OwnIsBest     bool           `json:"own_programme_is_best"` // of the two by the rule of the best case, where the undercooling is as told
	Runs          int            `json:"runs"`
	Warnings      []string       `json:"warnings"`
	Block         string         `json:"block"`
	ownDeepestK   float64
	down          float64
}

type advisedStage struct {
	ToC           *float64 `json:"to_C,omitempty"`
	ToK           *float64 `json:"to_undercooling_K,omitempty"`
	RateKPerH     *float64 `json:"rate_K_per_h,omitempty"`
	HoldH         *float64 `json:"hold_h,omitempty"`
	EndsAtH       float64  `json:"ends_at_h"`
	TemperatureC  float64  `json:"temperature_C"` // at its end
	UndercoolingK float64  `json:"undercooling_K"`
}

// advisedWorld is a programme where the true undercooling is off by so much.
type advisedWorld struct {
	OffsetK  float64    `json:"true_less_nominal_K"`
	Expected float64    `json:"expected_strays"`
	Chance   float64    `json:"chance_without_strays"`
	FullH    tally.Real `json:"time_to_full_h"` // null where the programme ends before
}

func (a *adviser) run(s streams, path string) error {
	if err := a.check(); err != nil {
		return err
	}
	study, err := loadStudy(path, memoryThere())
	if err != nil {
		return err
	}
	p, err := planned(study, a.n)
	if err != nil {
		return err
	}
	b, err := newStand(study, p, a.down)
	if err != nil {
		return err
	}
	if a.deepest == 0 {
		a.deepest = b.deepest
	}
	name := named(p)
	s.say("designing a programme for %s", name)
	found, err := advice.Design(b.task(a))
	if err != nil {
		return usage(fmt.Errorf("%s, %s: %w", path, name, err))
	}
	told := a.told(study, p, b, found)
	told.Study = path
	told.Block = told.block(name)
	if a.asJSON {
		return printJSON(s.out, told)
	}
	for _, w := range told.Warnings {
		s.say("%s", folded("note: "+w, "  "))
	}
	_, err = fmt.Fprint(s.out, told.Block)
	return err
}

// told puts advice into the form that is told, in hours from the start of the programme.
func (a *adviser) told(study *studies.Study, p studies.Planned, b *stand, found *advice.Advice) *advised {
	t := &advised{Case: p.Index + 1, Values: valuesOf(p), Chance: a.chance, ToleranceK: a.tolerance, DeepestK: a.deepest, Expected: found.ExpectedStrays,
		ownDeepestK: b.deepest, down: a.down, StartC: b.celsius(b.melt[0].UndercoolingK), ProgrammeH: b.crossingH + found.EndH, FullH: tally.Unknown(), OwnProgrammeH: b.on.Programme.EndH(),
		Own: b.own, Runs: found.Trials + ownRuns, Warnings: append([]string{}, b.warnings...)}
	for _, w := range found.Worlds {
		told := advisedWorld{w.OffsetK, w.ExpectedStrays, w.Chance, tally.Unknown()}
		if !math.IsInf(w.FullH, 1) {
			told.FullH = tally.Real(b.crossingH + w.FullH)
		}
		if w.OffsetK == 0 {
			t.FullH = told.FullH
		}
		t.Undercoolings = append(t.Undercoolings, told)
	}
	if names := study.Unknown(); len(names) > 0 {
		t.Warnings = append(t.Warnings, fmt.Sprintf("the study does not know %s: this advice is for the values of one case, and not averaged over them", strings.Join(names, ", ")))
	}
	t.OwnIsBest = ownIsBest(t)
	t.Stages = b.stages(found.Programme)
	return t
}

// ownIsBest asks the one rule for the best case whether the study's own programme comes before the advised one.
func ownIsBest(t *advised) bool {
	points := make([]window.Point, 2)
	for i, w := range append([]advisedWorld{t.Own}, t.Undercoolings...) {
		if i > 0 && w.OffsetK != 0 {
			continue
		}
		p := &points[min(i, 1)]
		p.DiameterMM, p.FullH = tally.Unknown(), w.FullH
		if w.FullH.Known() { // else the body stays partly liquid
			p.Chance = tally.Real(w.Chance)
		}
	}
	return window.Best(points, t.Chance) == 0
}
