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
	OverLaws struct { // a chances.Over as it is
		SingleGrainChance      float64
		SingleGrainChanceLow   float64
		SingleGrainChanceHigh  float64
		SingleGrainChanceWorse float64
		WorseFamily            string
		FamilyShare            float64
		TimeToFullHLow         float64
		TimeToFullHHigh        float64
		Laws                   int
		LawsBy                 string
	}
}
