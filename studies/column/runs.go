package column

// Run is a row of runs.
type Run struct {
	Status   string   // solid, liquid or failed
	Measured struct { // a measure.Run as it is, which says what each field is; NaN where it does not exist
		SingleGrain              bool
		ClearDiameterMM          float64
		ClearSquareMM            float64
		ClearVolumeMM3           float64
		SolidFraction            float64
		StrayGrains              int
		StrayVolumeFraction      float64
		FirstStrayH              float64
		FirstStrayUndercoolingK  float64
		GrainWidthAtFirstStrayMM float64
		TimeToFullH              float64
		SectorAFraction          float64
		SectorCFraction          float64
	}
	WallS float64 // time the computation took, s
}
