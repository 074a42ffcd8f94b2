package battery

import (
	"math"
	"testing"
)

// TestWorkedGrains holds the formulas of this package to numbers worked out elsewhere with other
// means (numpy and scipy, random quaternions, front solvers), as printed there: the check of the
// check.
func TestWorkedGrains(t *testing.T) {
	near := func(name string, got, want, within float64) {
		t.Helper()
		if math.Abs(got-want) > within {
			t.Errorf("%s: %.7g, wanted %.7g", name, got, want)
		}
		if canary := got + 5*within; math.Abs(canary-want) <= within {
			t.Errorf("canary: %s off by five tolerances passed", name)
		}
	}
	tetragonal, cubic := zoneOf("422", group422()), zoneOf("432", group432())
	near("mean, 422", tetragonal.law().mean, 63.0123, 1e-3)
	near("deviation, 422", tetragonal.law().sd, 19.498, 1e-3)
	near("median, 422", tetragonal.below(65.0334), 0.5, 1e-4)
	near("below 15, 422", tetragonal.below(15), 0.00758938, 1e-7)
	near("below 90.2659, 422", tetragonal.below(90.2659), 0.95, 2e-4)
	near("mean, 432", cubic.law().mean, 40.7358, 1e-3)
	near("below 57, 432", cubic.below(56.9677), 0.95, 2e-4)
	near("angle between turned crystals", between(group422()[0], group432()[9], group422()), 90, 1e-9)

	all := pairsOfSeeds()
	for i, want := range []float64{0.512148, 0.526714, 0.530173, 0.482278, 0.640292, 0.430092, 0.778995, 0.598967} {
		near("share of two seeds, "+all[i].name, all[i].share(), want, 2e-5)
	}
	for i, want := range []float64{2.7063532, 2.3811978, 2.3137085} {
		near("contact of two seeds, "+all[i].name, all[i].contact(), want, 1e-7)
	}
	near("length on the ramp", lengthAt(startOfTwo+27.22114), 13.5, 1e-5)

	for ratio, want := range map[float64]float64{0.5: 0.1033333, 1: 0.3033333, 1.35: 0.475, 2: 0.645625, 5: 0.85825,
		11: 0.9355682} {
		near("pyramid", pyramid(3, depths, halfWide, high, straight(ratio)), want, 1e-6)
	}
	for rate, want := range map[float64]float64{0.1: 0.899606, 0.5: 0.9280396, 1: 0.9376536} {
		near("bent pyramid", pyramid(3, depths, halfWide, high, bent(rate)), want, 1e-6)
	}
	near("half width on a ramp", bent(0.3)(0.5), 5.150692, 1e-5)
	near("square in a disc", inDisc(10.7/1.5, discRadius)*2.25, 457.89001, 1e-4)
	near("order of halving errors", order([]float64{4, 2, 1}, []float64{16, 4, 1}), 2, 1e-12)
}

// TestBoxCells integrates the second moment of the cells of aligned boxes: the mean of 1/U² over
// pairs of a point on the unit box and one in it, U the area of both their boxes together (E. N.
// Gilbert, Ann. Math. Stat. 33 (1962) 958, for spheres). Midpoints, 40 each way, are good to a
// thousandth. Canary: the value for spheres.
func TestBoxCells(t *testing.T) {
	const n = 40
	overlap := func(a, b, c, d float64) float64 { return math.Max(0, math.Min(b, d)-math.Max(a, c)) }
	sum := 0.0
	for i := range n {
		s := (float64(i)+0.5)/n*2 - 1 // the point (1, s) on one of four sides
		for j := range 2 * n {
			for k := range 2 * n {
				x, y := (float64(j)+0.5)/n-1, (float64(k)+0.5)/n-1
				r := math.Max(math.Abs(x), math.Abs(y))
				common := overlap(0, 2, x-r, x+r) * overlap(s-1, s+1, y-r, y+r)
				sum += math.Pow(4+4*r*r-common, -2)
			}
		}
	}
	got := sum*4*(2.0/n)/(n*n) - 1
	if math.Abs(got-boxCells2D) > 1e-3 {
		t.Errorf("variance of the cells of boxes: %.5f, wanted %.5f", got, boxCells2D)
	}
	if math.Abs(got-ballCells2D) <= 1e-3 {
		t.Errorf("canary: the value for spheres passed with %.5f", got)
	}
}
