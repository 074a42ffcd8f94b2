package fit

import (
	"fmt"
	"math"
	"slices"

	"onegrain/analysis/logbook"
	"onegrain/analysis/tally"
)

// Barrier is the law of nucleation, prefactor · exp(−barrier / (T ΔT²)) per unit and hour with
// T = PeritecticK − ΔT (J. W. Christian, The Theory of Transformations in Metals and Alloys, ch.
// 10). Expected is its integral over a stage.
type Barrier struct {
	PeritecticK float64
	Expected    func(s logbook.Stage, prefactor, barrierK3 float64) float64
}

// factor is what the barrier is multiplied with in the exponent, 1/(T ΔT²).
func (b Barrier) factor(undercoolingK float64) float64 {
	return 1 / (max(1, b.PeritecticK-undercoolingK) * undercoolingK * undercoolingK)
}

// nucleiRow is a row beside the law.
type nucleiRow struct {
	Name     string        `json:"name"`
	Stage    logbook.Stage `json:"stage"`
	Size     float64       `json:"size"` // liquid; where it was used up, its mean weighted by the rate
	Seen     string        `json:"seen"`
	Expected tally.Real    `json:"expected_strays"`
	Chance   tally.Real    `json:"chance"` // of something as far from the expected, to both sides
}

// NucleiFit is a barrier law of nucleation.
type NucleiFit struct {
	Prefactor Estimate    `json:"prefactor_per_unit_h"`
	Barrier   Estimate    `json:"barrier_K3"` // without interval where it was given
	Given     bool        `json:"barrier_given"`
	Upper     bool        `json:"upper_bound"` // no stray was seen: the prefactor is the largest of 95 in 100 cases
	Bounds    []bound     `json:"bounds,omitempty"`
	Size      float64     `json:"size"` // median of the rows, of whole bodies where these are known
	Daily     Estimate    `json:"undercooling_for_one_stray_a_day_K"`
	LowK      float64     `json:"low_K"` // range of the data
	HighK     float64     `json:"high_K"`
	Strays    int         `json:"strays"` // seen at least
	Rows      []nucleiRow `json:"rows"`
	Warnings  warnings    `json:"warnings"`
}

// The range in which a law is looked for: the largest prefactor that a study takes, and the largest
// barrier over T ΔT² of the strays.
const (
	mostPrefactor = 1e30
	mostExponents = 150
)

// chiSquared is what twice the loss of likelihood exceeds in 5 of 100 cases, one value being asked
// for (chi-squared with one degree of freedom); unseen is the number of strays that would have
// shown itself in 95 of 100 cases, −ln 0.05.
const (
	chiSquared = 3.841458820694124
	unseen     = 2.995732273553991
)

// bartlett is how fast twice the loss of n first strays nears chi-squared: its mean is 1 + 2/n (M.
// S. Bartlett, Proc. R. Soc. A 160 (1937) 268, for the form; the 2 was found from 1500 books each
// of 3 to 40 strays). Without it 95 % intervals of 4 to 12 first strays hold the truth 91 to 93
// times in 100. Counts need none, so it fades with their share.
const bartlett = 2

// Nuclei fits a barrier law to what was seen of strays. barrierK3 is NaN where it is to be found.
// Where no stray was seen at all there is no law but Bounds, and with a given barrier an upper
// bound of the prefactor. An error is Undecided, or names a barrier or a row that cannot be.
func Nuclei(rows []logbook.Strays, law Barrier, barrierK3 float64) (*NucleiFit, error) {
	o := &likelihood{law: law, rows: rows}
	f := &NucleiFit{Given: !math.IsNaN(barrierK3), Rows: []nucleiRow{}, Warnings: warnings{}}
	if err := o.enough(f); err != nil {
		return nil, err
	}
	if f.Strays == 0 {
		f.Upper, f.Bounds = true, boundsOf(rows)
		f.Prefactor, f.Barrier, f.Daily = open(math.NaN()), open(math.NaN()), open(math.NaN())
		if !f.Given {
			return f, nil
		}
	}
	o.factor = law.factor(o.refK)
	b := barrierK3 * o.factor
	if f.Given && !(b > 0 && b < 2*mostExponents) {
		return nil, fmt.Errorf("a barrier of %.3g K³ makes strays at %.3g K impossible", barrierK3, o.refK)
	}
	if !f.Given {
		var err error
		if b, err = o.barrier(); err != nil {
			return nil, err
		}
	}
	o.estimate(f, b)
	if a := float64(f.Prefactor.Value); !(a <= mostPrefactor) {
		return nil, fmt.Errorf("with that barrier the prefactor is %.2g, more than the %.0e that a study takes",
			a, mostPrefactor)
	}
	o.check(f, b)
	return f, nil
}

// enough adds up what there is, and chooses the reference: the mean of the deepest undercoolings of
// rows with strays, else of all.
func (o *likelihood) enough(f *NucleiFit) error {
	var sizes []float64
	var sum, ofStrays, strays, firsts float64
	bounded := false
	f.LowK = math.Inf(1)
	for _, s := range o.rows {
		low, deep := s.Stage.Reach()
		f.LowK, f.HighK = min(f.LowK, low), max(f.HighK, deep)
		sizes, sum = append(sizes, s.Size), sum+deep
		if s.Seen == logbook.FirstStray {
			firsts++
		}
		bounded = bounded || s.Seen != logbook.AtLeastOne && deep > 0
		if s.Least() == 0 {
			continue
		}
		if f.Strays += s.Least(); !(deep > 0) {
			return fmt.Errorf("%s: a stray without undercooling fits no law", s.Name())
		}
		strays, ofStrays = strays+1, ofStrays+deep
	}
	n := float64(len(o.rows))
	switch {
	case n == 0:
		return &Undecided{"there is no row", "at least one is needed", false}
	case !bounded:
		return &Undecided{"every run had strays, and none says how many, so nothing limits the rate from above",
			"count the strays, or add runs that had none", false}
	}
	o.rise = chiSquared / 2
	if strays > 0 {
		sum, n = ofStrays, strays
		o.rise *= 1 + bartlett*firsts/float64(f.Strays*f.Strays)
	}
	o.refK = max(1, sum/n)
	slices.Sort(sizes)
	f.Size = tally.Quantile(sizes, 0.5)
	return nil
}
