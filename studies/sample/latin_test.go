package sample

import (
	"math"
	"slices"
	"strconv"
	"testing"

	"onegrain/sim/draw"
)

// A Latin hypercube has one point in each slice of each axis (McKay, Beckman, Conover 1979).
// Canary: independent points, which leave a slice empty with certainty for all practical purposes.
func TestLatinTakesEverySliceOnce(t *testing.T) {
	const n, axes = 1000, 5
	l := NewLatin(n, labels(axes), draw.NewKey("test", "latin"))
	missing := func(at func(i, k int) float64) (empty int) {
		for k := range axes {
			held := make([]bool, n)
			for i := range n {
				held[int(at(i, k)*n)] = true
			}
			for _, h := range held {
				if !h {
					empty++
				}
			}
		}
		return empty
	}
	if e := missing(func(i, k int) float64 { return l.Point(i)[k] }); e > 0 {
		t.Errorf("%d slices are empty", e)
	}
	dice := draw.NewKey("test", "independent").Stream("")
	if missing(func(int, int) float64 { return dice.Uniform() }) == 0 {
		t.Error("the canary passes")
	}
}

// Two axes of a Latin hypercube are independent: over 400 of them the correlation of 25 points
// averages to 0 within 5 of its standard deviations, 1/√((n−1)·400), and is not always the same.
// Within its slice a point is uniform.
func TestLatinAxesAreIndependent(t *testing.T) {
	const n, seeds = 25, 400
	mean, within := 0.0, 0.0
	var all []float64
	for seed := range seeds {
		l := NewLatin(n, labels(2), draw.NewKey("test", strconv.Itoa(seed)))
		r := 0.0
		for i := range n {
			x := l.Point(i)
			r += 12 * (x[0] - 0.5) * (x[1] - 0.5) / n
			within += (x[0]*n - math.Floor(x[0]*n)) / n / seeds
		}
		mean += r / seeds
		all = append(all, r)
	}
	if math.Abs(mean) > 5/math.Sqrt((n-1)*seeds) {
		t.Errorf("mean correlation %g", mean)
	}
	if slices.Max(all) < 0.3 || slices.Min(all) > -0.3 {
		t.Errorf("correlations from %g to %g, wanted a spread of about ±0.2 about 0", slices.Min(all), slices.Max(all))
	}
	if math.Abs(within-0.5) > 5/math.Sqrt(12*n*seeds) {
		t.Errorf("mean place within a slice %g, wanted 0.5", within)
	}
}

// Any point can be asked for first, again, or not at all.
func TestPointsInAnyOrder(t *testing.T) {
	forwards, backwards := NewLatin(50, labels(3), draw.NewKey("x")), NewLatin(50, labels(3), draw.NewKey("x"))
	var all [][]float64
	for i := range 50 {
		all = append(all, forwards.Point(i))
	}
	for i := range 50 {
		if !slices.Equal(backwards.Point(49-i), all[49-i]) {
			t.Fatalf("point %d differs", 49-i)
		}
	}
}
