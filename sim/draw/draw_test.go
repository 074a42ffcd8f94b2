package draw

import (
	"math"
	"testing"
)

// The first values of a stream are part of every stored result: they may change only together with
// the model version.
func TestFirstValuesStay(t *testing.T) {
	k := NewKey("a study", "case 1", "7")
	got := []float64{k.Stream("x").Uniform(), k.Stream("y").Uniform(), k.Stream("x").Exponential(),
		k.Stream("x").Normal(), float64(k.Stream("x").Index(1000))}
	want := []float64{0.6890345733796962, 0.4923696971629854, 1.1680735414060306, 0.19865647738233055, 689}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("value %d: %.17g, want %.17g", i, got[i], want[i])
		}
	}
}

func TestPartsDoNotRunTogether(t *testing.T) {
	if NewKey("ab", "c") == NewKey("a", "bc") || NewKey("a") == NewKey("a", "") || NewKey() == NewKey("") {
		t.Error("different parts gave one key")
	}
	k := NewKey("a")
	if k.Stream("x").Uniform() == k.Stream("y").Uniform() || k.Stream("x").Uniform() == NewKey("b").Stream("x").Uniform() {
		t.Error("different streams begin alike")
	}
	if k.Stream("x").Uniform() != k.Stream("x").Uniform() {
		t.Error("a stream does not repeat")
	}
}

// moments of n draws: mean and mean square.
func moments(n int, f func() float64) (m1, m2 float64) {
	for range n {
		x := f()
		m1 += x
		m2 += x * x
	}
	return m1 / float64(n), m2 / float64(n)
}

// Mean and mean square lie within 4.5 standard errors (1 chance in 150,000 a check for a right
// sampler; the seed is fixed): errors of the mean √(var/n) and of the mean square √((E x⁴ − (E
// x²)²)/n), from the known moments (textbook).
func TestMoments(t *testing.T) {
	const n = 200000
	s := NewKey("moments").Stream("s")
	for _, c := range []struct {
		name           string
		f              func() float64
		mean, square   float64
		fourthOfMoment float64
	}{
		{"uniform", s.Uniform, 0.5, 1.0 / 3, 0.2},
		{"exponential", s.Exponential, 1, 2, 24},
		{"normal", s.Normal, 0, 1, 3},
	} {
		check := func(f func() float64) bool {
			m1, m2 := moments(n, f)
			return math.Abs(m1-c.mean) < 4.5*math.Sqrt((c.square-c.mean*c.mean)/n) &&
				math.Abs(m2-c.square) < 4.5*math.Sqrt((c.fourthOfMoment-c.square*c.square)/n)
		}
		if !check(c.f) {
			t.Errorf("%s: moments off", c.name)
		}
		if check(func() float64 { return 1.02 * c.f() }) { // canary: 2 % too wide
			t.Errorf("%s: a sampler 2 %% too wide passes", c.name)
		}
	}
}

// Kolmogorov–Smirnov distance below 1.95/√n (1 chance in 1000) for the exponential survival e^(−x).
func TestExponentialTail(t *testing.T) {
	const n = 100000
	s := NewKey("tail").Stream("s")
	for _, rate := range []float64{1, 1.03} {
		var count [400]int
		for range n {
			if i := int(50 * s.Exponential() * rate); i < 400 {
				count[i]++
			}
		}
		worst, below := 0.0, 0
		for i, c := range count {
			below += c
			worst = math.Max(worst, math.Abs(float64(below)/n-(1-math.Exp(-float64(i+1)/50))))
		}
		if good := worst < 1.95/math.Sqrt(n); good != (rate == 1) {
			t.Errorf("rate %v: distance %v", rate, worst)
		}
	}
}

// Index: chi-square of n−1 degrees of freedom below its 0.9999 quantile, 5 classes: 23.5 (table of
// chi-square).
func TestIndexIsEven(t *testing.T) {
	s := NewKey("index").Stream("s")
	even := func(index func() int) bool {
		var count [5]float64
		for range 50000 {
			count[index()]++
		}
		chi := 0.0
		for _, c := range count {
			chi += (c - 10000) * (c - 10000) / 10000
		}
		return chi < 23.5
	}
	if !even(func() int { return s.Index(5) }) {
		t.Error("Index(5) is uneven")
	}
	if even(func() int { return s.Index(5) * s.Index(2) }) {
		t.Error("an uneven index passes")
	}
	if s.Index(0) != 0 || s.Index(1) != 0 {
		t.Error("Index of nothing to choose from must be 0")
	}
	for range 100 { // a size at which a third of the raw numbers is refused
		if i := s.Index(3 << 61); i < 0 || i >= 3<<61 {
			t.Fatal("out of range", i)
		}
	}
}

// Two labels of one key are uncorrelated: |r| < 4.5/√n.
func TestLabelsAreIndependent(t *testing.T) {
	const n = 100000
	a, b := NewKey("k").Stream("melt"), NewKey("k").Stream("top")
	sum := 0.0
	for range n {
		sum += (a.Uniform() - 0.5) * (b.Uniform() - 0.5) * 12
	}
	if r := sum / n; math.Abs(r) > 4.5/math.Sqrt(n) {
		t.Errorf("correlation %v", r)
	}
	c, d := NewKey("k").Stream("melt"), NewKey("k").Stream("melt")
	sum = 0
	for range n {
		sum += (c.Uniform() - 0.5) * (d.Uniform() - 0.5) * 12
	}
	if sum/n < 0.9 { // canary: the same label twice
		t.Error("the same stream twice looks independent")
	}
}
