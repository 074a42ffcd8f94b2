package measure

import (
	"math"
	"sort"

	"onegrain/sim"
	"onegrain/sim/furnace"
	"onegrain/sim/growth"
	"onegrain/sim/liquid"
	"onegrain/sim/nucleation"
)

// Odds is the exact chance of a single grain.
type Odds struct {
	ExpectedStrays float64                        // Λ, nuclei expected in the liquid of the run without strays
	ByOrigin       [nucleation.Bottom + 1]float64 // its parts: melt, top, side, bottom
	Probability    float64                        // of a single grain
	Because        string                         // of a 0 without strays: Unseeded, Liquid or Apart
}

// Why the seeded grains are no single one, strays or not.
const (
	Unseeded = "unseeded" // there is no seed
	Liquid   = "liquid"   // some is left when the programme ends
	Apart    = "apart"    // the seeded grains do not join into one domain
)

// Odds is for the survey of a run without strays. Up to the first stray a run is that run, and
// nuclei are a Poisson process, so the chance of none in its liquid is exp(−Λ), with Λ = Σ over
// cells of (volume or area × rate integrated until the seeded grains capture the cell, or to the
// programme's end). It is the chance of a single grain where one domain fills the body, and 0
// elsewhere. Strays use up liquid, which would make the odds too good: with strays in the run all
// is NaN.
func (s *Survey) Odds() Odds {
	if len(s.grains) > s.seeded {
		o := Odds{ExpectedStrays: math.NaN(), Probability: math.NaN()}
		for i := range o.ByOrigin {
			o.ByOrigin[i] = math.NaN()
		}
		return o
	}
	o := newOdds(s.on, s.field, s.filled())
	switch {
	case s.filled():
	case s.seeded == 0:
		o.Because = Unseeded
	case s.liquid > 0:
		o.Because = Liquid
	default:
		o.Because = Apart
	}
	return o
}

// Tables are those of the liquid of bodies that stay the same from case to case; the zero value
// knows none. It may be used from several goroutines.
type Tables = liquid.Tables

// OddsByTable are the odds of a case whose seeds are alike, so that they join into one domain, and
// the hour until it is solid (NaN where it never is), without a run; ok is false where it takes
// one.
func OddsByTable(t *Tables, c *sim.Case, seeds []sim.Grain) (o Odds, fullH float64, ok bool) {
	course, ok := t.Course(c, seeds)
	o = Odds{ExpectedStrays: course.Lambda(), ByOrigin: course.Strays, Probability: course.Chance()}
	if fullH = course.FullH; math.IsInf(fullH, 1) {
		fullH, o.Because = math.NaN(), Liquid
	}
	return o, fullH, ok
}

// newOdds asks cell by cell under a gradient, where each has a hazard of its own, and else by bins.
func newOdds(c *sim.Case, field rows, filled bool) (o Odds) {
	weigh := nucleation.NewOdds(c.Nuclei, c.Grid, c.Cooling)
	switch m := c.Nuclei; {
	case m.Melt == nil && m.Top == nil && m.Side == nil && m.Bottom == nil:
	case c.Uniform():
		o.ByOrigin = binned(c, field, weigh)
	default:
		each(c, field, func(i, j, k int, untilH float64) {
			for origin, x := range weigh.Expected(i, j, k, untilH) {
				o.ByOrigin[origin] += x
			}
		})
	}
	for _, x := range o.ByOrigin {
		o.ExpectedStrays += x
	}
	if filled {
		o.Probability = liquid.None(o.ExpectedStrays)
	}
	return o
}

// cells visits every cell of the body, layer by layer.
func cells(field rows, n [3]int, visit func(i, j, k int, c growth.Cell)) {
	row := make([]growth.Cell, n[0])
	for k := range n[2] {
		for j := range n[1] {
			field.Row(j, k, row)
			for i, c := range row {
				if c.Grain != growth.NoBody {
					visit(i, j, k, c)
				}
			}
		}
	}
}

// each visits every cell of the body with the time in hours until which it is liquid.
func each(c *sim.Case, field rows, visit func(i, j, k int, untilH float64)) {
	end := c.Programme.EndH()
	cells(field, c.Grid.N, func(i, j, k int, cell growth.Cell) {
		untilH := end
		if cell.Grain >= 0 {
			untilH = math.Min(end, float64(cell.TimeH))
		}
		visit(i, j, k, untilH)
	})
}

// binned asks once per bin of time: without a gradient all cells share one hazard per origin.
// Weights are gathered in bins that hold no knot of the programme, and the hazard is read at each
// bin's centre of weight; between knots it is smooth, so the error is of second order in a bin
// (below 1e-6 of Λ; see the test against cell by cell).
func binned(c *sim.Case, field rows, weigh *nucleation.Odds) (by [nucleation.Bottom + 1]float64) {
	var all [len(by)]*bins
	for origin := range all {
		if c.Nuclei.Law(nucleation.Origin(origin)) != nil {
			all[origin] = newBins(c.Programme)
		}
	}
	each(c, field, func(i, j, k int, untilH float64) {
		for origin, b := range all {
			if b == nil {
				continue
			}
			if w := weigh.Weight(nucleation.Origin(origin), i, j, k); w > 0 {
				b.add(untilH, w)
			}
		}
	})
	for origin, b := range all {
		if b != nil {
			by[origin] = b.sum(func(timeH float64) float64 { return weigh.PerUnit(nucleation.Origin(origin), timeH) })
		}
	}
	return by
}

// perPiece is how many bins a piece of the programme is cut into.
const perPiece = 4096

// bins gather weights by time, each piece of the programme in equal bins of its own.
type bins struct {
	knots  []float64 // hours, ascending
	weight []float64 // perPiece a piece, then one for times at or beyond the last knot
	moment []float64 // weight × time since the piece began
}

func newBins(p furnace.Programme) *bins {
	b := &bins{}
	for _, k := range p.Knots {
		b.knots = append(b.knots, k.TimeH)
	}
	n := (len(b.knots)-1)*perPiece + 1
	b.weight, b.moment = make([]float64, n), make([]float64, n)
	return b
}

// piece is the piece a time is in; the number of pieces for times at or beyond the end.
func (b *bins) piece(timeH float64) int {
	return max(0, sort.Search(len(b.knots), func(i int) bool { return b.knots[i] > timeH })-1)
}

// add is a weight until a time.
func (b *bins) add(timeH, weight float64) {
	p := b.piece(timeH)
	n := p * perPiece
	since := timeH - b.knots[p]
	if p < len(b.knots)-1 {
		n += max(0, min(perPiece-1, int(since/(b.knots[p+1]-b.knots[p])*perPiece)))
	}
	b.weight[n] += weight
	b.moment[n] += float64(weight * since)
}

// sum is Σ weight × hazard, the latter expected per unit until an hour.
func (b *bins) sum(hazard func(timeH float64) float64) (sum float64) {
	for n, w := range b.weight {
		if w > 0 {
			sum += float64(w * hazard(b.knots[n/perPiece]+math.Max(0, b.moment[n]/w)))
		}
	}
	return sum
}
