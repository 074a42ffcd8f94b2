package fit

import (
	"fmt"
	"math"

	"onegrain/analysis/tally"
)

// chiSquared is what twice the loss of likelihood exceeds in 5 of 100 cases, one value being asked for (chi-squared with one degree of freedom); none is
// the number of strays that would have shown itself in 95 of 100 cases, −ln 0.05.
const (
	chiSquared = 3.841458820694124
	none       = 2.995732273553991
)

// bartlett is how fast twice the loss of n first strays nears chi-squared: its mean is 1 + 2/n (M.
// S. Bartlett, Proc. R. Soc. A 160 (1937) 268, for the form; the 2 was found from 1500 books each
// of 3 to 40 strays). Without it 95 % intervals of 4 to 12 first strays hold the truth 91 to 93
// times in 100. Counts need none, so it fades with their share.
const bartlett = 2

// barrier is the b of the largest likelihood, or why there is none.
func (o *odds) barrier() (float64, error) {
	b, least := valley(o.loss, mostExponents)
	most := o.loss(0)
	for _, at := range []float64{0.2, 0.5, 1} {
		if x := o.loss(at * mostExponents); !math.IsInf(x, 1) {
			most = math.Max(most, x)
		}
	}
	l := o.at(b)
	switch {
	case most-least < 0.05:
		return 0, &Undecided{fmt.Sprintf("strays were seen near %.3g K only, which does not tell how the rate changes with undercooling", o.refK), o.missing(), true}
	case b < 1e-3:
		return 0, &Undecided{"strays do not come more often where the undercooling is larger, so a barrier cannot be told: something else may start them", o.missing(), true}
	case b > 0.98*mostExponents || o.loss(mostExponents) < least+1e-6 || l.best()+b > math.Log(mostPrefactor):
		return 0, &Undecided{fmt.Sprintf("strays were seen near %.3g K and none where the undercooling is smaller: the barrier is at least %.3g K³, and nothing bounds it from above", o.refK, o.least(b)), o.missing(), true}
	}
	return b, nil
}

func (o *odds) missing() string {
	return fmt.Sprintf("runs are missing that see strays at another undercooling, such as near %.2g K for longer, or runs cooled slowly with the undercooling of the first stray", 0.9*o.refK)
}

// least is the lower limit of the barrier where the likelihood still rises at b.
func (o *odds) least(b float64) float64 {
	low, _ := crossing(o.loss, b, -0.1*b, 0, o.rise)
	return low / o.factor
}

// estimate fills in law and intervals.
func (o *odds) estimate(f *NucleiFit, b float64) {
	f.Prefactor, f.Barrier, f.Daily = unknown(), unknown(), unknown()
	f.Barrier.Value = tally.Real(b / o.factor)
	l := o.at(b)
	if f.Strays == 0 { // the barrier is given
		c := math.Log(none / l.counted)
		f.Prefactor.Value, f.Prefactor.High = tally.Real(math.Exp(c+b)), tally.Real(math.Exp(c+b))
		f.Daily.Value = o.daily(c, b, f.Size)
		f.Daily.Low = f.Daily.Value
		return
	}
	c := l.best()
	f.Prefactor.Value, f.Daily.Value = tally.Real(math.Exp(c+b)), o.daily(c, b, f.Size)
	if f.Given {
		loss := func(c float64) float64 { return -l.log(c) }
		if low, ok := crossing(loss, c, -0.5, c-50, chiSquared/2); ok {
			f.Prefactor.Low, f.Daily.High = tally.Real(math.Exp(low+b)), o.daily(low, b, f.Size)
		}
		if high, ok := crossing(loss, c, 0.5, c+50, chiSquared/2); ok {
			f.Prefactor.High, f.Daily.Low = tally.Real(math.Exp(high+b)), o.daily(high, b, f.Size)
		}
		return
	}
	step := math.Max(0.05*b, 0.2)
	if low, ok := crossing(o.loss, b, -step, 1e-6, o.rise); ok {
		f.Barrier.Low = tally.Real(low / o.factor)
	}
	if high, ok := crossing(o.loss, b, step, mostExponents, o.rise); ok {
		f.Barrier.High = tally.Real(high / o.factor)
	}
	o.prefactor(&f.Prefactor, b)
	o.dailyInterval(&f.Daily, b, f.Size)
}

// daily is the undercooling at which a body of that size gets one stray a day; unknown where it never does.
func (o *odds) daily(c, b, size float64) tally.Real {
	want := (c + b + math.Log(24*size)) / b * o.factor // of 1/(T ΔT²)
	most := 2.0 / 3 * o.law.PeritecticK                // where T ΔT² is largest
	if !(want > o.law.factor(most)) {
		return tally.Unknown()
	}
	low, high := 0.0, most
	for range 200 {
		if u := 0.5 * (low + high); u > 0 && o.law.factor(u) < want {
			high = u
		} else {
			low = u
		}
	}
	return tally.Real(0.5 * (low + high))
}

// along is the least loss of laws on a line, ln A = alpha + beta·b, and the b of it, looked for around b.
func (o *odds) along(alpha, beta, b float64) (at, loss float64) {
	const most = 2 * mostExponents
	f := func(b float64) float64 { return -o.at(b).log(alpha + (beta-1)*b) }
	span := math.Max(0.2, 0.05*b)
	for range 20 {
		b = math.Min(b, most)
		low, high := math.Max(0, b-span), math.Min(b+span, most)
		x, fx := lowest(f, low, b, high, 1e-4*span) // at the lowest point a miss of 1e-4 is one of 1e-8 in the loss
		inside := (x > low+1e-3*span || low == 0) && (x < high-1e-3*span || high == most)
		if b, at, loss = x, x, fx; inside {
			break
		}
		span *= 2 // it lies outside: follow it
	}
	return at, loss
}

// profile is the least loss of laws that have some value: line says which they are. Each search begins where the last one ended.
func (o *odds) profile(b float64, line func(value float64) (alpha, beta float64)) func(value float64) float64 {
	return func(value float64) float64 {
		alpha, beta := line(value)
		var loss float64
		b, loss = o.along(alpha, beta, b)
		return loss
	}
}

// prefactor is the profile of ln A: for each value the barrier that fits best with it.
func (o *odds) prefactor(e *Estimate, b float64) {
	line := func(log float64) (alpha, beta float64) { return log, 0 }
	log, step := math.Log(float64(e.Value)), math.Max(0.5, 0.15*b)
	if low, ok := crossing(o.profile(b, line), log, -step, log-b-40, o.rise); ok {
		e.Low = tally.Real(math.Exp(low))
	}
	if high, ok := crossing(o.profile(b, line), log, step, math.Log(mostPrefactor), o.rise); ok {
		e.High = tally.Real(math.Exp(high))
	}
}

// dailyInterval is the profile of that undercooling: for each value the barrier that fits best with it.
func (o *odds) dailyInterval(e *Estimate, b, size float64) {
	if !e.Value.Known() {
		return
	}
	u := float64(e.Value)
	line := func(u float64) (alpha, beta float64) { return -math.Log(24 * size), o.law.factor(u) / o.factor }
	if low, ok := crossing(o.profile(b, line), u, -0.03*u, 0.05*u, o.rise); ok {
		e.Low = tally.Real(low)
	}
	if high, ok := crossing(o.profile(b, line), u, 0.03*u, math.Min(8*u, 0.6*o.law.PeritecticK), o.rise); ok {
		e.High = tally.Real(high)
	}
}
