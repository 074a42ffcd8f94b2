package border

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"onegrain/sim/furnace"
	"onegrain/studies/strict"
)

// schedule reads the stages, the gradient and the offsets between which the body lies; s may be nil.
func (t *Draft) schedule(d *strict.Document, s *shape) strict.Problems {
	t.Schedule.StartC = d.Number("schedule.start_C")
	t.Case.Gradient = furnace.Gradient{VerticalKPerMM: d.Number("gradient.vertical_K_per_mm"), RadialKPerMM: d.Number("gradient.radial_K_per_mm")}
	if s != nil {
		t.LowestK, t.HighestK = offsets(s, t.Case.Gradient)
	}
	var found strict.Problems
	n := d.Count("schedule.stage")
	if n == 0 && !d.Refused("schedule.stage") {
		found = append(found, d.Problem("schedule.stage", "missing, wanted at least one [[schedule.stage]]", "to_C = …, to_undercooling_K = … or hold_h = …"))
	}
	for i := 1; i <= n; i++ {
		stage, p := stage(d, "schedule.stage."+strconv.Itoa(i))
		if p != nil {
			found = append(found, *p)
		}
		t.Schedule.Stages = append(t.Schedule.Stages, stage)
	}
	if p := flatGradient(d, s, t.Case.Gradient); p != nil {
		found = append(found, *p)
	}
	if len(found) == 0 && n > 0 && t.runs() && d.Has("material.peritectic_C") {
		t.Case.Programme = t.Schedule.Programme(t.PeritecticC)
	}
	return found
}

// runs tells whether every ramp has a rate; a missing one was reported.
func (t *Draft) runs() bool {
	return !slices.ContainsFunc(t.Schedule.Stages, func(s furnace.Stage) bool { return s.Kind != furnace.Hold && s.RateKPerH <= 0 })
}

// flatGradient refuses a gradient along an axis the body does not have, or across joined faces.
func flatGradient(d *strict.Document, s *shape, g furnace.Gradient) *strict.Problem {
	if s == nil {
		return nil
	}
	var p strict.Problem
	switch {
	case s.plane == "ab" && g.VerticalKPerMM != 0:
		p = d.Problem("gradient.vertical_K_per_mm", "a body seen from above (plane ab) has no height", "take 0")
	case s.periodic && g.VerticalKPerMM != 0:
		p = d.Problem("gradient.vertical_K_per_mm", "a periodic block cannot have a gradient: its joined faces would differ", "take 0")
	case s.periodic && g.RadialKPerMM != 0:
		p = d.Problem("gradient.radial_K_per_mm", "a periodic block cannot have a gradient: its joined faces would differ", "take 0")
	default:
		return nil
	}
	return &p
}

// stage reads one stage, which does exactly one of three things.
func stage(d *strict.Document, at string) (furnace.Stage, *strict.Problem) {
	var s furnace.Stage
	named := 0
	for _, form := range []struct {
		key  string
		kind furnace.StageKind
		into *float64
	}{{"to_C", furnace.ToTemperature, &s.ToC}, {"to_undercooling_K", furnace.ToUndercooling, &s.ToUndercoolingK}, {"hold_h", furnace.Hold, &s.HoldH}} {
		if key := at + "." + form.key; d.Has(key) || d.Refused(key) {
			named++
			s.Kind, *form.into = form.kind, d.Number(at+"."+form.key)
		}
	}
	s.RateKPerH = d.Number(at + ".rate_K_per_h")
	if named == 1 {
		return s, nil
	}
	p := d.Problem(at, "wanted exactly one of to_C, to_undercooling_K and hold_h", fmt.Sprintf("it has %d of them", named))
	return s, &p
}

// offsets are the least and greatest differences from the reference temperature anywhere in the body.
func offsets(s *shape, g furnace.Gradient) (lowest, highest float64) {
	least, most := s.radii()
	lowest, highest = math.Inf(1), math.Inf(-1)
	for _, depth := range []float64{0, s.size[2]} {
		for _, r := range []float64{least, most} {
			o := g.Offset(r, 0, depth)
			lowest, highest = math.Min(lowest, o), math.Max(highest, o)
		}
	}
	return lowest, highest
}

// survives finds what the schedule would melt, dissolve or never reach.
func (t *Draft) survives(d *strict.Document, seeds []place) strict.Problems {
	var found strict.Problems
	seen := map[string]bool{}
	for _, p := range t.Schedule.Check(t.PeritecticC, t.SeedPeritecticC, t.LowestK, t.HighestK) {
		at := "schedule"
		if p.Stage > 0 {
			at = "schedule.stage." + strconv.Itoa(p.Stage)
			if d.Has(at + ".to_C") {
				at += ".to_C"
			} else if d.Has(at + ".to_undercooling_K") {
				at += ".to_undercooling_K"
			}
		}
		wanted, hint := t.verdict(p, seeds)
		if !seen[at+wanted] {
			seen[at+wanted] = true
			found = append(found, d.Problem(at, wanted, hint))
		}
	}
	return found
}

func (t *Draft) verdict(p furnace.Problem, seeds []place) (wanted, hint string) {
	margin := fmt.Sprintf("%.4g K", math.Abs(p.MarginK))
	switch p.Kind {
	case furnace.NeverMelts:
		return fmt.Sprintf("the programme never melts the body: it stays %s below the peritectic temperature of %g °C", margin, t.PeritecticC), "add a stage that goes above it"
	case furnace.NeverSolidifies:
		return "the programme never undercools the molten body, so nothing grows", "add a stage that goes below the peritectic temperature"
	case furnace.MeltsGrain:
		return "growth has begun and this stage melts the grain again, by " + margin, "stay below the peritectic temperature once growth has begun"
	}
	what := "a seed"
	if p.Seed > 0 && p.Seed <= len(seeds) {
		what = fmt.Sprintf("%s with peritectic_C = %g", seeds[p.Seed-1].path, seeds[p.Seed-1].peritecticC)
	}
	return "this stage dissolves " + what + ": it goes " + margin + " beyond", "lower the stage or take a seed that withstands more"
}
