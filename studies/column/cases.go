package column

// Case is a row of cases.
type Case struct {
	Runs                    int     // counted
	SingleGrainRuns         int     // of them
	SingleGrainFraction     float64 // NaN without runs
	SingleGrainFractionLow  float64 // of its 95 % interval
	SingleGrainFractionHigh float64
	ClearDiameterMMMedian   float64 // NaN without runs
	ClearDiameterMMP10      float64
	ClearDiameterMMP90      float64
	TimeToFullH             float64 // median of the runs that became solid; NaN where none did
	ProgrammeH              float64 // NaN where the case was not begun
	StoppedBy               string
	DesignPoints            string   // empty where the design has none
	Exact                   struct { // an again.Odds as it is, which says what each field is
		Probability    float64
		Error          float64
		ExpectedStrays float64
		FullH          float64
		Placings       int
		Because        string
	}
}

func cases() []line {
	return []line{
		always("runs", "1", "runs counted", func(c *Case) int { return c.Runs }),
		always("single_grain_runs", "1", "those that ended as a single grain",
			func(c *Case) int { return c.SingleGrainRuns }),
		maybe("single_grain_fraction", "1", "counted share", func(c *Case) float64 { return c.SingleGrainFraction }),
		maybe("single_grain_fraction_low", "1", "lower end of its 95 % interval (Clopper-Pearson; "+
			"with random.precision that of 96.5 %, which holds 95 % in spite of stopping early)",
			func(c *Case) float64 { return c.SingleGrainFractionLow }),
		maybe("single_grain_fraction_high", "1", "upper end of it",
			func(c *Case) float64 { return c.SingleGrainFractionHigh }),
		maybe("single_grain_probability_exact", "1",
			"chance of a single grain without dice; with placing scatter the mean over placings of the seeds",
			func(c *Case) float64 { return c.Exact.Probability }),
		maybe("expected_strays_exact", "1", "expected number of strays before the first one changes anything",
			func(c *Case) float64 { return c.Exact.ExpectedStrays }),
		maybe("clear_diameter_mm_median", "mm", "median of the runs' clear diameters",
			func(c *Case) float64 { return c.ClearDiameterMMMedian }),
		maybe("clear_diameter_mm_p10", "mm", "one run in ten has less",
			func(c *Case) float64 { return c.ClearDiameterMMP10 }),
		maybe("clear_diameter_mm_p90", "mm", "one run in ten has more",
			func(c *Case) float64 { return c.ClearDiameterMMP90 }),
		maybe("time_to_full_h", "h", "median of the runs that became solid, from the start of the programme",
			func(c *Case) float64 { return c.TimeToFullH }),
		maybe("programme_h", "h", "length of the furnace programme", func(c *Case) float64 { return c.ProgrammeH }),
		always("stopped_by", "", "replicates (all done), precision (the interval was narrow enough), "+
			"or what kept the case from being finished",
			func(c *Case) string { return c.StoppedBy }),
		nonzero("design_points", "", "where the case stands in a latin or sobol design, from 1; in a saltelli design "+
			"A1, B1 or AB1.2: row 1 of sample A with its second varied column from B; several are parted by blanks",
			func(c *Case) string { return c.DesignPoints }),
		nonzero("placings", "1", "placings of the seeds that the exact chance is the mean of: those of the runs counted, "+
			"or the first ones where none are; empty without placing scatter",
			func(c *Case) int { return c.Exact.Placings }),
		maybe("single_grain_probability_exact_se", "1",
			"standard error of that mean; empty without placing scatter, and of one placing",
			func(c *Case) float64 { return c.Exact.Error }),
		nonzero("never_because", "", "why even without strays it can be no single grain, where that is so: unseeded; "+
			"liquid (some is left when the programme ends); apart (the seeded grains do not join to one domain)",
			func(c *Case) string { return c.Exact.Because }),
	}
}
