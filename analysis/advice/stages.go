package advice

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/optimize"
)

// shape is the slow part of a programme but for where it starts: straight stages, the last of which
// goes on until the body is full or the deepest undercooling is reached.
type shape struct {
	rate  []float64 // K/h, 0 or more
	hours []float64 // of all stages but the last
}

// leastKPerH is 0.1 K in 1000 h: a last stage that is not steeper is a hold. Else a search that
// ends near 0 K/h would ask for a run of 1e35 h until the deepest undercooling.
const leastKPerH = 1e-4

// from is the programme that starts its first stage at an undercooling. What would be deeper than
// the deepest is held there.
func (s shape) from(startK float64, t *Task) []Point {
	last := Point{startK / t.FirstKPerH, startK}
	points := []Point{{0, 0}, last}
	for i, rate := range s.rate {
		hours := math.Inf(1)
		if i < len(s.hours) {
			hours = s.hours[i]
		}
		left := t.DeepestK - last.UndercoolingK
		switch {
		case rate*hours < left:
			last = Point{last.TimeH + hours, last.UndercoolingK + rate*hours}
		case rate > leastKPerH && left > 0: // reaches the deepest and stays
			points = append(points, Point{last.TimeH + left/rate, t.DeepestK})
			return points
		default:
			return points // held from here on
		}
		points = append(points, last)
	}
	return points
}

// start is the deepest start at which a shape keeps to the wanted strays, and the hours it then
// takes. A shallower one need not have fewer: what grows slowly is long liquid, and the later
// stages then go deep. So levels are looked at from the deepest upwards until one keeps to the
// strays, and the start is found between it and the one before. Where none does, ok is false, and
// the hours grow with what there is too much of, so that a search finds its way back.
func (d *designer) start(s shape, mostStrays float64) (startK, hours float64, ok bool) {
	over := func(u float64) (float64, float64) {
		o := d.Follow(s.from(u, d.Task))
		return math.Max(-700, math.Min(mostOver, math.Log(o.ExpectedStrays/mostStrays))), o.FullH
	}
	low, least := d.DeepestK, math.Inf(1)
	fLow, hours := over(low)
	high, fHigh := low, fLow
	for k := 1; fLow > 0; k++ {
		if least = math.Min(least, fLow); k == starts {
			return low, 1e6 * (1 + least), false
		}
		high, fHigh = low, fLow
		low *= closer
		fLow, hours = over(low)
	}
	for n := 0; high-low > 1e-5*d.DeepestK && n < 60; n++ {
		u := (low + high) / 2
		if secant := (low*fHigh - high*fLow) / (fHigh - fLow); n%3 != 2 && secant > low && secant < high {
			u = secant
		}
		f, h := over(u)
		if f > 0 {
			high, fHigh = u, f
		} else {
			low, fLow, hours = u, f, h
		}
	}
	return low, hours, true
}

// split is the same programme with its longest stage cut in two, the latter half of it steeper by 1
// K on its way; the whole takes so many hours.
func (s shape) split(hours float64) shape {
	last := hours
	longest := len(s.rate) - 1
	for _, h := range s.hours {
		last -= h
	}
	long := last
	for i, h := range s.hours {
		if h > long {
			longest, long = i, h
		}
	}
	rate, more := slices.Insert(slices.Clone(s.rate), longest, s.rate[longest]), slices.Clone(s.hours)
	rate[longest+1] += 2 / long // a hold would be its own neighbour
	if longest == len(s.hours) {
		return shape{rate, append(more, long/2)}
	}
	more[longest] = long / 2
	return shape{rate, slices.Insert(more, longest, long/2)}
}

const (
	starts   = 36   // levels that are looked at, down to a hundredth of the deepest
	closer   = 0.88 // of one to the one before
	mostOver = 3    // logarithm of how many times the wanted strays no longer matters
)

// improved looks for the shape that takes the fewest hours at the wanted strays: the simplex method
// of Nelder and Mead (gonum) over the roots of the rates and the logarithms of the hours, each with
// the start that it needs.
func (d *designer) improved(s shape, mostStrays float64) shape {
	n := len(s.rate)
	read := func(x []float64) shape {
		out := shape{make([]float64, n), make([]float64, n-1)}
		for i := range out.rate {
			out.rate[i] = math.Min(x[i]*x[i], d.FirstKPerH)
		}
		for i := range out.hours {
			out.hours[i] = math.Exp(x[n+i])
		}
		return out
	}
	var x []float64
	for _, r := range s.rate {
		x = append(x, math.Sqrt(math.Max(r, 0.01)))
	}
	for _, h := range s.hours {
		x = append(x, math.Log(h))
	}
	problem := optimize.Problem{Func: func(x []float64) float64 {
		_, hours, _ := d.start(read(x), mostStrays)
		return math.Min(hours, 1e9) // the search takes no infinity
	}}
	settings := &optimize.Settings{FuncEvaluations: 80 * len(x),
		Converger: &optimize.FunctionConverge{Relative: 1e-4, Iterations: 25}}
	found, err := optimize.Minimize(problem, x, settings, &optimize.NelderMead{SimplexSize: 0.2})
	if found == nil || err != nil && !(found.F < math.Inf(1)) {
		return s
	}
	return read(found.X)
}
