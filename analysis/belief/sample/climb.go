package sample

import (
	"math"
	"slices"

	"github.com/sourcegraph/conc/iter"

	"onegrain/sim/number"
)

// Density is the logarithm of a density at a place; −Inf where there is none. Many may ask at once.
type Density func(x []float64) float64

// all are the densities at many places, asked by some workers.
func (f Density) all(x [][]float64, workers int) []float64 {
	return (&iter.Mapper[[]float64, float64]{MaxGoroutines: workers}).Map(x, func(x *[]float64) float64 {
		return f(*x)
	})
}

// slope is how a density looks around a place.
type slope struct {
	value    float64
	gradient []float64
	down     matrix // minus its second derivatives
}

// steepest is how much a density may fall in a step.
const steepest = 50

// look takes differences, with steps of a tenth of what each unknown may change by itself.
func (f Density) look(at, scale []float64, workers int) *slope {
	n := len(at)
	moved := func(moves ...int) []float64 { // i+1 a step up along i, −(i+1) one down
		x := slices.Clone(at)
		for _, m := range moves {
			i := max(m, -m) - 1
			x[i] += math.Copysign(float64(0.1*scale[i]), float64(m))
		}
		return x
	}
	places := [][]float64{at}
	for i := 1; i <= n; i++ {
		places = append(places, moved(i), moved(-i))
	}
	for i := 1; i <= n; i++ {
		for j := i + 1; j <= n; j++ {
			places = append(places, moved(i, j), moved(-i, -j))
		}
	}
	values := f.all(places, workers)
	for i, y := range values { // beyond an end there is little, but a slope
		values[i] = math.Max(y, values[0]-steepest)
	}
	s := &slope{values[0], make([]float64, n), newMatrix(n)}
	along := make([]float64, n) // sum of both sides less twice the middle
	for i := range n {
		up, down, h := values[2*i+1], values[2*i+2], float64(0.1*scale[i])
		s.gradient[i] = (up - down) / float64(2*h)
		along[i] = up + down - float64(2*s.value)
		s.down[i][i] = -along[i] / float64(h*h)
	}
	k := 2*n + 1
	for i := range n {
		for j := i + 1; j < n; j++ {
			both := values[k] + values[k+1] - float64(2*s.value)
			s.down[i][j] = -(both - along[i] - along[j]) / float64(0.02*float64(scale[i]*scale[j]))
			s.down[j][i] = s.down[i][j]
			k += 2
		}
	}
	return s
}

// climbed is where a climb ended.
type climbed struct {
	at    []float64
	value float64
	down  matrix
}

// flattest is the least curvature that is believed: that of the prior.
const flattest = 1

// near is what a climb may still gain where it ends: a seventh of a deviation off.
const near = 0.01

// climb goes from a place to a mode by Newton's method.
func (f Density) climb(at []float64, workers int) (c *climbed) {
	at = slices.Clone(at)
	scale := slices.Repeat([]float64{0.3}, len(at))
	for range 40 {
		s := f.look(at, scale, workers)
		for i := range scale {
			scale[i] = math.Min(1, math.Max(1e-3, 1/math.Sqrt(math.Max(flattest, s.down[i][i]))))
		}
		step, gain := s.step()
		next, value := f.along(at, step, s.value, workers)
		c = &climbed{at, s.value, s.down}
		if next == nil {
			break
		}
		c.at, c.value = next, value
		if gain < near && value-s.value < near {
			break
		}
		at = next
	}
	return c
}

// step is Newton's, of length 3 at most, and what it should gain.
func (s *slope) step() (step []float64, gain float64) {
	down := newMatrix(len(s.down))
	for i := range down {
		copy(down[i], s.down[i])
	}
	values, v := down.eigen()
	step = make([]float64, len(down))
	for i, axis := range v {
		g := dot(axis, s.gradient)
		by := g / math.Max(flattest, values[i])
		gain += float64(0.5 * float64(g*by))
		for j := range step {
			step[j] += float64(by * axis[j])
		}
	}
	if long := math.Sqrt(dot(step, step)); long > 3 {
		for j := range step {
			step[j] = float64(step[j] * (3 / long))
		}
	}
	return step, gain
}

// along looks at several parts of a step at once and takes the best; nil if none is better.
func (f Density) along(at, step []float64, value float64, workers int) (best []float64, most float64) {
	var places [][]float64
	for _, part := range []float64{1, 0.5, 0.25, 0.0625, 0.0078125, 2} {
		x := slices.Clone(at)
		for i := range x {
			x[i] += float64(part * step[i])
		}
		places = append(places, x)
	}
	most = value
	for i, y := range f.all(places, workers) {
		if y > most {
			best, most = places[i], y
		}
	}
	return best, most
}

// proposal is the shape of the density around a mode: variances 1.3 times those of its curvature.
func (c *climbed) proposal() *shape {
	middle := slices.Clone(c.at)
	for i := range middle {
		middle[i] = round4(middle[i])
	}
	down := newMatrix(len(middle))
	for i := range down {
		for j := range down {
			down[i][j] = round4(c.down[i][j])
		}
	}
	return newShape(middle, down, func(x float64) (half, log float64) {
		half = math.Sqrt(wider / math.Max(flattest, x))
		return half, number.Log(half)
	})
}

// wider is by how much variances of a proposal are larger than those of what it stands for.
const wider = 1.3
