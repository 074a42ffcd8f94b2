package fit

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"onegrain/analysis/logbook"
	"onegrain/analysis/tally"
)

// rows compares each measurement with the law. A studentised residual is one in units of its error,
// made without that row (R. D. Cook and S. Weisberg, Residuals and Influence in Regression (1982),
// 2.2.2).
func (l *regression) rows(f *GrowthFit, n float64) {
	g, slope := l.logs(n)
	k, sxx, ms := mean(l.misses(n)), spread(slope), mean(slope)
	left := l.squares(n)
	for i, r := range l.runs {
		miss := l.y[i] - g[i] - k
		h := 1 / float64(len(g))
		if !f.Given {
			h += (slope[i] - ms) * (slope[i] - ms) / sxx
		}
		row := growthRow{Name: r.Name(), Stage: r.Stage, GrownMM: r.GrownMM, FittedMM: tally.Real(math.Exp(g[i] + k)),
			ResidualPercent: tally.Real(100 * math.Expm1(miss)), Studentised: tally.Unknown(), leverage: h}
		without := (left - miss*miss/(1-h)) / float64(f.Freedom-1)
		if f.Freedom > 1 && h < 1-1e-9 && without > 1e-24 {
			row.Studentised = tally.Real(miss / math.Sqrt(without*(1-h)))
		}
		f.Rows = append(f.Rows, row)
	}
}

// check adds what a reader must know before believing a fit.
func (l *regression) check(f *GrowthFit, n float64) {
	closed, to := f.Exponent.closed()
	switch w := &f.Warnings; {
	case f.Freedom < 1 && f.Given:
		w.add("one run for one constant: there is no interval; a second run gives one")
	case f.Freedom < 1:
		w.add("two runs for two constants: the law passes through both, and there is no interval; a third run gives one")
	case !f.Given && (n <= 0 || n >= mostExponent):
		w.add("the best exponent lies at the end of the range that a study takes, 0 to %d: "+
			"a power law does not describe these runs", mostExponent)
	case !f.Given && !closed:
		w.add("the interval of the exponent is open towards %s: "+
			"the runs lie too close together in undercooling, or scatter too much", to)
	}
	if f.LowK > 10 || f.HighK < 10 {
		f.Warnings.add("10 K lies outside of the data (%s): the rate there only serves to write the law; the data give "+
			"the rate at %.3g K best", kelvins(f.LowK, f.HighK), f.MiddleK)
	}
	f.outliers()
	l.repeats(f)
	l.incubation(f, n)
}

// outliers are runs that one in twenty data sets of this size would have by chance at most, and
// runs on which an exponent stands alone.
func (f *GrowthFit) outliers() {
	if f.Freedom > 1 {
		limit := student(f.Freedom - 1).Quantile(1 - 0.025/float64(len(f.Rows)))
		for _, r := range f.Rows {
			if off := math.Abs(float64(r.Studentised)); off > limit {
				f.Warnings.add("%s lies %+.0f %% off the law, %.2g times its error: look at its notes before using it",
					r.Name, r.ResidualPercent, off)
			}
		}
	}
	for _, r := range f.Rows {
		if !f.Given && len(f.Rows) > 2 && r.leverage > 0.9 {
			f.Warnings.add("the exponent depends almost only on %s: repeat that run", r.Name)
		}
	}
}

// repeats tests the law where the same stage was run several times: do the means of the repeats lie
// further from it than repeats lie from one another (N. R. Draper and H. Smith, Applied Regression
// Analysis, 3rd ed. (1998), 2.1)?
func (l *regression) repeats(f *GrowthFit) {
	groups := map[logbook.Stage][]float64{}
	total, pure := 0.0, 0.0
	for i, r := range f.Rows {
		groups[r.Stage] = append(groups[r.Stage], l.y[i])
		miss := l.y[i] - math.Log(float64(r.FittedMM))
		total += miss * miss
	}
	for i, r := range f.Rows { // in order of the rows: a sum must not depend on the order of a map
		m := mean(groups[r.Stage])
		pure += (l.y[i] - m) * (l.y[i] - m)
	}
	free, lack := len(f.Rows)-len(groups), len(groups)-(len(f.Rows)-f.Freedom)
	if free < 1 || lack < 1 || pure < 1e-20 {
		return
	}
	ratio := (total - pure) / float64(lack) / (pure / float64(free))
	if p := 1 - (distuv.F{D1: float64(lack), D2: float64(free)}).CDF(ratio); p < 0.01 {
		f.Warnings.add("the runs lie further from the law than repeats lie from one another (p = %.2g): "+
			"a power law of undercooling does not explain them", p)
	}
}

// incubation asks whether short runs have grown less than long ones allow, as if growth began late:
// ln(1 − t/h) is near −t/h.
func (l *regression) incubation(f *GrowthFit, n float64) {
	if f.Freedom < 3 {
		return
	}
	_, slope := l.logs(n)
	late := make([]float64, len(l.runs))
	for i, r := range l.runs {
		late[i] = -1 / r.Stage.Hours
	}
	own := apart(late, slope, f.Given)
	var szz, szy, left float64
	for i, r := range f.Rows {
		szz += own[i] * own[i]
		szy += own[i] * (l.y[i] - math.Log(float64(r.FittedMM)))
	}
	if szz < 1e-3*spread(late) || szz == 0 {
		return
	}
	hours := szy / szz
	for i, r := range f.Rows {
		miss := l.y[i] - math.Log(float64(r.FittedMM)) - hours*own[i]
		left += miss * miss
	}
	free := f.Freedom - 1
	t := math.Abs(hours) / math.Sqrt(max(left, 1e-24)/float64(free)/szz)
	switch late := !(2*(1-student(free).CDF(t)) > 0.01); {
	case late && hours > 0:
		f.Warnings.add("short runs have grown less than the law says, as if growth began about %.2g h late: "+
			"leave the time before growth out of hours", hours)
	case late:
		f.Warnings.add("short runs have grown more than the law says, as if growth went on for about %.2g h more: "+
			"was there growth before or after the stage?", -hours)
	}
}

// apart is what z has apart from a mean and, where the exponent was fitted, from x.
func apart(z, x []float64, given bool) []float64 {
	mz, mx := mean(z), mean(x)
	b := 0.0
	for i := range z {
		if !given {
			b += (z[i] - mz) * (x[i] - mx) / spread(x)
		}
	}
	own := make([]float64, len(z))
	for i := range z {
		own[i] = z[i] - mz - b*(x[i]-mx)
	}
	return own
}
