package sim

import (
	"onegrain/sim/body"
	"onegrain/sim/crystal"
	"onegrain/sim/furnace"
	"onegrain/sim/growth"
	"onegrain/sim/kinetics"
	"onegrain/sim/nucleation"
)

// Case is everything that decides one furnace run, in the engine's units (mm, h, K). A Case is
// never changed by a run.
type Case struct {
	Grid             *body.Grid
	GrowthA, GrowthC kinetics.Law // {100}/{010} and {001} faces
	furnace.Cooling               // the undercooling at every place and hour
	Seeds            []Seed
	Nuclei           nucleation.Model
}

// Seed is a crystal lying on the top face of the body (in it, for a plane seen from above), before
// placing scatter.
type Seed struct {
	AtMM                            [2]float64 // x, y of its centre
	SizeMM                          [2]float64 // contact patch along its own a and b
	TurnDeg, TiltDeg, TiltTowardDeg float64
	TurnSDDeg, TiltSDDeg            float64 // placing scatter, drawn anew for each replicate
}

// PeriodicMultiple is what the number of cells along each axis of a periodic body must be a
// multiple of, in a plane or in space.
func PeriodicMultiple(plane bool) int { return growth.PeriodicMultiple(plane) }

// Grain is everything grown from one seed or nucleus.
type Grain struct {
	Origin            nucleation.Origin // Seed, Melt, Top, Side, Bottom
	Seed              int               // index in Case.Seeds, -1 for strays
	BornH             float64           // h from the start of the programme
	BornUndercoolingK float64           // at its own place
	AtMM              [3]float64
	Orientation       crystal.Orientation
}

// Outcome is a finished run: the seeded grains first, in the order of Case.Seeds, then the strays
// in the order of birth.
type Outcome struct {
	Case   *Case
	Grains []Grain
	Field  *growth.Field // owner, sector and arrival time of every cell
	ready  *Ready
}
