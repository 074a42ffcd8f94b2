package fit

import (
	"fmt"
	"math"

	"onegrain/analysis/tally"
)

// Barrier is the law of nucleation, prefactor · exp(−barrier / (T ΔT²)) per unit and hour with T = PeritecticK − ΔT (J. W. Christian, The Theory
// of Transformations in Metals and Alloys, ch. 10). Expected is its integral over a stage.
type Barrier struct {
	PeritecticK float64
	Expected    func(s Stage, prefactor, barrierK3 float64) float64
}

// factor is what the barrier is multiplied with in the exponent, 1/(T ΔT²).
func (b Barrier) factor(undercoolingK float64) float64 {
	return 1 / (math.Max(1, b.PeritecticK-undercoolingK) * undercoolingK * undercoolingK)
}

// seen is what was looked at in a stage.
type seen uint8

// What is seen of strays in a stage.
const (
	Counted seen = iota // how many strays there were; none is 0
	Some                // at least one
	First               // the first one came at the very end of the stage; what came later was not looked at
)

// Sighting is a stage, what was liquid and undercooled in it (mm³, or mm² of a surface), and what
// was seen. Where a grain used the liquid up, Size is that of the whole body, and Course how it
// went.
type Sighting struct {
	Name   string
	Stage  Stage
	Size   float64
	Course []Liquid
	What   seen
	Strays int // Counted
}

// Liquid is what was liquid (mm³ or mm²) in a part of a stage; parts without any are left out.
type Liquid struct {
	Stage Stage
	Size  float64
}

// parts are those of the stage with their liquid: a single one where nothing was used up.
func (s Sighting) parts() []Liquid {
	if s.Course != nil {
		return s.Course
	}
	return []Liquid{{s.Stage, s.Size}}
}

// nucleiRow is a sighting beside the law.
type nucleiRow struct {
	Name     string     `json:"name"`
	Stage    Stage      `json:"stage"`
	Size     float64    `json:"size"` // liquid; where it was used up, its mean weighted by the rate
	Seen     string     `json:"seen"`
	Expected tally.Real `json:"expected_strays"`
	Chance   tally.Real `json:"chance"` // of something as far from the expected, to both sides
}

// NucleiFit is a barrier law of nucleation.
type NucleiFit struct {
	Prefactor Estimate    `json:"prefactor_per_unit_h"`
	Barrier   Estimate    `json:"barrier_K3"` // without interval where it was given
	Given     bool        `json:"barrier_given"`
	Upper     bool        `json:"upper_bound"` // no stray was seen: the prefactor is the largest that 95 in 100 allow; unknown where no barrier was given
	Bounds    []bound     `json:"bounds,omitempty"`
	Size      float64     `json:"size"` // median of the rows, of whole bodies where these are known
	Daily     Estimate    `json:"undercooling_for_one_stray_a_day_K"`
	LowK      float64     `json:"low_K"` // range of the data
	HighK     float64     `json:"high_K"`
	Strays    int         `json:"strays"` // seen at least
	Rows      []nucleiRow `json:"rows"`
	Warnings  []string    `json:"warnings"`
}

// The range in which a law is looked for: the largest prefactor that a study takes, and the largest barrier over T ΔT² of the strays.
const (
	mostPrefactor = 1e30
	mostExponents = 150
)

// odds is the likelihood of sightings. Its two unknowns are b, the exponent B/(T ΔT²) at a reference undercooling, and c, ln of the rate there: these two
// hardly depend on each other, while prefactor and barrier do.
type odds struct {
	law    Barrier
	rows   []Sighting
	refK   float64
	factor float64 // 1/(T ΔT²) at refK: B = b / factor, ln A = c + b
	rise   float64 // of the loss, where an interval of two unknowns ends
}

// level is the likelihood at one b.
type level struct {
	counted  float64   // expected strays where they were counted, or waited for, for c = 0
	some     []float64 // expected strays where at least one was seen, for c = 0
	strays   float64   // counted
	constant float64   // what does not depend on c
}

// expected is the number of strays in a row for c = 0.
func (o *odds) expected(s Sighting, b float64) (sum float64) {
	prefactor := math.Exp(b)
	for _, p := range s.parts() {
		sum += p.Size * o.law.Expected(p.Stage, prefactor, b/o.factor)
	}
	return sum
}

func (o *odds) at(b float64) *level {
	l := &level{}
	for _, s := range o.rows {
		e := o.expected(s, b)
		switch s.What {
		case Some:
			l.some = append(l.some, e)
			continue
		case First:
			l.strays++
			l.constant += math.Log(s.Size) + b*(1-o.law.factor(s.Stage.ToK)/o.factor)
		case Counted:
			if n := float64(s.Strays); n > 0 {
				l.strays += n
				many, _ := math.Lgamma(n + 1)
				l.constant += n*math.Log(e) - many
			}
		}
		l.counted += e
	}
	return l
}

// log is the logarithm of the likelihood: Poisson's for counts, 1 − exp(−Λ) for "some", density times survival for first strays.
func (l *level) log(c float64) float64 {
	sum := l.constant + l.strays*c - math.Exp(c)*l.counted
	for _, e := range l.some {
		sum += math.Log(-math.Expm1(-math.Exp(c) * e))
	}
	if math.IsNaN(sum) {
		return math.Inf(-1)
	}
	return sum
}

// best is the c of the largest likelihood, which is concave in c: where all rows are counts its closed form, else the zero of the derivative.
func (l *level) best() (c float64) {
	if len(l.some) == 0 {
		return math.Log(l.strays / l.counted)
	}
	slope := func(c float64) float64 {
		s := l.strays - math.Exp(c)*l.counted
		for _, e := range l.some {
			if x := math.Exp(c) * e; x > 1e-12 {
				s += x / math.Expm1(x)
			} else {
				s++
			}
		}
		return s
	}
	// The derivative is not above 0 at `high`, unless the rows without strays are so far off that they bound nothing: then e^50 is enough.
	high := math.Min(50, math.Log((l.strays+float64(len(l.some)))/l.counted))
	if slope(high) >= 0 {
		return high
	}
	low := high - 1
	for step := 1.0; slope(low) < 0 && step < 1e3; step *= 2 {
		low -= step
	}
	return between(func(c float64) float64 { return -slope(c) }, low, -slope(low), high, -slope(high))
}

// loss is minus the logarithm of the likelihood with the best c.
func (o *odds) loss(b float64) float64 {
	l := o.at(b)
	return -l.log(l.best())
}

// Nuclei fits a barrier law to sightings. barrierK3 is NaN where it is to be found. Where no stray was seen at all there is no law but Bounds, and with a
// given barrier an upper bound of the prefactor. An error is Undecided, or names a barrier or a row that cannot be.
func Nuclei(rows []Sighting, law Barrier, barrierK3 float64) (*NucleiFit, error) {
	o := &odds{law: law, rows: rows}
	f := &NucleiFit{Given: !math.IsNaN(barrierK3), Rows: []nucleiRow{}, Warnings: []string{}}
	if err := o.enough(f); err != nil {
		return nil, err
	}
	if f.Strays == 0 {
		f.Upper, f.Bounds = true, unseen(rows)
		f.Prefactor, f.Barrier, f.Daily = unknown(), unknown(), unknown()
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
		return nil, fmt.Errorf("with that barrier the prefactor is %.2g, more than the %.0e that a study takes", a, mostPrefactor)
	}
	o.judge(f, b)
	return f, nil
}

// enough adds up what there is, and chooses the reference: the mean of the deepest undercoolings of rows with strays, else of all.
func (o *odds) enough(f *NucleiFit) error {
	var sum, with [2]float64
	bounded, firsts := false, 0.0
	f.LowK = math.Inf(1)
	for _, s := range o.rows {
		deep := math.Max(s.Stage.FromK, s.Stage.ToK)
		f.LowK, f.HighK = math.Min(f.LowK, math.Max(0, math.Min(s.Stage.FromK, s.Stage.ToK))), math.Max(f.HighK, deep)
		n := s.Strays
		if s.What != Counted {
			n = 1
		}
		if s.What == First {
			firsts++
		}
		bounded = bounded || s.What != Some && deep > 0
		f.Strays += n
		sum[0], sum[1] = sum[0]+deep, sum[1]+1
		if n > 0 {
			if !(deep > 0) {
				return fmt.Errorf("%s: a stray without undercooling fits no law", s.Name)
			}
			with[0], with[1] = with[0]+deep, with[1]+1
		}
	}
	switch {
	case len(o.rows) == 0:
		return &Undecided{"there is no row", "at least one is needed", false}
	case !bounded:
		return &Undecided{"every run had strays, and none says how many, so the rate may be as large as you like", "count the strays, or add runs that had none", false}
	}
	o.rise = chiSquared / 2
	if with[1] == 0 {
		with = sum
	} else {
		o.rise *= 1 + bartlett*firsts/float64(f.Strays*f.Strays)
	}
	o.refK = math.Max(1, with[0]/with[1])
	f.Size = median(o.rows)
	return nil
}

func median(rows []Sighting) float64 {
	var sizes []float64
	for _, s := range rows {
		sizes = append(sizes, s.Size)
	}
	return float64(tally.SpreadOf(sizes, 0, 0, 0).Median)
}
