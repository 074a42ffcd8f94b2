package fit

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"onegrain/analysis/tally"
)

// Length is how far (mm) a face grows in a stage by a power law of 1 mm/h at 10 K with that exponent.
type Length func(s Stage, exponent float64) float64

// Grown is a stage and how far (mm, > 0) one face advanced in it. Name is what sentences call it.
type Grown struct {
	Name  string
	Stage Stage
	MM    float64
}

// growthRow is a measurement beside the law.
type growthRow struct {
	Name            string     `json:"name"`
	Stage           Stage      `json:"stage"`
	GrownMM         float64    `json:"grown_mm"`
	FittedMM        tally.Real `json:"fitted_mm"`
	ResidualPercent tally.Real `json:"residual_percent"` // of the fitted length
	Studentised     tally.Real `json:"studentised"`      // residual over its own error, made without this row; unknown where it alone decides
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
	Warnings       []string    `json:"warnings"`
}

// The largest values that a study takes.
const (
	mostExponent = 10
	mostRate     = 1000 // mm/h
)

// line is the regression: logarithms of grown lengths against what a law of unit rate gives.
type line struct {
	runs   []Grown
	y      []float64 // ln MM
	length Length
	given  float64 // exponent, NaN where it is to be found
}

// Growth fits a power law to runs. exponent is NaN where it is to be found. An error is Undecided, or names a run that has grown without undercooling.
func Growth(runs []Grown, length Length, exponent float64) (*GrowthFit, error) {
	l := &line{runs: runs, length: length, given: exponent}
	if len(runs) == 0 {
		return nil, &Undecided{Found: "no run has grown", Missing: "at least one measurement is needed"}
	}
	for _, r := range runs {
		if !(r.MM > 0) || !(length(r.Stage, 1) > 0) {
			return nil, fmt.Errorf("%s: a run needs undercooling, hours and a grown length above 0", r.Name)
		}
		l.y = append(l.y, math.Log(r.MM))
	}
	f := &GrowthFit{Given: !math.IsNaN(exponent), Rows: []growthRow{}, Warnings: []string{}}
	n := exponent
	if !f.Given {
		if err := l.decidable(); err != nil {
			return nil, err
		}
		n = l.exponent()
	}
	l.estimate(f, n)
	if k := float64(f.Rate.Value); !(k > 0 && k <= mostRate) {
		return nil, fmt.Errorf("the rate at 10 K is %.2g mm/h, and a study takes rates above 0 and up to %d: are hours and lengths in the right columns?", k, mostRate)
	}
	l.rows(f, n)
	l.doubts(f, n)
	return f, nil
}

// logs are ln of the lengths by a law of unit rate, and slopes their derivatives by the exponent: ln(ΔT/10 K) for a held stage.
func (l *line) logs(n float64) (g, slope []float64) {
	const h = 1e-3
	low := math.Max(0, n-h)
	for _, r := range l.runs {
		g = append(g, math.Log(l.length(r.Stage, n)))
		slope = append(slope, (math.Log(l.length(r.Stage, n+h))-math.Log(l.length(r.Stage, low)))/(n+h-low))
	}
	return g, slope
}

// decidable tells whether the runs lie far enough apart in undercooling for an exponent.
func (l *line) decidable() error {
	_, slope := l.logs(1)
	low, high := math.Inf(1), math.Inf(-1)
	for _, x := range slope {
		low, high = math.Min(low, x), math.Max(high, x)
	}
	if high-low > 0.02 {
		return nil
	}
	u := 10 * math.Exp(0.5*(low+high))
	who := fmt.Sprintf("all %d runs", len(l.runs))
	if len(l.runs) == 1 {
		who = "the only run"
	}
	return &Undecided{
		fmt.Sprintf("%s grew near %.3g K of undercooling, which does not tell how the rate changes with it", who, u),
		fmt.Sprintf("runs near %.2g K or near %.2g K are missing", 0.6*u, 1.5*u), true}
}

// exponent is that of the least squares, in the range that a study takes. Where the step of Gauss and Newton makes things worse it is halved.
func (l *line) exponent() float64 {
	n, least := 1.0, l.squares(1)
	for range 60 {
		g, slope := l.logs(n)
		var sxy, sxx float64
		mg, ms := l.meanMiss(g), mean(slope)
		for i := range g {
			sxy += (slope[i] - ms) * (l.y[i] - g[i] - mg)
			sxx += (slope[i] - ms) * (slope[i] - ms)
		}
		step := sxy / sxx
		next, s := n, least
		for range 30 {
			next = math.Min(math.Max(n+step, 0), mostExponent)
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

func mean(x []float64) (m float64) {
	for _, v := range x {
		m += v / float64(len(x))
	}
	return m
}

// meanMiss is the mean of y − g: ln of the rate that fits best.
func (l *line) meanMiss(g []float64) (m float64) {
	for i := range g {
		m += (l.y[i] - g[i]) / float64(len(g))
	}
	return m
}

// squares is the sum of squares with the best rate for an exponent.
func (l *line) squares(n float64) (s float64) {
	g := make([]float64, len(l.runs))
	for i, r := range l.runs {
		g[i] = math.Log(l.length(r.Stage, n))
	}
	m := l.meanMiss(g)
	for i := range g {
		s += (l.y[i] - g[i] - m) * (l.y[i] - g[i] - m)
	}
	return s
}

// tail is Student's t that 95 of 100 stay within.
func tail(freedom int) float64 {
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(freedom)}.Quantile(0.975)
}
