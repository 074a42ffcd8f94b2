package number

import (
	"math"
	"math/big"
	"testing"
)

// Reference values with 300 bits, from the power series: elementary calculus, no table needed.
const precision = 300

func wide(x float64) *big.Float { return new(big.Float).SetPrec(precision).SetFloat64(x) }
func add(a, b *big.Float) *big.Float {
	return new(big.Float).SetPrec(precision).Add(a, b)
}
func mul(a, b *big.Float) *big.Float {
	return new(big.Float).SetPrec(precision).Mul(a, b)
}
func div(a, b *big.Float) *big.Float {
	return new(big.Float).SetPrec(precision).Quo(a, b)
}

// bigExp is (e^(x/2^k))^(2^k).
func bigExp(x *big.Float) *big.Float {
	k := max(0, x.MantExp(nil)+8)
	r := new(big.Float).SetPrec(precision).SetMantExp(x, -k)
	term, total := wide(1), wide(1)
	for n := 1; n < 60; n++ {
		term = div(mul(term, r), wide(float64(n)))
		total = add(total, term)
	}
	for range k {
		total = mul(total, total)
	}
	return total
}

// bigLog is Newton's iteration on bigExp from the double.
func bigLog(x float64) *big.Float {
	y := wide(math.Log(x))
	for range 4 {
		y = add(y, add(div(wide(x), bigExp(y)), wide(-1)))
	}
	return y
}

// bigSin is the series at x − k·π/2 … without reduction: 300 bits carry |x| up to 50 by themselves.
func bigSin(x float64) *big.Float {
	xx := mul(wide(x), wide(x))
	term, total := wide(x), wide(x)
	for n := 2; n < 400; n += 2 {
		term = div(mul(term, xx), wide(-float64(n)*float64(n+1)))
		total = add(total, term)
	}
	return total
}

func bigCos(x float64) *big.Float {
	xx := mul(wide(x), wide(x))
	term, total := wide(1), wide(1)
	for n := 1; n < 400; n += 2 {
		term = div(mul(term, xx), wide(-float64(n)*float64(n+1)))
		total = add(total, term)
	}
	return total
}

// bigErf is 2/√π e^(−x²) Σ 2ⁿ x^(2n+1)/(2n+1)!!, all terms of one sign.
func bigErf(x float64) *big.Float {
	xx := mul(wide(x), wide(x))
	term, total := wide(x), wide(x)
	for n := 3; n < 900; n += 2 {
		term = div(mul(mul(term, xx), wide(2)), wide(float64(n)))
		total = add(total, term)
	}
	pi, _ := new(big.Float).SetPrec(precision).SetString("3.141592653589793238462643383279502884197169399375" +
		"10582097494459230781640628620899862803482534211706798")
	root := new(big.Float).SetPrec(precision).Sqrt(pi)
	return div(mul(mul(total, wide(2)), bigExp(new(big.Float).Neg(xx))), root)
}

// places is the error of got in units of the last place of the exact value.
func places(got float64, exact *big.Float) float64 {
	want, _ := exact.Float64()
	d, _ := add(wide(got), new(big.Float).Neg(exact)).Float64()
	ulp := math.Nextafter(math.Abs(want), math.Inf(1)) - math.Abs(want)
	return math.Abs(d) / ulp
}

func TestAccurateToTwoPlaces(t *testing.T) {
	one := wide(1)
	cases := []struct {
		name     string
		low      float64
		high     float64
		got      func(x float64) float64
		exact    func(x float64) *big.Float
		allowed  float64
		everyLog bool // spread over magnitudes
	}{
		{"Exp", -700, 700, Exp, func(x float64) *big.Float { return bigExp(wide(x)) }, 2, false},
		{"Exp near 0", -1, 1, Exp, func(x float64) *big.Float { return bigExp(wide(x)) }, 2, false},
		{"Log", 1e-300, 1e300, Log, bigLog, 2, true},
		{"Log near 1", 0.5, 2, Log, bigLog, 2, false},
		{"x^1.9", 1e-4, 100, func(x float64) float64 { return Pow(x, 1.9) },
			func(x float64) *big.Float { return bigExp(mul(bigLog(x), wide(1.9))) }, 2, false},
		{"x^-2.3", 1e-100, 1e100, func(x float64) float64 { return Pow(x, -2.3) },
			func(x float64) *big.Float { return bigExp(mul(bigLog(x), wide(-2.3))) }, 2, true},
		{"0.37^x", -700, 700, func(x float64) float64 { return Pow(0.37, x) },
			func(x float64) *big.Float { return bigExp(mul(bigLog(0.37), wide(x))) }, 2, false},
		{"sin", -50, 50, func(x float64) float64 { s, _ := Sincos(x); return s }, bigSin, 2, false},
		{"cos", -50, 50, func(x float64) float64 { _, c := Sincos(x); return c }, bigCos, 2, false},
		{"Erf", -6, 6, Erf, bigErf, 2, false},
		{"Erfc", -6, 1.25, Erfc, func(x float64) *big.Float { return add(one, new(big.Float).Neg(bigErf(x))) }, 2, false},
		{"Erfc far", 1.25, 7, Erfc, func(x float64) *big.Float { return add(one, new(big.Float).Neg(bigErf(x))) }, 4, false},
		{"atan", -1, 1, func(x float64) float64 { return Atan2(x, 1) }, nil, 2, false},
	}
	for _, c := range cases {
		worst, at := 0.0, 0.0
		for n := range 250 {
			f := math.Mod(float64(n)*0.6180339887498949+0.1234567, 1) // golden-ratio points: even, no lattice of exact values
			x := c.low + f*(c.high-c.low)
			if c.everyLog {
				x = math.Exp(math.Log(c.low) + f*(math.Log(c.high)-math.Log(c.low)))
			}
			exact := c.exact
			if exact == nil { // atan: the angle whose sine and cosine are known
				exact = func(x float64) *big.Float { return bigAtan(x) }
			}
			if p := places(c.got(x), exact(x)); p > worst {
				worst, at = p, x
			}
		}
		t.Logf("%s: worst %.2f", c.name, worst)
		if worst > c.allowed {
			t.Errorf("%s: off by %.2f units in the last place at %v, allowed %v", c.name, worst, at, c.allowed)
		}
	}
}

// bigAtan is Newton's iteration on tan.
func bigAtan(x float64) *big.Float {
	y := wide(math.Atan(x))
	for range 4 { // y += (x cos y − sin y)·cos y, the step for tan y = x
		s, c := sinCosWide(y)
		y = add(y, mul(add(mul(wide(x), c), new(big.Float).Neg(s)), c))
	}
	return y
}

func sinCosWide(y *big.Float) (s, c *big.Float) {
	yy := mul(y, y)
	st, ct := add(y, wide(0)), wide(1)
	s, c = add(y, wide(0)), wide(1)
	for n := 1; n < 120; n += 2 {
		ct = div(mul(ct, yy), wide(-float64(n)*float64(n+1)))
		c = add(c, ct)
		st = div(mul(st, yy), wide(-float64(n+1)*float64(n+2)))
		s = add(s, st)
	}
	return s, c
}

// A wrong last digit of one coefficient must be seen: the yardstick itself is tried.
func TestYardstickSeesOneWrongPlace(t *testing.T) {
	off := math.Nextafter(math.Nextafter(math.Nextafter(Exp(1.5), 9), 9), 9)
	if p := places(off, bigExp(wide(1.5))); p < 2 {
		t.Errorf("three places off measured as %.2f", p)
	}
}
