package sample

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"math"
	"math/bits"
	"strconv"
	"testing"

	"onegrain/sim/draw"
)

func labels(n int) []string {
	out := make([]string, n)
	for i := range out {
		out[i] = "axis " + strconv.Itoa(i)
	}
	return out
}

func scrambled(t *testing.T, axes int, seed string) *Sobol {
	t.Helper()
	s, err := NewSobol(labels(axes), draw.NewKey("test", seed))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func plain(t *testing.T, axes int) *Sobol {
	t.Helper()
	s, err := plainSobol(axes)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// The ten points in three dimensions that Joe and Kuo print as the example of their program (notes
// to new-joe-kuo-6.21201, 2008). Canary: the polynomial of the third axis without its inner term.
func TestPublishedPoints(t *testing.T) {
	want := [][3]float64{{0, 0, 0}, {0.5, 0.5, 0.5}, {0.75, 0.25, 0.25}, {0.25, 0.75, 0.75}, {0.375, 0.375, 0.625},
		{0.875, 0.875, 0.125},
		{0.625, 0.125, 0.875}, {0.125, 0.625, 0.375}, {0.1875, 0.3125, 0.9375}, {0.6875, 0.8125, 0.4375}}
	off := func(s *Sobol) (n int) {
		for i, w := range want {
			if [3]float64(s.Point(i)) != w {
				n++
			}
		}
		return n
	}
	s := plain(t, 3)
	if n := off(s); n > 0 {
		t.Errorf("%d of the ten published points are others", n)
	}
	s.axes[2].column = directions(polynomial{0, joeKuo()[2].first})
	if off(s) == 0 {
		t.Error("the canary passes: another polynomial gives the same points")
	}
}

// Every polynomial must be primitive: x generates all 2^s − 1 elements other than 0 of the field.
// First numbers must be odd and below 2^k. Canaries: x⁴ + x³ + x² + x + 1 divides x⁵ − 1 and so is
// not primitive.
func TestPolynomialsArePrimitive(t *testing.T) {
	seen := map[string]bool{}
	for k, p := range joeKuo() {
		if k > 0 && !primitive(p) {
			t.Errorf("axis %d: the polynomial %d of degree %d is not primitive", k+1, p.inner, len(p.first))
		}
		for i, m := range p.first {
			if m%2 == 0 || m >= 2<<i {
				t.Errorf("axis %d: m%d = %d, wanted an odd number below %d", k+1, i+1, m, 2<<i)
			}
		}
		name := fmt.Sprint(len(p.first), p.inner)
		if seen[name] {
			t.Errorf("axis %d: the polynomial %s stands there twice", k+1, name)
		}
		seen[name] = true
	}
	if primitive(polynomial{7, make([]uint64, 4)}) {
		t.Error("the canary passes: x⁴ + x³ + x² + x + 1 counts as primitive")
	}
}

// primitive multiplies by x until it comes back to 1.
func primitive(p polynomial) bool {
	degree := len(p.first)
	whole := uint64(1)<<degree | p.inner<<1 | 1
	order, power := 0, uint64(1)
	for {
		power <<= 1
		if power>>degree == 1 {
			power ^= whole
		}
		order++
		if power == 1 || order >= 1<<degree {
			return order == 1<<degree-1
		}
	}
}

// I. M. Sobol's property A holds for the table up to more axes than ours (Joe and Kuo 2008, section
// 3): the first 2^d points have one in each of the 2^d halved cubes, which is so where the matrix
// of leading digits is invertible. It depends on every first number. Canary: one first number of
// the last axis with its leading digit turned.
func TestPropertyA(t *testing.T) {
	s := plain(t, MostAxes)
	if MostAxes > columns {
		s.axes = s.axes[:columns]
	}
	for d := 1; d <= len(s.axes); d++ {
		if !invertible(leading(s.axes[:d])) {
			t.Errorf("%d axes have no property A", d)
		}
	}
	rows := leading(s.axes)
	passed := 0
	for bit := range rows {
		changed := append([]uint64(nil), rows...)
		changed[len(rows)-1] ^= 1 << bit
		if invertible(changed) {
			passed++
		}
	}
	if passed == len(rows) {
		t.Error("the canary passes: no leading digit of the last axis matters")
	}
}

// leading are the first digits of the first columns, a row an axis.
func leading(axes []generator) []uint64 {
	rows := make([]uint64, len(axes))
	for k, g := range axes {
		for j := range axes {
			rows[k] |= g.column[j] >> (digits - 1) & 1 << j
		}
	}
	return rows
}

func invertible(rows []uint64) bool {
	rows = append([]uint64(nil), rows...)
	for j := range rows {
		pivot := j
		for pivot < len(rows) && rows[pivot]>>j&1 == 0 {
			pivot++
		}
		if pivot == len(rows) {
			return false
		}
		rows[j], rows[pivot] = rows[pivot], rows[j]
		for i := range rows {
			if i != j && rows[i]>>j&1 == 1 {
				rows[i] ^= rows[j]
			}
		}
	}
	return true
}

// uneven counts the elementary intervals of two axes, 2^-a by 2^-(m-t-a), that hold other than 2^t
// of the 2^m points from `from` on.
func uneven(s *Sobol, one, two, m, t, from int) (bad int) {
	for a := 0; a <= m-t; a++ {
		b := m - t - a
		held := make([]int, 1<<(a+b))
		for i := range 1 << m {
			x := s.Point(from + i)
			held[int(x[one]*float64(int(1)<<a))<<b|int(x[two]*float64(int(1)<<b))]++
		}
		for _, n := range held {
			if n != 1<<t {
				bad++
			}
		}
	}
	return bad
}

// A Sobol sequence is a digital (t, s)-sequence with t the sum of the degrees less one (Sobol 1967,
// Niederreiter 1992): in one axis every interval of 2^-m holds one of 2^m points, in two axes every
// elementary interval as many as its area asks for; scrambling keeps that. Canary: points whose
// axis is that of another one.
func TestElementaryIntervals(t *testing.T) {
	const m = 7
	for name, s := range map[string]*Sobol{"plain": plain(t, MostAxes), "scrambled": scrambled(t, MostAxes, "net")} {
		for k := range MostAxes {
			for _, from := range []int{0, 5 << m} {
				held := map[int]bool{}
				for i := range 1 << m {
					held[int(s.Point(from + i)[k]*(1<<m))] = true
				}
				if len(held) != 1<<m {
					t.Errorf("%s, axis %d from point %d: %d of %d intervals are held", name, k+1, from, len(held), 1<<m)
				}
			}
		}
		for one := range 10 {
			for two := range one {
				quality := max(0, len(joeKuo()[one].first)-1) + max(0, len(joeKuo()[two].first)-1)
				if n := uneven(s, one, two, max(m, quality), quality, 3<<max(m, quality)); n > 0 {
					t.Errorf("%s, axes %d and %d: %d elementary intervals hold other than 2^%d points", name, two+1, one+1, n, quality)
				}
			}
		}
	}
	s := plain(t, 3)
	s.axes[2] = s.axes[1]
	if uneven(s, 2, 1, m, 1, 0) == 0 {
		t.Error("the canary passes: an axis twice is as even")
	}
}

// Over 256 scrambles each coordinate is uniform on [0, 1): mean 1/2 within 5 standard deviations of
// 1/√(12·256), and two points of one scramble do not move together. The integral of Sobol's
// g-function (A. Saltelli, I. M. Sobol, Math. Comput. Model. 21 (1995) 3) over 6 axes is 1; 512
// points must come nearer to it than independent ones by a factor of 4 at least (that is our wish;
// the theory promises better). Canary: independent points do not.
func TestScrambleIntegrates(t *testing.T) {
	const axes, points, seeds = 6, 512, 256
	g := func(x []float64) float64 {
		p := 1.0
		for k, v := range x {
			p *= (math.Abs(4*v-2) + float64(k)) / (1 + float64(k))
		}
		return p
	}
	var mean [axes]float64
	var even, alone, variance float64
	for seed := range seeds {
		s := scrambled(t, axes, strconv.Itoa(seed))
		dice := draw.NewKey("independent", strconv.Itoa(seed)).Stream("")
		sum, other := 0.0, 0.0
		for i := range points {
			x := s.Point(i)
			if i == 1 {
				for k := range x {
					mean[k] += x[k] / seeds
				}
			}
			sum += g(x) / points
			for k := range x {
				x[k] = dice.Uniform()
			}
			other += g(x) / points
		}
		even, alone, variance = even+(sum-1)*(sum-1)/seeds, alone+(other-1)*(other-1)/seeds, variance+(sum-1)/seeds
	}
	for k, m := range mean {
		if math.Abs(m-0.5) > 5/math.Sqrt(12*seeds) {
			t.Errorf("axis %d: the mean over the scrambles is %g", k+1, m)
		}
	}
	if math.Abs(variance) > 5*math.Sqrt(even/seeds) {
		t.Errorf("the mean error %g of the integral is no accident beside %g in one scramble: it is biased", variance,
			math.Sqrt(even))
	}
	near := func(error2 float64) bool { return math.Sqrt(error2) < math.Sqrt(alone)/4 }
	if !near(even) {
		t.Errorf("the error is %g, independent points have %g", math.Sqrt(even), math.Sqrt(alone))
	}
	if near(alone) {
		t.Error("the canary passes")
	}
}

// Points are a promise to those who keep results: they change with the key and nothing else.
func TestPointsAreKept(t *testing.T) {
	h := sha256.New()
	s, l := scrambled(t, 7, "bits"), NewLatin(100, labels(7), draw.NewKey("test", "bits"))
	for i := range 100 {
		fmt.Fprintln(h, s.Point(i), l.Point(i))
	}
	const want = "7ff712efe428d71a"
	if got := hex.EncodeToString(h.Sum(nil)[:8]); got != want {
		t.Errorf("hash %s, wanted %s: studies kept by users would have other cases", got, want)
	}
	if s.Point(1<<31 - 1)[0] >= 1 {
		t.Error("the last point lies outside")
	}
	if _, err := NewSobol(labels(MostAxes+1), draw.Key{}); err == nil {
		t.Error("more axes than there are direction numbers: wanted an error")
	}
	if bits.Len64(s.axes[0].shift) > digits {
		t.Error("the shift has more digits than a coordinate")
	}
}
