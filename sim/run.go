// Package sim computes one furnace run of a body.
//
// The story of a run:
//
//  1. A Case says what is run: the body as a grid of cells, growth laws, programme, gradient, seeds
//     and nucleation laws.
//  2. The seeds are placed, each with its own scatter, drawn from the replicate's key (place).
//  3. The body grows from the seeds alone (Seeded). This run needs no dice besides the placing; the
//     exact odds come from it.
//  4. The nuclei of the replicate are drawn in order of time. As long as they fall into solid they
//     are void; if all are, the run without strays is the answer (Strays).
//  5. Otherwise the body grows again with the nuclei.
//  6. The Outcome holds the grains and the field of owners, sectors and arrival times. Measures of
//     it live in sim/measure.
//
// Units are mm, h and K. The same Case and key give the same bits on every machine, for any number
// of workers.
package sim

import (
	"math"
	"slices"

	"onegrain/sim/crystal"
	"onegrain/sim/draw"
	"onegrain/sim/growth"
	"onegrain/sim/nucleation"
	"onegrain/sim/number"
)

// Ready is a case with all that its replicates share. It never changes, so many may run at once.
type Ready struct {
	on    *Case
	space *growth.Space
	odds  *nucleation.Odds
	start []float64 // when each seed begins to grow, h: its place is cold and the body has been molten; the end if never
}

// Prepare works out what the replicates of a case share.
func Prepare(c *Case) *Ready {
	r := &Ready{on: c, space: growth.NewSpace(c.Grid, c.GrowthA, c.GrowthC, c.Cooling),
		odds: nucleation.NewOdds(c.Nuclei, c.Grid, c.Cooling)}
	lowest, _ := r.odds.Span()
	for _, s := range c.Seeds {
		start := c.Cooling.Seen(s.AtMM[0], s.AtMM[1], 0, lowest).GrowthStartH()
		r.start = append(r.start, math.Min(start, c.Programme.EndH()))
	}
	return r
}

// Seeded is the run without strays; of the key only the placing of the seeds is used.
func Seeded(c *Case, key draw.Key) *Outcome { return Prepare(c).Seeded(key) }

// Seeded is the run without strays of a prepared case.
func (r *Ready) Seeded(key draw.Key) *Outcome {
	grains, roots := r.place(key)
	field, _ := r.space.Grow(roots, nil)
	return &Outcome{Case: r.on, Grains: grains, Field: field, ready: r}
}

// Strays adds the nuclei of a replicate to a run without strays that was placed with the same key,
// or for whose seeds there is no scatter. It returns the run itself when all nuclei are void.
func (o *Outcome) Strays(key draw.Key) *Outcome {
	if !o.firstStray(key) {
		return o
	}
	c := o.Case
	seeds := o.Grains[:len(c.Seeds)]
	roots := make([]growth.Root, len(seeds))
	for i := range seeds {
		roots[i] = c.seedRoot(&seeds[i])
	}
	events := o.ready.odds.Events(key)
	var met []nucleation.Event
	field, born := o.ready.space.Grow(roots, func() (growth.Root, bool) {
		e, ok := events.Next()
		if ok {
			met = append(met, e)
		}
		return c.nucleus(&e), ok
	})
	out := &Outcome{Case: c, Grains: append([]Grain(nil), seeds...), Field: field, ready: o.ready}
	for i, g := range born {
		if g >= 0 {
			out.Grains = append(out.Grains, stray(&met[i]))
			field.Rename(g, len(out.Grains)-1)
		}
	}
	return out
}

// firstStray tells whether any nucleus of a replicate falls into liquid of the run without strays.
func (o *Outcome) firstStray(key draw.Key) bool {
	events := o.ready.odds.Events(key)
	for {
		e, ok := events.Next()
		if !ok || e.TimeH > o.Field.FullByH() {
			return false
		}
		if !o.Field.SolidAt(e.Cell, e.TimeH) {
			return true
		}
	}
}

// Scattered tells whether the seeds lie differently in each replicate.
func (c *Case) Scattered() bool {
	for _, s := range c.Seeds {
		if s.TurnSDDeg > 0 || s.TiltSDDeg > 0 {
			return true
		}
	}
	return false
}

// Placed are the seeds where a replicate's key lays them, before anything has grown: the turn is
// normal about its nominal value, and the c axis is tilted by two independent normal components.
func (c *Case) Placed(key draw.Key) (grains []Grain) {
	stream := key.Stream("placing")
	for i, s := range c.Seeds {
		turn := s.TurnDeg + float64(s.TurnSDDeg*stream.Normal())
		sin, cos := number.Sincos(s.TiltTowardDeg * math.Pi / 180)
		x := float64(s.TiltDeg*cos) + float64(s.TiltSDDeg*stream.Normal())
		y := float64(s.TiltDeg*sin) + float64(s.TiltSDDeg*stream.Normal())
		grains = append(grains, Grain{Origin: nucleation.Seed, Seed: i, AtMM: c.onTop(s.AtMM),
			Orientation: c.orient(turn, x, y)})
	}
	return grains
}

// Still is a case whose seeds lie as it says, without scatter.
func (c *Case) Still() *Case {
	on := *c
	on.Seeds = slices.Clone(c.Seeds)
	for i := range on.Seeds {
		on.Seeds[i].TurnSDDeg, on.Seeds[i].TiltSDDeg = 0, 0
	}
	return &on
}

// Nominal are the seeds of a case without scatter, before anything has grown.
func (c *Case) Nominal() []Grain { return c.Still().Placed(draw.NewKey("nominal")) }

// Nominal is the run without strays of a case without scatter.
func Nominal(c *Case) *Outcome { return Seeded(c.Still(), draw.NewKey("nominal")) }

// place lays the seeds, which begin to grow once it is cold where they are.
func (r *Ready) place(key draw.Key) (grains []Grain, roots []growth.Root) {
	grains = r.on.Placed(key)
	for i := range grains {
		grains[i].BornH = r.start[i]
		roots = append(roots, r.on.seedRoot(&grains[i]))
	}
	return grains, roots
}

// orient turns and tilts a crystal; across a flat axis it stays put.
func (c *Case) orient(turnDeg, tiltX, tiltY float64) crystal.Orientation {
	switch c.Grid.Flat {
	case 1:
		return crystal.Turned(0, tiltX, 0)
	case 2:
		return crystal.Turned(turnDeg, 0, 0)
	}
	tilt := math.Sqrt(float64(tiltX*tiltX) + float64(tiltY*tiltY))
	if tilt == 0 {
		return crystal.Turned(turnDeg, 0, 0)
	}
	return crystal.Turned(turnDeg, tilt, number.Atan2(tiltY, tiltX)*180/math.Pi)
}

// onTop is the place of a seed on the top face; in a plane seen from above, in the plane.
func (c *Case) onTop(at [2]float64) [3]float64 {
	g := c.Grid
	if g.Flat == 2 {
		return [3]float64{at[0], at[1], g.Origin[2]}
	}
	return [3]float64{at[0], at[1], g.Origin[2] + float64((float64(g.N[2])-0.5)*g.CellMM)}
}

// seedRoot is a seed as the engine sees it; it lies on the top face, so that its c face starts
// there.
func (c *Case) seedRoot(g *Grain) growth.Root {
	s := c.Seeds[g.Seed]
	half := [3]float64{s.SizeMM[0] / 2 / c.Grid.CellMM, s.SizeMM[1] / 2 / c.Grid.CellMM, 0}
	return growth.Root{At: c.inCells(g.AtMM), Half: c.flat(half), Axes: g.Orientation.Axes(), BornH: g.BornH, Seed: true}
}

func (c *Case) nucleus(e *nucleation.Event) growth.Root {
	return growth.Root{At: c.inCells(e.AtMM), Half: c.flat([3]float64{}), Axes: e.Orientation.Axes(), BornH: e.TimeH,
		Cell: e.Cell}
}

func stray(e *nucleation.Event) Grain {
	return Grain{Origin: e.Origin, Seed: -1, BornH: e.TimeH, BornUndercoolingK: e.UndercoolingK, AtMM: e.AtMM,
		Orientation: e.Orientation}
}

// flat makes a crystal infinite across a flat axis: b across a vertical section, c across a plane
// seen from above.
func (c *Case) flat(half [3]float64) [3]float64 {
	if c.Grid.Flat >= 0 {
		half[c.Grid.Flat] = math.Inf(1)
	}
	return half
}

func (c *Case) inCells(mm [3]float64) (cells [3]float64) {
	for a := range mm {
		cells[a] = (mm[a] - c.Grid.Origin[a]) / c.Grid.CellMM
	}
	return cells
}
