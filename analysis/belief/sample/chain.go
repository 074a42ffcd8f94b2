package sample

import (
	"fmt"
	"math"
	"slices"

	"github.com/sourcegraph/conc/iter"

	"onegrain/sim/draw"
	"onegrain/sim/number"
)

// How chains of Metropolis are made.
const (
	chainCount = 4
	warmSteps  = 3000 // thrown away; the steps' length and the shape are found there
	firstSteps = 8000
	longest    = 8 * firstSteps
	thinned    = 4     // a step of so many is a point
	mixed      = 1.01  // split R̂ below which chains have forgotten where they began
	accepted   = 0.234 // part of the steps that is best taken
)

// Walk makes points by chains of Metropolis, beginning with the shape of others.
func Walk(f Density, near *Points, key draw.Key, workers int) *Points {
	return f.walk(near.around(), key, workers)
}

// walk makes points by chains, in the space where a shape is a ball.
func (f Density) walk(s *shape, key draw.Key, workers int) *Points {
	chains := make([]chain, chainCount)
	for i := range chains {
		c := chain{Density: f, dice: key.Stream(fmt.Sprint("chain ", i+1)), shape: s, long: 2}
		c.begin()
		chains[i] = c
	}
	m := iter.Iterator[chain]{MaxGoroutines: workers}
	for range 2 {
		m.ForEach(chains, func(c *chain) { c.steps(warmSteps, true) })
		all := together(chains)
		s = around(all, slices.Repeat([]float64{1 / float64(len(all))}, len(all)))
		for i := range chains {
			chains[i].reshape(s)
		}
	}
	p := &Points{Chain: true}
	for steps := firstSteps; steps <= longest; steps *= 2 {
		more := steps
		if steps > firstSteps {
			more = steps / 2
		}
		m.ForEach(chains, func(c *chain) { c.steps(more, false) })
		if p.Mixed = splitR(chains); p.Mixed < mixed {
			break
		}
	}
	p.X = together(chains)
	p.Weight = slices.Repeat([]float64{1 / float64(len(p.X))}, len(p.X))
	p.Effective = effective(chains)
	p.ParetoK = math.Inf(1)
	p.LogEvidence = f.bridge(chains, s, key, workers)
	return p
}

// chain is one of Metropolis.
type chain struct {
	Density
	dice   *draw.Stream
	shape  *shape
	z      []float64 // where it is, in half axes of the shape
	value  float64   // density there
	long   float64   // of a step, in half axes, times the root of their number
	points [][]float64
	values []float64
}

// begin looks for a place with some density.
func (c *chain) begin() {
	c.z = make([]float64, len(c.shape.middle))
	c.value = math.Inf(-1)
	for range 200 {
		z := make([]float64, len(c.z))
		for i := range z {
			z[i] = float64(1.5 * c.dice.Normal())
		}
		if y := c.Density(c.shape.at(z)); y > c.value {
			if c.z, c.value = z, y; y > math.Inf(-1) {
				return
			}
		}
	}
}

// steps walks; warm steps learn how long they should be.
func (c *chain) steps(n int, warm bool) {
	root := math.Sqrt(float64(len(c.z)))
	for i := range n {
		z := slices.Clone(c.z)
		for j := range z {
			z[j] += float64(c.long / root * c.dice.Normal())
		}
		x := c.shape.at(z)
		value := c.Density(x)
		took := number.Log(c.dice.Uniform()) < value-c.value
		if took {
			c.z, c.value = z, value
		}
		if warm {
			by := -accepted
			if took {
				by++
			}
			c.long = math.Min(10, c.long*number.Exp(float64(by*(4/math.Sqrt(float64(i+20))))))
		}
		if i%thinned == 0 {
			c.points, c.values = append(c.points, c.shape.at(c.z)), append(c.values, c.value)
		}
	}
}

// reshape goes on from the last place in the space of another shape, and forgets what was before.
func (c *chain) reshape(s *shape) {
	at := c.shape.at(c.z)
	for i := range at {
		at[i] -= s.middle[i]
	}
	for i, axis := range s.axes { // axes are at right angles to each other
		c.z[i] = dot(axis, at) / dot(axis, axis)
	}
	c.shape, c.points, c.values = s, nil, nil
}

// together are the points of all chains.
func together(chains []chain) (all [][]float64) {
	for i := range chains {
		all = append(all, chains[i].points...)
	}
	return all
}

// splitR is the split R̂ of the worst unknown: halves of chains are compared.
func splitR(chains []chain) (worst float64) {
	var halves [][][]float64
	for i := range chains {
		p := chains[i].points
		halves = append(halves, p[:len(p)/2], p[len(p)/2:len(p)/2*2])
	}
	for j := range halves[0][0] {
		within, between, n := spread(halves, j)
		worst = math.Max(worst, math.Sqrt((n-1)/n+between/within))
	}
	return worst
}

// spread is the mean variance of an unknown within pieces of n points, and the variance of their
// means.
func spread(pieces [][][]float64, unknown int) (within, between, n float64) {
	n = float64(len(pieces[0]))
	means, mean := make([]float64, len(pieces)), 0.0
	for i, p := range pieces {
		for _, x := range p {
			means[i] += x[unknown] / n
		}
		mean += means[i] / float64(len(pieces))
		for _, x := range p {
			d := x[unknown] - means[i]
			within += float64(d*d) / (n - 1) / float64(len(pieces))
		}
	}
	for _, m := range means {
		between += float64((m-mean)*(m-mean)) / float64(len(pieces)-1)
	}
	return within, between, n
}

// effective is how many independent draws the chains are worth, for the worst of the unknowns: by
// the means of 25 pieces of each.
func effective(chains []chain) float64 {
	var pieces [][][]float64
	all := 0.0
	for i := range chains {
		p := chains[i].points
		all += float64(len(p))
		for n := len(p) / 25; len(p) >= n; p = p[n:] { // a chain has thousands of points
			pieces = append(pieces, p[:n])
		}
	}
	least := all
	for j := range chains[0].z {
		within, between, _ := spread(pieces, j)
		least = math.Min(least, (within+between)/between*float64(len(pieces)))
	}
	return least
}

// bridge is the logarithm of the density's integral, from points of the chains and points of a
// Student t distribution with their shape: each side tells where the other has density.
func (f Density) bridge(chains []chain, s *shape, key draw.Key, workers int) float64 {
	t := s.student()
	var own, other []float64 // density less that of the distribution, at points of the chains and of it
	for i := range chains {
		for j, x := range chains[i].points {
			z := make([]float64, len(x))
			for k, axis := range s.axes {
				for l := range x {
					z[k] += float64(axis[l] * (x[l] - s.middle[l]))
				}
				z[k] /= dot(axis, axis)
			}
			own = append(own, chains[i].values[j]-t.logAt(dot(z, z)))
		}
	}
	var places [][]float64
	dice := key.Stream("bridge")
	for range len(own) / 4 {
		x, log := t.draw(dice)
		places, other = append(places, x), append(other, log)
	}
	for i, y := range f.all(places, workers) {
		other[i] = y - other[i]
	}
	log := slices.Max(own)
	mine := float64(len(own)) / float64(len(own)+len(other))
	mean := func(of []float64, sign float64) (sum float64) { // of 1 / (mine + (1 − mine) e^…)
		for _, l := range of {
			e := number.Exp(math.Max(-700, math.Min(700, float64(sign*(log-l)))))
			if sign > 0 {
				sum += 1 / (mine + float64((1-mine)*e))
			} else {
				sum += 1 / (float64(mine*e) + (1 - mine))
			}
		}
		return sum / float64(len(of))
	}
	for range 200 {
		step := number.Log(mean(other, 1) / mean(own, -1))
		if log += step; math.Abs(step) < 1e-9 {
			break
		}
	}
	return log
}
