package column

// failed is the status of a run that ended with an error: nothing else is known of it.
const failed = "failed"

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

func runs() []line {
	return []line{
		always("status", "", "solid; liquid (the programme ended before the body was solid); failed (see failures.jsonl)",
			func(r *Run) string { return r.Status }),
		maybe("single_grain", "", "one domain fills the body and no stray exists",
			func(r *Run) bool { return r.Measured.SingleGrain }),
		maybe("clear_diameter_mm", "mm", "largest disc of the clear columns of the largest domain",
			func(r *Run) float64 { return r.Measured.ClearDiameterMM }),
		maybe("clear_square_mm", "mm", "side of the largest square of them along the grain's own a and b",
			func(r *Run) float64 { return r.Measured.ClearSquareMM }),
		maybe("clear_volume_mm3", "mm3", "volume of them", func(r *Run) float64 { return r.Measured.ClearVolumeMM3 }),
		maybe("solid_fraction", "1", "solid share of the body at the end of the programme",
			func(r *Run) float64 { return r.Measured.SolidFraction }),
		maybe("stray_grains", "1", "grains of spontaneous origin", func(r *Run) int { return r.Measured.StrayGrains }),
		maybe("stray_volume_fraction", "1", "their share of the body",
			func(r *Run) float64 { return r.Measured.StrayVolumeFraction }),
		maybe("first_stray_h", "h", "birth of the first stray, from the start of the programme; empty without strays",
			func(r *Run) float64 { return r.Measured.FirstStrayH }),
		maybe("first_stray_undercooling_K", "K", "undercooling at its place when it was born",
			func(r *Run) float64 { return r.Measured.FirstStrayUndercoolingK }),
		maybe("grain_width_at_first_stray_mm", "mm",
			"full width of the first seeded grain at that time, at most that of the body",
			func(r *Run) float64 { return r.Measured.GrainWidthAtFirstStrayMM }),
		maybe("time_to_full_h", "h",
			"when the last cell became solid, from the start of the programme; empty if liquid is left",
			func(r *Run) float64 { return r.Measured.TimeToFullH }),
		maybe("sector_a_fraction", "1", "share of the seeded grains that the {100} and {010} faces grew",
			func(r *Run) float64 { return r.Measured.SectorAFraction }),
		maybe("sector_c_fraction", "1", "share of them that the {001} faces grew",
			func(r *Run) float64 { return r.Measured.SectorCFraction }),
		maybe("wall_s", "s", "time the computation took", func(r *Run) float64 { return r.WallS }),
	}
}
