package column

// Moment is a row of history.
type Moment struct {
	TemperatureC float64  // of the programme, °C
	Measured     struct { // a measure.Moment as it is, which says what each field is
		TimeH         float64
		UndercoolingK float64
		HalfWidthAMM  float64
		HalfWidthCMM  float64
		SolidFraction float64
		Nuclei        int
	}
}
