package fit

import (
	"math"

	"onegrain/analysis/tally"
)

// estimate fills in rate, exponent and intervals.
func (l *line) estimate(f *GrowthFit, n float64) {
	g, slope := l.logs(n)
	k := l.meanMiss(g)
	f.MiddleK = 10 * math.Exp(mean(slope))
	f.LowK, f.HighK = math.Inf(1), 0
	for _, r := range l.runs {
		f.LowK = math.Min(f.LowK, math.Max(0, math.Min(r.Stage.FromK, r.Stage.ToK)))
		f.HighK = math.Max(f.HighK, math.Max(r.Stage.FromK, r.Stage.ToK))
	}
	f.Rate, f.Exponent, f.Middle = unknown(), unknown(), unknown()
	f.Rate.Value, f.Exponent.Value = tally.Real(math.Exp(k)), tally.Real(n)
	f.Middle.Value = tally.Real(math.Exp(k + n*math.Log(f.MiddleK/10)))
	f.ScatterPercent = tally.Unknown()
	if f.Freedom = len(l.runs) - 2; f.Given {
		f.Freedom++
	}
	if f.Freedom < 1 {
		return
	}
	variance := l.squares(n) / float64(f.Freedom)
	f.ScatterPercent = tally.Real(100 * math.Expm1(math.Sqrt(variance)))
	rise := tail(f.Freedom) * tail(f.Freedom) * variance
	if l.exact(variance) {
		f.Rate.Low, f.Rate.High, f.Middle.Low, f.Middle.High = f.Rate.Value, f.Rate.Value, f.Middle.Value, f.Middle.Value
		if !f.Given {
			f.Exponent.Low, f.Exponent.High = f.Exponent.Value, f.Exponent.Value
		}
		return
	}
	if f.Given {
		half := math.Sqrt(rise / float64(len(l.runs)))
		f.Rate.Low, f.Rate.High = tally.Real(math.Exp(k-half)), tally.Real(math.Exp(k+half))
		f.Middle.Low, f.Middle.High = f.Middle.Value*tally.Real(math.Exp(-half)), f.Middle.Value*tally.Real(math.Exp(half))
		return
	}
	step := math.Sqrt(rise / spread(slope))
	if low, ok := crossing(l.squares, n, -step, 0, rise); ok {
		f.Exponent.Low = tally.Real(low)
	}
	if high, ok := crossing(l.squares, n, step, mostExponent, rise); ok {
		f.Exponent.High = tally.Real(high)
	}
	l.rateInterval(&f.Rate, 10, n, rise)
	l.rateInterval(&f.Middle, f.MiddleK, n, rise)
}

// exact tells whether what is left of the squares is rounding.
func (l *line) exact(variance float64) bool {
	size := 1.0
	for _, y := range l.y {
		size = math.Max(size, math.Abs(y))
	}
	return math.Sqrt(variance) < 1e-12*size
}

func spread(x []float64) (s float64) {
	m := mean(x)
	for _, v := range x {
		s += (v - m) * (v - m)
	}
	return s
}

// rateInterval is the profile of the rate at an undercooling: for each value the exponent that fits best with it.
func (l *line) rateInterval(e *Estimate, atK, n, rise float64) {
	log := math.Log(float64(e.Value))
	_, slope := l.logs(n)
	shift := mean(slope) - math.Log(atK/10)
	step := math.Sqrt(rise * (1/float64(len(slope)) + shift*shift/spread(slope))) // exact for held stages
	f := func(log float64) float64 { return l.through(log, atK, n) }
	if low, ok := crossing(f, log, -step, log-1000*step, rise); ok {
		e.Low = tally.Real(math.Exp(low))
	}
	if high, ok := crossing(f, log, step, log+1000*step, rise); ok {
		e.High = tally.Real(math.Exp(high))
	}
}

// through is the least sum of squares of laws whose rate at an undercooling has that logarithm; n is an exponent to start from.
func (l *line) through(log, atK, n float64) float64 {
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
			return math.Min(s, sum)
		}
		sum = s
		n = math.Min(math.Max(n+sxy/sxx, 0), mostExponent)
	}
	return sum
}
