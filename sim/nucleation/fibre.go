package nucleation

import (
	"onegrain/sim/body"
	"onegrain/sim/crystal"
)

// Fibre has all c axes upright and only the turn about them random.
type Fibre struct{}

// Orientation is a turn about the vertical; in a vertical section nothing is left to chance.
func (Fibre) Orientation(flat int, u [3]float64) crystal.Orientation {
	if flat == body.VerticalSection {
		return crystal.Turned(0, 0, 0)
	}
	return crystal.Turned(float64(360*u[0]), 0, 0)
}
