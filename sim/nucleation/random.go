package nucleation

import (
	"onegrain/sim/body"
	"onegrain/sim/crystal"
)

// Random lets crystals lie uniformly on SO(3).
type Random struct{}

// Orientation is any; in a plane a turn by any angle about the flat axis.
func (Random) Orientation(flat int, u [3]float64) crystal.Orientation {
	switch flat {
	case body.FromAbove:
		return crystal.Turned(float64(360*u[0]), 0, 0)
	case body.VerticalSection:
		return crystal.Turned(0, float64(360*u[0]), 0)
	}
	return crystal.Random(u[0], u[1], u[2])
}
