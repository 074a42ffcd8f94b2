package measure

import (
	"onegrain/sim"
	"onegrain/sim/furnace"
	"onegrain/sim/kinetics"
)

// free is the first seed's grain as it would grow with nothing in its way, at the seed's own place.
type free struct {
	on    *sim.Case
	knots []furnace.Knot // with undercoolings at the seed
}

// newFree is for the first seed of a case, which begins to grow at bornH.
func newFree(c *sim.Case, bornH float64) free {
	at := c.Seeds[0].AtMM
	return free{c, c.Cooling.GrowthKnots(at[0], at[1], 0, bornH)}
}

// halfA is the half width along a in mm at a time in hours: half the seed and what the a face has
// grown.
func (f free) halfA(timeH float64) float64 {
	return f.on.Seeds[0].SizeMM[0]/2 + f.grown(f.on.GrowthA, timeH)
}

// lengthC is what the c face has grown in mm; the seed lies on the body, so it starts at 0.
func (f free) lengthC(timeH float64) float64 { return f.grown(f.on.GrowthC, timeH) }

func (f free) grown(l kinetics.Law, timeH float64) (mm float64) {
	for i := 1; i < len(f.knots) && f.knots[i-1].TimeH < timeH; i++ {
		a, b := f.knots[i-1], f.knots[i]
		if b.TimeH > timeH {
			b = a.Towards(b, timeH)
		}
		mm += kinetics.Length(l, a.UndercoolingK, b.UndercoolingK, b.TimeH-a.TimeH)
	}
	return mm
}
