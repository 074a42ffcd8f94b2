package border

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"onegrain/sim/furnace"
	"onegrain/sim/nucleation"
	"onegrain/studies/strict"
)

// schedule reads the stages, the gradient and the offsets of body and seeds; s may be nil.
func (c *Converter) schedule(t *Draft, d *strict.Document, s *shape, seeds []place) strict.Problems {
	t.Schedule.StartC = d.Number("schedule.start_C")
	t.Case.Gradient = furnace.Gradient{VerticalKPerMM: d.Number("gradient.vertical_K_per_mm"), RadialKPerMM: d.Number("gradient.radial_K_per_mm")}
	if s != nil {
		t.LowestK, t.HighestK = c.offsets(d, s, t.Case.Gradient)
		for _, seed := range seeds {
			t.Seats = append(t.Seats, seed.seat(s, t.Case.Gradient))
		}
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
		of   furnace.Stage
		into *float64
	}{
		{"to_C", furnace.Stage{Kind: furnace.ToTemperature}, &s.ToC},
		{"to_undercooling_K", furnace.Stage{Kind: furnace.ToUndercooling}, &s.ToUndercoolingK},
		{"hold_h", furnace.Stage{Kind: furnace.Hold}, &s.HoldH},
	} {
		if key := at + "." + form.key; d.Has(key) || d.Refused(key) {
			named++
			s.Kind, *form.into = form.of.Kind, d.Number(at+"."+form.key)
		}
	}
	s.RateKPerH = d.Number(at + ".rate_K_per_h")
	if named == 1 {
		return s, nil
	}
	p := d.Problem(at, "wanted exactly one of to_C, to_undercooling_K and hold_h", fmt.Sprintf("it has %d of them", named))
	return s, &p
}

// offsets are the least and greatest differences from the reference temperature anywhere in the body; of a picture, of its cells.
func (c *Converter) offsets(d *strict.Document, s *shape, g furnace.Gradient) (lowest, highest float64) {
	if s.kind == "mask" && g != (furnace.Gradient{}) {
		if grid, err := c.grid(d); err == nil { // else it is reported when the grid is needed
			return nucleation.NewOdds(nucleation.Model{}, grid, furnace.Cooling{Gradient: g}).Span()
		}
	}
	least, most := s.radii()
	return span(g, least, most, s.size[2])
}

// span is the range of the offsets between two distances from the axis, down to a depth.
func span(g furnace.Gradient, least, most, depth float64) (lowest, highest float64) {
	lowest, highest = math.Inf(1), math.Inf(-1)
	for _, below := range []float64{0, depth} {
		for _, r := range []float64{least, most} {
			o := g.Offset(r, 0, below)
			lowest, highest = math.Min(lowest, o), math.Max(highest, o)
		}
	}
	return lowest, highest
}

// seat is where a seed lies in the gradient: its contact patch is on the top face, where only the distance from the axis matters.
func (p place) seat(s *shape, g furnace.Gradient) furnace.Seat {
	least, most := p.patch(s).radii()
	_, hottest := span(g, least, most, 0)
	return furnace.Seat{PeritecticC: p.peritecticC, HottestK: hottest, CentreK: g.Offset(p.AtMM[0], p.AtMM[1], 0)}
}

// survives finds what the schedule would melt, dissolve or never reach.
func (t *Draft) survives(d *strict.Document, seeds []place) strict.Problems {
	var found strict.Problems
	seen := map[string]bool{}
	problems := t.Schedule.Check(t.PeritecticC, t.Seats, t.LowestK, t.HighestK)
	worst := map[string]float64{} // of the seeds of a table the one furthest gone speaks
	for _, p := range problems {
		if p.Seed > 0 {
			worst[t.SeedTables[p.Seed-1]] = math.Max(worst[t.SeedTables[p.Seed-1]], p.MarginK)
		}
	}
	for _, p := range problems {
		if p.Seed > 0 && p.MarginK < worst[t.SeedTables[p.Seed-1]] {
			continue
		}
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
		if t.LowestK < t.HighestK && len(seeds) > 0 {
			return "the programme never undercools the molten body where a seed lies, so nothing grows: " + margin + " are lacking there",
				"go deeper: temperatures are those at the centre of the top face, where the gradient is zero"
		}
		return "the programme never undercools the molten body, so nothing grows", "add a stage that goes below the peritectic temperature"
	case furnace.MeltsGrain:
		if t.LowestK < t.HighestK {
			return "a part of the body was undercooled and this stage heats it above the peritectic temperature again, by " + margin,
				"stay below it in the hottest part that was undercooled: melting again is not modelled"
		}
		return "growth has begun and this stage melts the grain again, by " + margin, "stay below the peritectic temperature once growth has begun"
	}
	seed := seeds[p.Seed-1]
	what := fmt.Sprintf("%s with peritectic_C = %g", seed.path, seed.peritecticC)
	if k := t.Seats[p.Seed-1].HottestK; k != 0 {
		what += fmt.Sprintf(" (the hottest place under it differs from the centre of the top face by %+.4g K)", k)
	}
	return "this stage dissolves " + what + ": it goes " + margin + " beyond", "lower the stage or take a seed that withstands more"
}
