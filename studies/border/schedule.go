package border

import (
	"fmt"
	"math"
	"strconv"

	"onegrain/sim/furnace"
	"onegrain/studies/layout"
	"onegrain/studies/strict"
)

// schedule reads the stages, the gradient and the offsets of body and seeds.
func (c *Converter) schedule(t *Draft) (found strict.Problems) {
	d, g := t.d, furnace.Gradient{VerticalKPerMM: t.d.Number("gradient.vertical_K_per_mm"),
		RadialKPerMM: t.d.Number("gradient.radial_K_per_mm")}
	t.Schedule.StartC, t.Case.Gradient = d.Number("schedule.start_C"), g
	n := d.Count("schedule.stage")
	recorded := d.Has(recordKey) || d.Refused(recordKey)
	if recorded {
		found = c.recorded(t)
	} else if n == 0 && !d.Refused("schedule.stage") {
		found = d.Problem("schedule.stage", "missing, wanted at least one [[schedule.stage]]",
			"to_C = …, to_undercooling_K = … or hold_h = …, or schedule.file")
	}
	// every ramp has a rate; a missing one was reported
	runs := (n > 0 || t.Record != nil) && d.Has("material.peritectic_C")
	for i := 1; i <= n && !recorded; i++ {
		stage, p := stage(d, "schedule.stage."+strconv.Itoa(i))
		found = append(found, p...)
		runs = runs && (stage.Kind == furnace.Hold || stage.RateKPerH > 0)
		t.Schedule.Stages = append(t.Schedule.Stages, stage)
	}
	if t.Body != nil {
		found = append(found, t.Body.FlatGradient(d, g)...)
		c.offsets(t)
	}
	if len(found) == 0 && runs {
		t.Case.Programme = t.Schedule.Programme(t.PeritecticC)
	}
	return found
}

// offsets finds where body and seeds lie in the gradient.
func (c *Converter) offsets(t *Draft) {
	g := t.Case.Gradient
	t.LowestK, t.HighestK = t.Body.Offsets(g)
	if t.Body.Mask() && g != (furnace.Gradient{}) {
		if cells := c.grid(t); cells.err == nil { // else it is reported when the grid is needed
			t.LowestK, t.HighestK = layout.Span(cells.Grid, g)
		}
	}
	for _, seed := range t.seeds {
		t.Seats = append(t.Seats, t.Body.Seat(seed, g))
	}
}

// stage reads one stage, which does exactly one of three things.
func stage(d *strict.Document, at string) (furnace.Stage, strict.Problems) {
	number := func(key string) float64 { return d.Number(at + key) }
	named, s := 0, furnace.Stage{}
	for key, stage := range map[string]furnace.Stage{
		".to_C":              {Kind: furnace.ToTemperature, ToC: number(".to_C")},
		".to_undercooling_K": {Kind: furnace.ToUndercooling, ToUndercoolingK: number(".to_undercooling_K")},
		".hold_h":            {Kind: furnace.Hold, HoldH: number(".hold_h")},
	} {
		if d.Has(at+key) || d.Refused(at+key) {
			named, s = named+1, stage
		}
	}
	s.RateKPerH = number(".rate_K_per_h")
	if named == 1 {
		return s, nil
	}
	return s, d.Problem(at, "wanted exactly one of to_C, to_undercooling_K and hold_h",
		fmt.Sprintf("it has %d of them", named))
}

// survives finds what the schedule would melt, dissolve or never reach.
func (t *Draft) survives() (found strict.Problems) {
	problems := t.Schedule.Check(t.PeritecticC, t.Seats, t.LowestK, t.HighestK)
	worst := map[string]float64{} // of the seeds of a table the one furthest gone speaks
	for _, p := range problems {
		if p.Seed > 0 {
			table := t.seeds[p.Seed-1].Table
			worst[table] = math.Max(worst[table], p.MarginK)
		}
	}
	seen := map[string]bool{}
	for _, p := range problems {
		if p.Seed > 0 && p.MarginK < worst[t.seeds[p.Seed-1].Table] {
			continue
		}
		at := "schedule"
		if stage := fmt.Sprintf("schedule.stage.%d", p.Stage); p.Stage > 0 {
			at = stage
			for _, aim := range []string{".to_C", ".to_undercooling_K"} {
				if t.d.Has(stage + aim) {
					at = stage + aim
				}
			}
		}
		wanted, hint := t.verdict(p)
		if t.Record != nil {
			found = append(found, t.atReading(p.Stage, wanted, hint))
			continue
		}
		if !seen[at+wanted] {
			seen[at+wanted] = true
			found = append(found, t.d.Problem(at, wanted, hint)...)
		}
	}
	return found
}

func (t *Draft) verdict(p furnace.Problem) (wanted, hint string) {
	margin := fmt.Sprintf("%.4g K", math.Abs(p.MarginK))
	graded := t.LowestK < t.HighestK
	switch {
	case p.Kind == furnace.NeverMelts:
		return fmt.Sprintf("the programme never melts the body: it stays %s below the peritectic temperature of %g °C",
			margin, t.PeritecticC), "add a stage that goes above it"
	case p.Kind == furnace.NeverSolidifies && graded && len(t.seeds) > 0:
		return "the programme never undercools the molten body where a seed lies, so nothing grows: " + margin +
			" are lacking there", "go deeper: temperatures are those at the centre of the top face, where the gradient is zero"
	case p.Kind == furnace.NeverSolidifies:
		return "the programme never undercools the molten body, so nothing grows",
			"add a stage that goes below the peritectic temperature"
	case p.Kind == furnace.MeltsGrain && graded:
		return "a part of the body was undercooled and this stage heats it above the peritectic temperature again, by " +
				margin,
			"stay below it in the hottest part that was undercooled: melting again is not modelled"
	case p.Kind == furnace.MeltsGrain:
		return "growth has begun and this stage melts the grain again, by " + margin,
			"stay below the peritectic temperature once growth has begun"
	}
	seed := t.seeds[p.Seed-1]
	what := fmt.Sprintf("%s with peritectic_C = %g", seed.Table, seed.PeritecticC)
	if k := t.Seats[p.Seed-1].HottestK; k != 0 {
		what += fmt.Sprintf(" (the hottest place under it differs from the centre of the top face by %+.4g K)", k)
	}
	return "this stage dissolves " + what + ": it goes " + margin + " beyond",
		"lower the stage or take a seed that withstands more"
}
