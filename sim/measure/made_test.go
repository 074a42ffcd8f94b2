package measure

import (
	"math"
	"slices"
	"testing"

	"onegrain/sim"
	"onegrain/sim/body"
	"onegrain/sim/crystal"
	"onegrain/sim/furnace"
	"onegrain/sim/growth"
	"onegrain/sim/kinetics"
	"onegrain/sim/nucleation"
)

// made is a field by a rule: owner, sector and time of the cell with its centre at (x, y, z) mm.
// Cells off the body are NoBody.
type made struct {
	g    *body.Grid
	rule func(x, y, z float64) (grain int, sector uint8, timeH float64)
}

func (m made) Row(j, k int, dst []growth.Cell) {
	nan := float32(math.NaN())
	for i := range dst {
		if m.g.State(i, j, k) != body.Inside {
			dst[i] = growth.Cell{Grain: growth.NoBody, TimeH: nan}
			continue
		}
		grain, sector, t := m.rule(m.g.Centre(i, j, k))
		dst[i] = growth.Cell{Grain: int32(grain), Sector: sector, TimeH: float32(t)}
		if grain < 0 {
			dst[i].TimeH = nan
		}
	}
}

// owner is a rule for the owner alone.
func owner(f func(x, y, z float64) int) func(x, y, z float64) (int, uint8, float64) {
	return func(x, y, z float64) (int, uint8, float64) { return f(x, y, z), 0, 2 }
}

// held is a programme that melts, jumps to an undercooling at 1 h and stays there.
func held(undercoolingK, hours float64) furnace.Programme {
	return furnace.Programme{Knots: []furnace.Knot{{TimeH: 0, UndercoolingK: -5}, {TimeH: 1, UndercoolingK: -5},
		{TimeH: 1, UndercoolingK: undercoolingK}, {TimeH: 1 + hours, UndercoolingK: undercoolingK}}}
}

// scene is a case with seeds turned by the given angles; all lie on the axis, for the field is
// made.
func scene(g *body.Grid, turnsDeg ...float64) (*sim.Case, []sim.Grain) {
	c := &sim.Case{Grid: g, GrowthA: kinetics.Power{RateAt10K: 0.5, Exponent: 2},
		GrowthC: kinetics.Power{RateAt10K: 0.4, Exponent: 1}, Cooling: furnace.Cooling{Programme: held(10, 40)}}
	var grains []sim.Grain
	for i, turn := range turnsDeg {
		c.Seeds = append(c.Seeds, sim.Seed{SizeMM: [2]float64{2, 2}, TurnDeg: turn})
		grains = append(grains, sim.Grain{Origin: nucleation.Seed, Seed: i, BornH: 1,
			Orientation: crystal.Turned(turn, 0, 0)})
	}
	return c, grains
}

func block(t *testing.T, x, y, z, cell float64, flat int) *body.Grid {
	t.Helper()
	g, err := body.Block([3]float64{x, y, z}, cell, flat, false)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

func disc(t *testing.T, diameter, height, cell float64, flat int) *body.Grid {
	t.Helper()
	g, err := body.Disc(diameter, height, cell, flat)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// between tells whether low ≤ x ≤ high.
func between(x, low, high float64) bool { return low <= x && x <= high }

// LastH is that of the last centre: a field by a rule has no faces that go on.
func (m made) LastH(rows []float64) float64 { return slices.Max(rows) }
