package nucleation

import "onegrain/sim/crystal"

// Parallel lets all crystals stand alike, c up and a along x, as theories of aligned growth forms
// have it.
type Parallel struct{}

// Orientation is always the same.
func (Parallel) Orientation(int, [3]float64) crystal.Orientation { return crystal.Turned(0, 0, 0) }
