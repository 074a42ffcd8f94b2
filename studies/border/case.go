package border

import (
	"sync"

	"onegrain/sim"
	"onegrain/sim/body"
	"onegrain/sim/furnace"
	"onegrain/studies/laws"
	"onegrain/studies/strict"
)

// Converter turns documents into cases. It remembers the sections it has found sound and the grids it has built, so that
// many variants of one study cost little; it may be used from several goroutines.
type Converter struct {
	Outline *Outline // of a body with shape = "mask", else nil
	Memory  int64    // bytes there are for one run; 0 = do not check

	mu    sync.Mutex
	sound map[string]strict.Problems // by the canonical text of the sections that were checked
	grids map[string]*body.Grid      // by the canonical text of the body
}

// Draft is a case before its grid: everything that is cheap.
type Draft struct {
	Case        sim.Case // without Grid
	Schedule    furnace.Schedule
	PeritecticC float64
	Seats       []furnace.Seat // one for each of Case.Seeds
	SeedTables  []string       // the table of the study that each comes from, as "seed_array.1"
	LowestK     float64        // offsets between which the body lies, K
	HighestK    float64
	Warnings    []string // what works otherwise than the words of the study suggest
}

// Cells is the number of cells of the box around the body of a checked document.
func (c *Converter) Cells(d *strict.Document) int64 {
	s, found := c.shape(d)
	if s == nil || len(found) > 0 {
		return 0
	}
	return s.cells()
}

// Check finds everything that keeps a completed document from being run. Only for a mask does it build the grid, since only
// there may the body be in pieces.
func (c *Converter) Check(d *strict.Document) strict.Problems {
	if c.Outline != nil {
		_, found := c.Case(d)
		return found
	}
	_, found := c.Draft(d)
	return found
}

// Draft converts everything but the grid. The draft is of use only where there are no problems.
func (c *Converter) Draft(d *strict.Document) (*Draft, strict.Problems) {
	s, found := c.shape(d)
	t := &Draft{PeritecticC: d.Number("material.peritectic_C")}
	add := func(p strict.Problems) { found = append(found, p...) }
	var p strict.Problems
	seeds, p := layOut(d)
	add(p)
	t.Case.GrowthA, p = laws.Growth(d, "material.growth_a.")
	add(p)
	t.Case.GrowthC, p = laws.Growth(d, "material.growth_c.")
	add(p)
	t.Case.Nuclei, p = laws.Nuclei(d)
	add(p)
	t.Warnings = append(t.Warnings, laws.ThinSurfaces(d, t.Case.Nuclei)...)
	for _, seed := range seeds {
		t.Case.Seeds, t.SeedTables = append(t.Case.Seeds, seed.Seed), append(t.SeedTables, seed.path)
	}
	add(canSolidify(d, &t.Case))
	if p = c.schedule(t, d, s, seeds); len(p) == 0 && len(found) == 0 && len(t.Case.Programme.Knots) > 0 {
		p = t.survives(d, seeds)
	}
	add(p)
	if s == nil {
		return t, found
	}
	if p := c.memory(d, s, t, len(found) == 0); p != nil {
		return t, append(found, *p)
	}
	t.Warnings = append(t.Warnings, s.rounded()...)
	add(c.once(d, func() strict.Problems { return checkSeeds(d, s, seeds) }, "body", "seed", "seed_array"))
	return t, found
}

// Case converts a completed document.
func (c *Converter) Case(d *strict.Document) (*sim.Case, strict.Problems) {
	t, found := c.Draft(d)
	if len(found) > 0 {
		return nil, found
	}
	grid, err := c.grid(d)
	if err != nil {
		return nil, strict.Problems{d.Problem("body.shape", err.Error(), "")}
	}
	t.Case.Grid = grid
	if found := c.once(d, func() strict.Problems { return checkPieces(d, &t.Case) }, "body", "seed", "seed_array", "nucleation"); len(found) > 0 {
		return nil, found
	}
	return &t.Case, nil
}

// once keeps the result of a check for all documents with the same text in the given sections.
func (c *Converter) once(d *strict.Document, check func() strict.Problems, sections ...string) strict.Problems {
	key := d.Canonical(sections...)
	c.mu.Lock()
	defer c.mu.Unlock()
	found, ok := c.sound[key]
	if !ok {
		if c.sound == nil {
			c.sound = map[string]strict.Problems{}
		}
		found = check()
		c.sound[key] = found
	}
	return found
}

// grid builds the grid of a document, or finds one built before.
func (c *Converter) grid(d *strict.Document) (*body.Grid, error) {
	key := d.Canonical("body")
	c.mu.Lock()
	defer c.mu.Unlock()
	if g := c.grids[key]; g != nil {
		return g, nil
	}
	g, err := build(d, c.Outline)
	if err != nil {
		return nil, err
	}
	g.FlatMM = d.Number("body.thickness_mm")
	if c.grids == nil || len(c.grids) > 64 { // a study seldom varies the body; the outline of a grid is one layer
		c.grids = map[string]*body.Grid{}
	}
	c.grids[key] = g
	return g, nil
}

// canSolidify refuses a case in which nothing could ever grow.
func canSolidify(d *strict.Document, c *sim.Case) strict.Problems {
	if len(c.Seeds) > 0 || laws.Any(c.Nuclei) || !d.Has("nucleation.melt.law") { // a missing law was reported
		return nil
	}
	return strict.Problems{d.Problem("nucleation.melt.law", "without a seed and without nucleation the body can never become solid", "add a [[seed]] or a nucleation law")}
}

// NoDice tells whether all replicates of the case are the same: no spontaneous nucleation, no placing scatter.
func (t *Draft) NoDice() bool { return !laws.Any(t.Case.Nuclei) && !t.Case.Scattered() }
