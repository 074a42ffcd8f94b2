package tally

// Laws is what all laws that a logbook allows make of a case. What is not known is NaN.
type Laws struct {
	Chance    Real   `json:"single_grain_chance"`       // of one grain, full in time: the mean
	Low       Real   `json:"single_grain_chance_low"`   // 90 of 100 laws lie between
	High      Real   `json:"single_grain_chance_high"`  //
	Worse     Real   `json:"single_grain_chance_worse"` // mean of the worse family of strays
	Family    string `json:"worse_family,omitempty"`    // which that is: barrier or sites
	Share     Real   `json:"family_share"`              // of the variance, that is between families
	FullLowH  Real   `json:"time_to_full_h_low"`        // 90 of 100 laws lie between
	FullHighH Real   `json:"time_to_full_h_high"`       //
	Count     int    `json:"laws"`                      // that were looked at
	By        string `json:"laws_by,omitempty"`         // "table", or why each took a run
}

// Numbers are those of which an average is taken.
func (l *Laws) Numbers() []*Real {
	return []*Real{&l.Chance, &l.Low, &l.High, &l.Worse, &l.Share, &l.FullLowH, &l.FullHighH}
}

// Strays says in words how the strays of the worse family come; empty where one family has nearly
// all laws.
func (l *Laws) Strays() string {
	return map[string]string{"sites": "at sites", "barrier": "as a rate"}[l.Family]
}
