package fit

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"onegrain/analysis/logbook"
	"onegrain/analysis/tally"
)

// growthRow is a measurement beside the law.
type growthRow struct {
	Name            string        `json:"name"`
	Stage           logbook.Stage `json:"stage"`
	GrownMM         float64       `json:"grown_mm"`
	FittedMM        tally.Real    `json:"fitted_mm"`
	ResidualPercent tally.Real    `json:"residual_percent"` // of the fitted length
	Studentised     tally.Real    `json:"studentised"`      // see regression.rows; unknown where this row alone decides
	leverage        float64
}

// GrowthFit is a power law of growth.
type GrowthFit struct {
	Rate           Estimate    `json:"rate_at_10K_mm_per_h"`
	Exponent       Estimate    `json:"exponent"` // without interval where it was given
	Given          bool        `json:"exponent_given"`
	MiddleK        float64     `json:"middle_K"` // geometric mean of the undercoolings
	Middle         Estimate    `json:"rate_at_middle_mm_per_h"`
	LowK           float64     `json:"low_K"` // range of the data
	HighK          float64     `json:"high_K"`
	ScatterPercent tally.Real  `json:"scatter_percent"` // standard deviation of a measurement
	Freedom        int         `json:"degrees_of_freedom"`
	Rows           []growthRow `json:"rows"`
	Warnings       warnings    `json:"warnings"`
}

// The largest values that a study takes.
const (
	mostExponent = 10
	mostRate     = 1000 // mm/h
)

// regression is that of the logarithms of grown lengths against what a law of unit rate gives.
type regression struct {
	runs   []logbook.Length
	y      []float64 // ln GrownMM
	length func(s logbook.Stage, exponent float64) float64
}

// Growth fits a power law to runs. length is how far (mm) a face grows in a stage by a power law of
// 1 mm/h at 10 K; exponent is NaN where it is to be found. An error is Undecided, or names a run
// that has grown without undercooling.
func Growth(runs []logbook.Length, length func(s logbook.Stage, exponent float64) float64,
	exponent float64) (*GrowthFit, error) {
	l := &regression{runs: runs, length: length}
	if len(runs) == 0 {
		return nil, &Undecided{Found: "no run has grown", Missing: "at least one measurement is needed"}
	}
	for _, r := range runs {
		if !(r.GrownMM > 0) || !(length(r.Stage, 1) > 0) {
			return nil, fmt.Errorf("%s: a run needs undercooling, hours and a grown length above 0", r.Name())
		}
		l.y = append(l.y, math.Log(r.GrownMM))
	}
	f := &GrowthFit{Given: !math.IsNaN(exponent), Rows: []growthRow{}, Warnings: warnings{}}
	n := exponent
	if !f.Given {
		if err := l.decidable(); err != nil {
			return nil, err
		}
		n = l.exponent()
	}
	l.estimate(f, n)
	if k := float64(f.Rate.Value); !(k > 0 && k <= mostRate) {
		return nil, fmt.Errorf("the rate at 10 K is %.2g mm/h, and a study takes rates above 0 and up to %d: "+
			"are hours and lengths in the right columns?", k, mostRate)
	}
	l.rows(f, n)
	l.check(f, n)
	return f, nil
}

// logs are ln of the lengths by a law of unit rate, and slopes their derivatives by the exponent:
// ln(ΔT/10 K) for a held stage.
func (l *regression) logs(n float64) (g, slope []float64) {
	const h = 1e-3
	low := max(0, n-h)
	for _, r := range l.runs {
		g = append(g, math.Log(l.length(r.Stage, n)))
		slope = append(slope, (math.Log(l.length(r.Stage, n+h))-math.Log(l.length(r.Stage, low)))/(n+h-low))
	}
	return g, slope
}

// decidable tells whether the runs lie far enough apart in undercooling for an exponent.
func (l *regression) decidable() error {
	_, slope := l.logs(1)
	low, high := slices.Min(slope), slices.Max(slope)
	if high-low > 0.02 {
		return nil
	}
	u := 10 * math.Exp(0.5*(low+high))
	who := fmt.Sprintf("all %d runs", len(l.runs))
	if len(l.runs) == 1 {
		who = "the only run"
	}
	return &Undecided{
		fmt.Sprintf("%s grew near %.3g K of undercooling, which does not show how the rate changes with undercooling", who,
			u),
		fmt.Sprintf("runs near %.2g K or near %.2g K are missing", 0.6*u, 1.5*u), true}
}

// exponent is that of the least squares, in the range that a study takes. Where the step of Gauss
// and Newton makes things worse it is halved.
func (l *regression) exponent() float64 {
	n, least := 1.0, l.squares(1)
	for range 60 {
		_, slope := l.logs(n)
		sxy, misses := 0.0, l.misses(n)
		mm, ms := mean(misses), mean(slope)
		for i, miss := range misses {
			sxy += (slope[i] - ms) * (miss - mm)
		}
		step := sxy / spread(slope)
		next, s := n, least
		for range 30 {
			next = min(max(n+step, 0), mostExponent)
			if s = l.squares(next); s <= least {
				break
			}
			step *= 0.5
		}
		if s > least || math.Abs(next-n) <= 1e-13 {
			return n
		}
		n, least = next, s
	}
	return n
}

// mean and the sum of squares about it. Their sums are rounded in this order in every result.
func mean(x []float64) (m float64) {
	for _, v := range x {
		m += v / float64(len(x))
	}
	return m
}

func spread(x []float64) (s float64) {
	m := mean(x)
	for _, v := range x {
		s += (v - m) * (v - m)
	}
	return s
}

// misses are ln of the lengths less those by a law of unit rate; their mean is ln of the rate that
// fits best.
func (l *regression) misses(n float64) (all []float64) {
	for i, r := range l.runs {
		all = append(all, l.y[i]-math.Log(l.length(r.Stage, n)))
	}
	return all
}

// squares is the sum of squares with the best rate for an exponent.
func (l *regression) squares(n float64) float64 { return spread(l.misses(n)) }

// through is the least sum of squares of laws whose rate at an undercooling has that logarithm; n
// is an exponent to start from.
func (l *regression) through(log, atK, n float64) float64 {
	at := math.Log(atK / 10)
	sum := math.Inf(1)
	for range 40 {
		g, slope := l.logs(n)
		var s, sxy, sxx float64
		for i := range g {
			miss, x := l.y[i]-log-(g[i]-n*at), slope[i]-at
			s += miss * miss
			sxy += x * miss
			sxx += x * x
		}
		if !(s < sum*(1-1e-12)) || sxx == 0 {
			return min(s, sum)
		}
		sum = s
		n = min(max(n+sxy/sxx, 0), mostExponent)
	}
	return sum
}

// estimate fills in rate, exponent and intervals.
func (l *regression) estimate(f *GrowthFit, n float64) {
	_, slope := l.logs(n)
	k := mean(l.misses(n))
	f.MiddleK, f.LowK = 10*math.Exp(mean(slope)), math.Inf(1)
	for _, r := range l.runs {
		low, high := r.Stage.Reach()
		f.LowK, f.HighK = min(f.LowK, low), max(f.HighK, high)
	}
	f.Rate, f.Exponent, f.Middle = open(math.Exp(k)), open(n), open(math.Exp(k+n*math.Log(f.MiddleK/10)))
	f.ScatterPercent = tally.Unknown()
	if f.Freedom = len(l.runs) - 2; f.Given {
		f.Freedom++
	}
	if f.Freedom < 1 {
		return
	}
	variance := l.squares(n) / float64(f.Freedom)
	f.ScatterPercent = tally.Real(100 * math.Expm1(math.Sqrt(variance)))
	t := student(f.Freedom).Quantile(0.975)
	rise := t * t * variance
	size := max(1, slices.Max(l.y), -slices.Min(l.y))
	switch half := math.Sqrt(rise / float64(len(l.runs))); {
	case math.Sqrt(variance) < 1e-12*size: // what is left of the squares is rounding
		f.Rate.Low, f.Rate.High, f.Middle.Low, f.Middle.High = f.Rate.Value, f.Rate.Value, f.Middle.Value, f.Middle.Value
		if !f.Given {
			f.Exponent.Low, f.Exponent.High = f.Exponent.Value, f.Exponent.Value
		}
	case f.Given:
		middle := float64(f.Middle.Value)
		f.Rate.bounds(math.Exp(k-half), math.Exp(k+half))
		f.Middle.bounds(middle*math.Exp(-half), middle*math.Exp(half))
	default:
		f.Exponent.bounds(ends(l.squares, n, math.Sqrt(rise/spread(slope)), 0, mostExponent, rise))
		l.rateInterval(&f.Rate, 10, n, rise)
		l.rateInterval(&f.Middle, f.MiddleK, n, rise)
	}
}

// rateInterval is the profile of the rate at an undercooling: for each value the exponent that fits
// best with it.
func (l *regression) rateInterval(e *Estimate, atK, n, rise float64) {
	log := math.Log(float64(e.Value))
	_, slope := l.logs(n)
	shift := mean(slope) - math.Log(atK/10)
	step := math.Sqrt(rise * (1/float64(len(slope)) + shift*shift/spread(slope))) // exact for held stages
	squares := func(log float64) float64 { return l.through(log, atK, n) }
	low, high := ends(squares, log, step, log-1000*step, log+1000*step, rise)
	e.bounds(math.Exp(low), math.Exp(high))
}

// student is the distribution of Student's t.
func student(freedom int) distuv.StudentsT {
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(freedom)}
}
