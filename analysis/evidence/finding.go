package evidence

import (
	"math"
	"strconv"
)

// Comparison asks whether what was found lies within a tolerance of what was expected; all three in
// one unit.
type Comparison struct {
	Expected  float64 `json:"expected"`
	Found     float64 `json:"found"`
	Tolerance float64 `json:"tolerance"`
}

// Agrees answers; what is not a number agrees with nothing.
func (c Comparison) Agrees() bool { return math.Abs(c.Found-c.Expected) <= c.Tolerance }

// Used is the share of the tolerance that the difference takes up: above 1 means that it differs.
func (c Comparison) Used() float64 {
	if d := math.Abs(c.Found - c.Expected); d > 0 {
		return d / c.Tolerance
	}
	return 0
}

// Finding is one row of the page.
type Finding struct {
	Quantity   string `json:"quantity"`
	Where      string `json:"where"`  // 2D or 3D, law, orientation, place
	Source     string `json:"source"` // author and year, the derivation in words, or "common practice"
	Unit       string `json:"unit,omitempty"`
	Comparison        // of what was found with what the source gives
	Because    string `json:"because"` // where the tolerance comes from
	Sample     string `json:"sample"`  // sample size
	Canary     Canary `json:"canary"`
	Note       string `json:"note,omitempty"` // what a reader should know besides
	// told as found: the source settles nothing, there is no verdict and no canary
	Reported bool   `json:"reported,omitempty"`
	Verdict  string `json:"verdict"` // filled by Judged: agrees, differs, blind or reported
}

// Canary is the comparison of a finding once more, with a constant made wrong on purpose; it must
// not agree.
type Canary struct {
	Wrong string `json:"wrong,omitempty"` // which constant, and by how much
	Comparison
}

// Against is the finding with the canary that expects something else of what was found, within the
// same tolerance; its Wrong says what is wrong with that.
func (f Finding) Against(expected float64) Finding {
	f.Canary.Comparison = Comparison{expected, f.Found, f.Tolerance}
	return f
}

// Instead is the finding with the canary that finds something else, within the same tolerance of
// what was expected.
func (f Finding) Instead(found float64) Finding {
	f.Canary.Comparison = Comparison{f.Expected, found, f.Tolerance}
	return f
}

// Failed tells whether the finding speaks against the program or against itself.
func (f Finding) Failed() bool { return f.Verdict != agrees && f.Verdict != reported }

const (
	agrees   = "agrees"
	differs  = "differs"
	blind    = "blind" // the canary passed
	reported = "reported"
)

// Judged has its verdict and numbers that can be written down: twelve digits, and 0 with a note
// where there is no number.
func Judged(f Finding) Finding {
	switch {
	case f.Reported:
		f.Verdict, f.Canary = reported, Canary{}
	case !f.Agrees():
		f.Verdict = differs
	case f.Canary.Wrong == "" || f.Canary.Agrees():
		f.Verdict = blind
	default:
		f.Verdict = agrees
	}
	for _, c := range []*Comparison{&f.Comparison, &f.Canary.Comparison} {
		for _, x := range []*float64{&c.Expected, &c.Found, &c.Tolerance} {
			if math.IsNaN(*x) || math.IsInf(*x, 0) {
				f.Note += " A number of this comparison is " + strconv.FormatFloat(*x, 'g', 3, 64) + ", written as 0."
				*x = 0
				f.Verdict = differs
			}
			*x, _ = strconv.ParseFloat(strconv.FormatFloat(*x, 'g', 12, 64), 64)
		}
	}
	return f
}
