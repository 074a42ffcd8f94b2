package fit

import (
	"fmt"
	"math"

	"onegrain/analysis/logbook"
)

// likelihood is that of the rows. Its two unknowns are b, the exponent B/(T ΔT²) at a reference
// undercooling, and c, ln of the rate there: these two hardly depend on each other, while prefactor
// and barrier do.
type likelihood struct {
	law    Barrier
	rows   []logbook.Strays
	refK   float64
	factor float64 // 1/(T ΔT²) at refK: B = b / factor, ln A = c + b
	rise   float64 // of the loss, where an interval of two unknowns ends
}

// slice is the likelihood at one b.
type slice struct {
	counted  float64   // expected strays where they were counted, or waited for, for c = 0
	some     []float64 // expected strays where at least one was seen, for c = 0
	strays   float64   // counted
	constant float64   // what does not depend on c
}

// expected is the number of strays in a row for c = 0.
func (o *likelihood) expected(s logbook.Strays, b float64) (sum float64) {
	prefactor := math.Exp(b)
	for _, p := range s.Parts() {
		sum += p.Size * o.law.Expected(p.Stage, prefactor, b/o.factor)
	}
	return sum
}

func (o *likelihood) at(b float64) *slice {
	l := &slice{}
	for _, s := range o.rows {
		e := o.expected(s, b)
		n := float64(s.Least())
		switch {
		case s.Seen == logbook.AtLeastOne:
			l.some = append(l.some, e)
			continue
		case s.Seen == logbook.FirstStray:
			l.constant += math.Log(s.Size) + b*(1-o.law.factor(s.Stage.ToK)/o.factor)
		case n > 0:
			many, _ := math.Lgamma(n + 1)
			l.constant += n*math.Log(e) - many
		}
		l.strays += n
		l.counted += e
	}
	return l
}

// log is the logarithm of the likelihood: Poisson's for counts, 1 − exp(−Λ) for one or more,
// density times survival for first strays.
func (l *slice) log(c float64) float64 {
	sum := l.constant + l.strays*c - math.Exp(c)*l.counted
	for _, e := range l.some {
		sum += math.Log(-math.Expm1(-math.Exp(c) * e))
	}
	if math.IsNaN(sum) {
		return math.Inf(-1)
	}
	return sum
}

// best is the c of the largest likelihood, which is concave in c: where all rows are counts its
// closed form, else the zero of the derivative.
func (l *slice) best() (c float64) {
	if len(l.some) == 0 {
		return math.Log(l.strays / l.counted)
	}
	slope := func(c float64) float64 { // with its sign turned
		s := l.strays - math.Exp(c)*l.counted
		for _, e := range l.some {
			if x := math.Exp(c) * e; x > 1e-12 {
				s += x / math.Expm1(x)
			} else {
				s++
			}
		}
		return -s
	}
	// The derivative is not above 0 at `high`, unless the rows without strays are so far off that
	// they bound nothing: then e^50 is enough.
	high := min(50, math.Log((l.strays+float64(len(l.some)))/l.counted))
	if slope(high) <= 0 {
		return high
	}
	low := high - 1
	for step := 1.0; slope(low) > 0 && step < 1e3; step *= 2 {
		low -= step
	}
	return between(slope, low, slope(low), high, slope(high))
}

// loss is minus the logarithm of the likelihood with the best c.
func (o *likelihood) loss(b float64) float64 {
	l := o.at(b)
	return -l.log(l.best())
}

// barrier is the b of the largest likelihood, or why there is none.
func (o *likelihood) barrier() (float64, error) {
	b, least := valley(o.loss, mostExponents)
	most := o.loss(0)
	for _, at := range []float64{0.2, 0.5, 1} {
		if x := o.loss(at * mostExponents); !math.IsInf(x, 1) {
			most = max(most, x)
		}
	}
	found := ""
	switch l := o.at(b); {
	case most-least < 0.05:
		found = fmt.Sprintf("strays were seen near %.3g K only, "+
			"which does not show how the rate changes with undercooling", o.refK)
	case b < 1e-3:
		found = "strays do not come more often where the undercooling is larger, so no barrier can be found: something " +
			"else may start them"
	case b > 0.98*mostExponents || o.loss(mostExponents) < least+1e-6 || l.best()+b > math.Log(mostPrefactor):
		low, _ := crossing(o.loss, b, -0.1*b, 0, o.rise)
		found = fmt.Sprintf("strays were seen near %.3g K and none where the undercooling is smaller: "+
			"the barrier is at least %.3g K³, and nothing bounds it from above", o.refK, low/o.factor)
	default:
		return b, nil
	}
	return 0, &Undecided{found, fmt.Sprintf("missing are runs with strays at another undercooling, such as longer runs "+
		"near %.2g K, or runs cooled slowly with the undercooling of the first stray", 0.9*o.refK), true}
}

// estimate fills in law and intervals.
func (o *likelihood) estimate(f *NucleiFit, b float64) {
	l := o.at(b)
	c, known := l.best(), f.Strays > 0
	if !known { // the barrier is given
		c = math.Log(unseen / l.counted)
	}
	daily := func(c float64) float64 { return o.daily(c, b, f.Size) }
	f.Prefactor, f.Barrier, f.Daily = open(math.Exp(c+b)), open(b/o.factor), open(daily(c))
	switch {
	case !known:
		f.Prefactor.High, f.Daily.Low = f.Prefactor.Value, f.Daily.Value
	case f.Given:
		low, high := ends(func(c float64) float64 { return -l.log(c) }, c, 0.5, c-50, c+50, chiSquared/2)
		f.Prefactor.bounds(math.Exp(low+b), math.Exp(high+b))
		f.Daily.bounds(daily(high), daily(low))
	default:
		low, high := ends(o.loss, b, max(0.05*b, 0.2), 1e-6, mostExponents, o.rise)
		f.Barrier.bounds(low/o.factor, high/o.factor)
		o.prefactor(&f.Prefactor, b)
		o.dailyInterval(&f.Daily, b, f.Size)
	}
}

// daily is the undercooling at which a body of that size gets one stray a day; NaN where it never
// does.
func (o *likelihood) daily(c, b, size float64) float64 {
	want := (c + b + math.Log(24*size)) / b * o.factor // of 1/(T ΔT²)
	low, high := 0.0, 2.0/3*o.law.PeritecticK          // where T ΔT² is largest
	if !(want > o.law.factor(high)) {
		return math.NaN()
	}
	for range 200 {
		if u := 0.5 * (low + high); u > 0 && o.law.factor(u) < want {
			high = u
		} else {
			low = u
		}
	}
	return 0.5 * (low + high)
}

// along is the least loss of laws on a line, ln A = alpha + beta·b, and the b of it, looked for
// around b.
func (o *likelihood) along(alpha, beta, b float64) (at, loss float64) {
	const most = 2 * mostExponents
	f := func(b float64) float64 { return -o.at(b).log(alpha + (beta-1)*b) }
	span := max(0.2, 0.05*b)
	for range 20 {
		b = min(b, most)
		low, high := max(0, b-span), min(b+span, most)
		b, loss = lowest(f, low, b, high, 1e-4*span) // at the lowest point a miss of 1e-4 is one of 1e-8 in the loss
		if (b > low+1e-3*span || low == 0) && (b < high-1e-3*span || high == most) {
			break
		}
		span *= 2 // it lies outside: follow it
	}
	return b, loss
}

// profile is the least loss of laws that have some value: line says which they are. Each search
// begins where the last one ended; the first on either side, at the best value, begins at b.
func (o *likelihood) profile(best, b float64, line func(value float64) (alpha, beta float64)) func(float64) float64 {
	from := b
	return func(value float64) (loss float64) {
		if value == best {
			from = b
		}
		alpha, beta := line(value)
		from, loss = o.along(alpha, beta, from)
		return loss
	}
}

// prefactor is the profile of ln A: for each value the barrier that fits best with it.
func (o *likelihood) prefactor(e *Estimate, b float64) {
	log := math.Log(float64(e.Value))
	f := o.profile(log, b, func(log float64) (alpha, beta float64) { return log, 0 })
	low, high := ends(f, log, max(0.5, 0.15*b), log-b-40, math.Log(mostPrefactor), o.rise)
	e.bounds(math.Exp(low), math.Exp(high))
}

// dailyInterval is the profile of that undercooling: for each value the barrier that fits best with
// it.
func (o *likelihood) dailyInterval(e *Estimate, b, size float64) {
	if u := float64(e.Value); e.Value.Known() {
		f := o.profile(u, b, func(u float64) (alpha, beta float64) {
			return -math.Log(24 * size), o.law.factor(u) / o.factor
		})
		e.bounds(ends(f, u, 0.03*u, 0.05*u, min(8*u, 0.6*o.law.PeritecticK), o.rise))
	}
}
