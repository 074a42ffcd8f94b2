package column

// Moment is a row of history.
type Moment struct {
	PeritecticC float64  // °C
	Measured    struct { // a measure.Moment as it is, which says what each field is
		TimeH         float64
		UndercoolingK float64
		HalfWidthAMM  float64
		HalfWidthCMM  float64
		SolidFraction float64
		Nuclei        int
	}
}

func history() []line {
	return []line{
		always("time_h", "h", "from the start of the programme", func(m *Moment) float64 { return m.Measured.TimeH }),
		always("temperature_C", "Cel", "of the programme",
			func(m *Moment) float64 { return m.PeritecticC - m.Measured.UndercoolingK }),
		always("undercooling_K", "K", "of the programme; negative above the peritectic",
			func(m *Moment) float64 { return m.Measured.UndercoolingK }),
		maybe("half_width_a_mm", "mm", "of the first seeded grain, free of walls; empty without a seed",
			func(m *Moment) float64 { return m.Measured.HalfWidthAMM }),
		maybe("half_width_c_mm", "mm", "its grown height", func(m *Moment) float64 { return m.Measured.HalfWidthCMM }),
		always("solid_fraction", "1", "solid share of the body", func(m *Moment) float64 { return m.Measured.SolidFraction }),
		always("nuclei", "1", "strays born so far", func(m *Moment) int { return m.Measured.Nuclei }),
	}
}
