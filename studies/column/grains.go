package column

// Grain is a row of grains.
type Grain struct {
	Grain             int    // from 1
	Origin            string // seed, melt, top, side or bottom
	BornH             float64
	BornUndercoolingK float64
	AtMM              [3]float64 // x, y, z
	Orientation       struct{ W, X, Y, Z float64 }
	VolumeMM3         float64
	SectorMM3         [6]float64 // +a, −a, +b, −b, +c, −c
	DisorientationDeg float64    // NaN without a seed
	Domain            int        // from 1, the largest first; 0 for strays
}

// Boundary is a row of boundaries, a measure.Boundary but for the numbers of its grains.
type Boundary struct {
	Grain1, Grain2    int // from 1, Grain1 < Grain2
	AreaMM2           float64
	DisorientationDeg float64
	CAxisAngleDeg     float64
	LowAngle          bool
}
