package nucleation

import "onegrain/sim/crystal"

// Texture says how the crystals of nuclei lie.
type Texture interface {
	// Orientation is that of a nucleus, from three independent numbers uniform in [0, 1), in a body
	// with this flat axis (body.Grid.Flat). Turns in a plane are about the flat axis, so that a, b or
	// c stay in it.
	Orientation(flat int, u [3]float64) crystal.Orientation
}
