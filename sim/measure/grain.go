package measure

import (
	"math"

	"onegrain/sim"
)

// Grain is a grain of the run with its measures.
type Grain struct {
	sim.Grain
	VolumeMM3         float64
	SectorMM3         [6]float64 // +a, −a, +b, −b, +c, −c; the cells of the seed or nucleus itself belong to none
	DisorientationDeg float64    // to the first seed under 422; NaN without a seed
	Domain            int        // from 0 in the order of the seeds; -1 for strays
}

// Grains are all grains in the order of Outcome.Grains, those without a cell included.
func (s *Survey) Grains() []Grain {
	list := make([]Grain, len(s.grains))
	cell := s.on.Grid.CellVolume()
	for g := range list {
		list[g] = Grain{Grain: s.grains[g], VolumeMM3: float64(s.size(g)) * cell, DisorientationDeg: math.NaN(), Domain: -1}
		for i := range list[g].SectorMM3 {
			list[g].SectorMM3[i] = float64(s.cells[g][i]) * cell
		}
		if s.seeded > 0 {
			list[g].DisorientationDeg = s.grains[0].Orientation.DisorientationDeg(s.grains[g].Orientation)
		}
		if g < s.seeded {
			list[g].Domain = s.domains[g]
		}
	}
	return list
}
