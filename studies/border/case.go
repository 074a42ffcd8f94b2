package border

import (
	"fmt"
	"slices"

	"onegrain/sim"
	"onegrain/sim/body"
	"onegrain/sim/furnace"
	"onegrain/studies/laws"
	"onegrain/studies/layout"
	"onegrain/studies/record"
	"onegrain/studies/strict"
)

// Converter turns documents into cases. It remembers the sections it has checked and the grids it
// has built, so that many variants of one study cost little; it may be used from several
// goroutines.
type Converter struct {
	Memory int64      // bytes there are for one run; 0 = do not check
	Melt   *laws.Melt // laws that a logbook allows; nil where the study has its own

	outline       *body.Picture // of a body with shape = "mask", else nil
	record        record.Record // of a schedule with a file, else nil
	pieced        memo[pieced]  // by the tolerance
	grids         memo[grid]    // by the canonical text of the body
	seats, pieces memo[strict.Problems]
}

// grid is what became of the cells of a body.
type grid struct {
	*body.Grid
	err error
}

// Draft is a case before its grid: everything that is cheap.
type Draft struct {
	Case        sim.Case     // without Grid
	Body        *layout.Body // nil where it is wrong
	Schedule    furnace.Schedule
	Record      *Recorded // nil where the schedule has stages
	PeritecticC float64
	Seats       []furnace.Seat // one for each of Case.Seeds
	LowestK     float64        // offsets between which the body lies, K
	HighestK    float64
	Warnings    []string // what works otherwise than the words of the study suggest

	seeds []layout.Seed
	d     *strict.Document
}

// SetOutline takes the picture of a mask, a PNG. The text tells such pictures apart.
func (c *Converter) SetOutline(data []byte) (text string, err error) {
	if c.outline, err = layout.Outline(data); err != nil {
		return "", err
	}
	return fmt.Sprintf("outline %x", layout.Hash(c.outline)), nil
}

// Check finds everything that keeps a completed document from being run. Only for a mask does it
// build the grid, since only there may the body be in pieces.
func (c *Converter) Check(d *strict.Document) strict.Problems {
	if c.outline != nil {
		_, found := c.Case(d)
		return found
	}
	_, found := c.Draft(d)
	return found
}

// Draft converts everything but the grid. The draft is of use only where there are no problems.
func (c *Converter) Draft(d *strict.Document) (*Draft, strict.Problems) {
	t := &Draft{d: d, PeritecticC: d.Number("material.peritectic_C")}
	var of [6]strict.Problems
	t.Body, of[0] = layout.ReadBody(d, c.outline)
	t.seeds, of[1] = layout.ReadSeeds(d)
	t.Case.GrowthA, of[2] = laws.Growth(d, "material.growth_a.")
	t.Case.GrowthC, of[3] = laws.Growth(d, "material.growth_c.")
	t.Case.Nuclei, of[4] = laws.Nuclei(d)
	if c.Melt != nil {
		of[3] = c.Melt.Check(d)
		take(&t.Case, c.Melt.Middle(d))
	}
	t.Warnings = laws.ThinSurfaces(d, t.Case.Nuclei)
	for _, seed := range t.seeds {
		t.Case.Seeds = append(t.Case.Seeds, seed.Seed)
	}
	of[5] = t.canSolidify()
	found := slices.Concat(of[:]...)
	late := c.schedule(t)
	runs := len(t.Case.Programme.Knots) > 0
	if len(found)+len(late) == 0 && runs {
		late = t.survives()
	}
	found = append(found, late...)
	if t.Body == nil {
		return t, found
	}
	sound := len(found) == 0 && t.Case.GrowthA != nil && t.Case.GrowthC != nil && runs
	if p := c.memory(t, sound); p != nil {
		return t, append(found, p...)
	}
	t.Warnings = append(t.Warnings, t.Body.Rounded()...)
	seats := func() strict.Problems { return t.Body.CheckSeeds(d, t.seeds) }
	return t, append(found, c.seats.get(d.Canonical("body", "seed", "seed_array"), seats)...)
}

// Case converts a completed document.
func (c *Converter) Case(d *strict.Document) (*sim.Case, strict.Problems) {
	t, found := c.Draft(d)
	if len(found) > 0 {
		return nil, found
	}
	g := c.grid(t)
	if g.err != nil {
		return nil, d.Problem("body.shape", g.err.Error(), "")
	}
	t.Case.Grid = g.Grid
	if c.Melt != nil {
		t.Case.Programme = t.Case.Programme.Deeper(c.Melt.Middle(d).ShiftK)
	}
	all := d.Canonical("body", "seed", "seed_array", "nucleation")
	if found := c.pieces.get(all, t.checkPieces); len(found) > 0 {
		return nil, found
	}
	return &t.Case, nil
}

// take gives a case drawn laws, but for the shift.
func take(c *sim.Case, l laws.Drawn) {
	c.GrowthA, c.GrowthC, c.Nuclei.Melt = l.GrowthA, l.GrowthC, l.Nuclei.Melt
}

// Draw is a case of a converted document with draw i of the laws of its melt, from 0.
func (c *Converter) Draw(d *strict.Document, middle *sim.Case, i int) *sim.Case {
	on, l := *middle, c.Melt.Draw(d, i)
	take(&on, l)
	on.Programme = on.Programme.Deeper(l.ShiftK - c.Melt.Middle(d).ShiftK)
	return &on
}

// grid builds the grid of a draft, or finds one built before.
func (c *Converter) grid(t *Draft) grid {
	return c.grids.get(t.d.Canonical("body"), func() grid {
		g, err := t.Body.Grid()
		return grid{g, err}
	})
}

// canSolidify refuses a case in which nothing could ever grow.
func (t *Draft) canSolidify() strict.Problems {
	const law = "nucleation.melt.law"
	if len(t.seeds) > 0 || laws.Any(t.Case.Nuclei) || !t.d.Has(law) { // a missing law was reported
		return nil
	}
	return t.d.Problem(law, "without a seed and without nucleation the body can never become solid",
		"add a [[seed]] or a nucleation law")
}

// checkPieces refuses a body with a piece that nothing could ever solidify.
func (t *Draft) checkPieces() strict.Problems {
	text := t.unseeded(t.Case.Grid)
	if text == "" || laws.Any(t.Case.Nuclei) {
		return nil
	}
	return t.d.Problem("body.file", text+", so it can never become solid",
		"give it a [[seed]], or a nucleation law, or join the pieces")
}
