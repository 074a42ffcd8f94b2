package advise

import (
	"fmt"
	"math"
	"strings"

	"onegrain/analysis/advice"
	"onegrain/analysis/tally"
	"onegrain/analysis/window"
	"onegrain/studies"
)

// Wanted is what a programme is designed for.
type Wanted struct {
	Chance     float64 // of no stray
	ToleranceK float64 // by which the true undercooling may be deeper
	DeepestK   float64 // that may come up; 0 = what the study's own programme goes to
	DownKPerH  float64 // after the melt; 0 = the study's own
}

// Advised is a designed programme and what is known of it.
type Advised struct {
	Study         string         `json:"study"`
	Case          int            `json:"case"`
	Values        map[string]any `json:"values"`
	Chance        float64        `json:"wanted_chance"`
	ToleranceK    float64        `json:"tolerance_K"`
	DeepestK      float64        `json:"deepest_K"`
	Expected      float64        `json:"expected_strays"` // at the tolerance
	StartC        float64        `json:"start_C"`
	Stages        []Stage        `json:"stages"`
	ProgrammeH    float64        `json:"programme_h"`
	FullH         tally.Real     `json:"time_to_full_h"`
	Undercoolings []World        `json:"if_the_undercooling_is_off"`
	Own           World          `json:"own_programme"`
	OwnProgrammeH float64        `json:"own_programme_h"`
	OwnIsBest     bool           `json:"own_programme_is_best"` // by the rule of the best case, without tolerance
	Runs          int            `json:"runs"`
	Warnings      []string       `json:"warnings"`
	Block         string         `json:"block"` // as a study takes it, for the caller to fill in
	OwnDeepestK   float64        `json:"-"`
}

// Stage is a stage as a study writes it, with its end.
type Stage struct {
	ToC           *float64 `json:"to_C,omitempty"`
	ToK           *float64 `json:"to_undercooling_K,omitempty"`
	RateKPerH     *float64 `json:"rate_K_per_h,omitempty"`
	HoldH         *float64 `json:"hold_h,omitempty"`
	EndsAtH       float64  `json:"ends_at_h"`
	TemperatureC  float64  `json:"temperature_C"` // at its end
	UndercoolingK float64  `json:"undercooling_K"`
}

// World is a programme where the true undercooling is off by so much.
type World struct {
	OffsetK  float64    `json:"true_less_nominal_K"`
	Expected float64    `json:"expected_strays"`
	Chance   float64    `json:"chance_without_strays"`
	FullH    tally.Real `json:"time_to_full_h"` // null where the programme ends before
}

// For designs a programme for a case; begin is called once it is known that one can be designed.
// The error is that of advice.Design or says what the study lacks.
func For(p studies.Planned, w Wanted, begin func()) (*Advised, error) {
	b, err := newStand(p, w.DownKPerH)
	if err != nil {
		return nil, err
	}
	a := &Advised{Case: p.Index + 1, Chance: w.Chance, ToleranceK: w.ToleranceK, DeepestK: w.DeepestK,
		OwnDeepestK: b.deepest}
	if a.DeepestK == 0 {
		a.DeepestK = b.deepest
	}
	begin()
	found, err := advice.Design(b.task(a))
	if err != nil {
		return nil, err
	}
	a.Expected, a.Runs, a.Own, a.FullH = found.ExpectedStrays, b.runs, b.own, tally.Unknown()
	a.StartC, a.OwnProgrammeH = b.celsius(b.melt[0].UndercoolingK), b.on.Programme.EndH()
	a.ProgrammeH = b.crossingH + found.EndH
	a.Warnings, a.Stages = append([]string{}, b.warnings...), b.stages(found.Programme)
	for _, one := range found.Worlds {
		world := World{one.OffsetK, one.ExpectedStrays, one.Chance, tally.Unknown()}
		if !math.IsInf(one.FullH, 1) {
			world.FullH = tally.Real(b.crossingH + one.FullH)
		}
		if one.OffsetK == 0 {
			a.FullH = world.FullH
		}
		a.Undercoolings = append(a.Undercoolings, world)
	}
	if b.apart {
		a.Warnings = append(a.Warnings, "the seeded grains do not join into one domain, so no programme makes this body "+
			"a single grain; the chance given is that of no stray")
	}
	if names := p.Study.Unknown(); len(names) > 0 {
		a.Warnings = append(a.Warnings, fmt.Sprintf("the study has unknown axes (%s): this advice is for the values of "+
			"one case, and not averaged over them", strings.Join(names, ", ")))
	}
	a.OwnIsBest = a.ownIsBest()
	return a, nil
}

// ownIsBest asks the one rule for the best case whether the study's own programme comes before the
// advised one.
func (a *Advised) ownIsBest() bool {
	points := make([]window.Point, 2)
	for i, w := range append([]World{a.Own}, a.Undercoolings...) {
		if i > 0 && w.OffsetK != 0 {
			continue
		}
		p := &points[min(i, 1)]
		p.DiameterMM, p.FullH = tally.Unknown(), w.FullH
		if w.FullH.Known() { // else the body stays partly liquid
			p.Chance = tally.Real(w.Chance)
		}
	}
	return window.Best(points, a.Chance) == 0
}

// stages are those of the schedule: the study's own until it is molten, then the advised ones.
func (b *stand) stages(programme []advice.Point) []Stage {
	var all []Stage
	last := b.melt[0]
	add := func(timeH, undercoolingK float64, cooling bool) {
		hours, change := timeH-last.TimeH, undercoolingK-last.UndercoolingK
		stage := Stage{EndsAtH: timeH, TemperatureC: b.celsius(undercoolingK), UndercoolingK: undercoolingK}
		if change == 0 {
			stage.HoldH = &hours
		} else {
			rate := math.Abs(change) / hours
			stage.RateKPerH = &rate
			if stage.ToC = &stage.TemperatureC; cooling {
				stage.ToC, stage.ToK = nil, &stage.UndercoolingK
			}
		}
		last.TimeH, last.UndercoolingK = timeH, undercoolingK
		all = append(all, stage)
	}
	for _, k := range b.melt[1:] {
		add(k.TimeH, k.UndercoolingK, false)
	}
	for _, p := range programme[1:] {
		add(b.crossingH+p.TimeH, p.UndercoolingK, true)
	}
	return all
}
