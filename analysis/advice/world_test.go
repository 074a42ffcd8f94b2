package advice

import (
	"math"
	"testing"
)

// world is a body in closed form: a face that has grown s leaves volume · (1 − (s/length)^power) of
// liquid; power 0 means all of it until the body is full. Growth and nucleation are those of the
// shipped material, as formulas of their own (onegrain help study).
type world struct {
	length, volume, power float64
	exponent              float64               // of growth
	hazard                func(float64) float64 // strays per mm³ and hour at an undercooling
	sites                 bool                  // instead of it strays from sites of their own undercoolings
}

func (w *world) rate(u float64) float64 {
	if u <= 0 {
		return 0
	}
	return 0.134 * math.Pow(u/10, w.exponent)
}

func (w *world) left(s float64) float64 {
	switch {
	case s >= w.length:
		return 0
	case w.power == 0:
		return w.volume
	}
	return w.volume * (1 - math.Pow(s/w.length, w.power))
}

// barrier is the law of thermally activated nucleation; density that of sites, per mm³ and kelvin.
func barrier(u float64) float64 {
	if u <= 0 {
		return 0
	}
	return 1.1e4 * math.Exp(-1.12e7/((1283.15-u)*u*u))
}

func density(u float64) float64 {
	z := (u - 24) / 2.5
	return 2e-3 / (2.5 * math.Sqrt(2*math.Pi)) * math.Exp(-z*z/2)
}

// simpson adds f up from a to b.
func simpson(f func(float64) float64, a, b float64) float64 {
	return (b - a) / 6 * (f(a) + 4*f((a+b)/2) + f(b))
}

func (w *world) task(chance float64) *Task {
	t := &Task{Chance: chance, DeepestK: 30, FirstKPerH: 60, Follow: w.follow}
	t.Try = func(p []Point) (o Outcome) {
		o.ExpectedStrays, o.FullH = w.walk(p)
		return o
	}
	return t
}

// follow walks in steps of 1 K and of a fiftieth of the length at most.
func (w *world) follow(programme []Point) (o Outcome) {
	grown, peak := 0.0, 0.0
	last := programme[len(programme)-1]
	if !(w.rate(last.UndercoolingK) > 0) {
		return Outcome{FullH: math.Inf(1)}
	}
	held := Point{last.TimeH + w.length/w.rate(last.UndercoolingK), last.UndercoolingK}
	for i, b := range append(programme[1:len(programme):len(programme)], held) {
		a := programme[i]
		rise, hours := b.UndercoolingK-a.UndercoolingK, b.TimeH-a.TimeH
		n := math.Ceil(max(1, math.Abs(rise), w.rate(b.UndercoolingK)*hours/(0.02*w.length)))
		for k := 0.0; k < n && grown < w.length; k++ {
			from, to, h := a.UndercoolingK+rise*k/n, a.UndercoolingK+rise*(k+1)/n, hours/n
			mm := h * w.rate((from+to)/2)
			if grown+mm >= w.length*(1-1e-9) {
				h *= (w.length - grown) / mm
				mm = 2 * (w.length - grown)
			}
			o.ExpectedStrays += w.left(grown+min(mm, w.length-grown)/2) * w.expected(from, to, h, peak)
			grown, peak, o.FullH = grown+mm, max(peak, to), o.FullH+h
		}
	}
	return o
}

// expected is strays per mm³ on a short straight piece.
func (w *world) expected(from, to, hours, peak float64) float64 {
	if !w.sites {
		return hours * simpson(func(x float64) float64 { return w.hazard(from + x*(to-from)) }, 0, 1)
	}
	if from = max(0, from, peak); to <= from {
		return 0
	}
	return simpson(density, from, to)
}

// walk goes along the programme in very small steps, with nothing taken from the package.
func (w *world) walk(programme []Point) (strays, hours float64) {
	const h = 5e-3
	s, peak, i := 0.0, 0.0, 1
	at := func(t float64) float64 {
		for i < len(programme) && programme[i].TimeH <= t {
			i++
		}
		if i == len(programme) {
			return programme[i-1].UndercoolingK
		}
		a, b := programme[i-1], programme[i]
		return a.UndercoolingK + (t-a.TimeH)/(b.TimeH-a.TimeH)*(b.UndercoolingK-a.UndercoolingK)
	}
	for t := 0.0; s < w.length && t < 2000; t += h {
		u := at(t + h/2)
		step := h * w.rate(u)
		if w.sites {
			if now := at(t + h); now > peak {
				strays += w.left(s+step/2) * simpson(density, peak, now)
				peak = now
			}
			i = max(1, i-1)
		} else {
			strays += w.left(s+step/2) * h * w.hazard(u)
		}
		s, hours = s+step, t+h
	}
	if s < w.length {
		return strays, math.Inf(1)
	}
	return strays, hours
}

// puck is like the shipped study: a steep law, so a hold is nearly the best there is.
func puck() *world {
	return &world{length: 11, volume: 3600, power: 2.5, exponent: 1.9, hazard: barrier}
}

// gentle has power laws for both, of which the best programme is known in closed form, and gains
// from stages.
func gentle() *world {
	return &world{length: 11, volume: 3600, power: 1, exponent: 1.9,
		hazard: func(u float64) float64 { return 1e-6 * math.Pow(max(u, 0)/10, 4) }}
}

func sites() *world {
	return &world{length: 11, volume: 3600, power: 2.5, exponent: 1.9, sites: true}
}

func designed(t *testing.T, task *Task) *Advice {
	t.Helper()
	a, err := Design(task)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// in finds what is told of an offset.
func (a *Advice) in(offsetK float64) World {
	for _, w := range a.Worlds {
		if w.OffsetK == offsetK {
			return w
		}
	}
	return World{}
}
