package measure

import (
	"math"

	"onegrain/sim"
	"onegrain/sim/furnace"
	"onegrain/sim/kinetics"
)

// free is the first seed's grain as it would grow with nothing in its way, at the seed's own place.
type free struct {
	on    *sim.Case
	knots []furnace.Knot // with undercoolings at the seed
	start float64        // half width of the seed along a, mm
}

// newFree is for the first seed of a case, which begins to grow at bornH.
func newFree(c *sim.Case, bornH float64) free {
	seed := c.Seeds[0]
	offset := c.Gradient.Offset(seed.AtMM[0], seed.AtMM[1], 0)
	p := furnace.Programme{Knots: []furnace.Knot{{TimeH: bornH}, {TimeH: bornH, UndercoolingK: math.Max(0, c.Programme.Undercooling(bornH)-offset)}}}
	for _, k := range c.Programme.Knots {
		if k.TimeH > bornH {
			p.Knots = append(p.Knots, furnace.Knot{TimeH: k.TimeH, UndercoolingK: k.UndercoolingK - offset})
		}
	}
	return free{c, p.GrowthKnots(), seed.SizeMM[0] / 2}
}

// halfA is the half width along a in mm at a time in hours: half the seed and what the a face has grown.
func (f free) halfA(timeH float64) float64 { return f.start + f.grown(f.on.GrowthA, timeH) }

// lengthC is what the c face has grown in mm; the seed lies on the body, so it starts at 0.
func (f free) lengthC(timeH float64) float64 { return f.grown(f.on.GrowthC, timeH) }

func (f free) grown(l kinetics.Law, timeH float64) (mm float64) {
	for i := 1; i < len(f.knots); i++ {
		a, b := f.knots[i-1], f.knots[i]
		if !(a.TimeH < timeH) {
			break
		}
		if b.TimeH > timeH {
			part := (timeH - a.TimeH) / (b.TimeH - a.TimeH)
			b = furnace.Knot{TimeH: timeH, UndercoolingK: a.UndercoolingK + float64(part*(b.UndercoolingK-a.UndercoolingK))}
		}
		mm += kinetics.Length(l, a.UndercoolingK, b.UndercoolingK, b.TimeH-a.TimeH)
	}
	return mm
}
