package number

import (
	"crypto/sha256"
	"encoding/hex"
	"math"
	"testing"
)

func TestSpecialValues(t *testing.T) {
	inf, nan := math.Inf(1), math.NaN()
	sin := func(x float64) float64 { s, _ := Sincos(x); return s }
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"Exp 0", Exp(0), 1}, {"Exp inf", Exp(inf), inf}, {"Exp -inf", Exp(-inf), 0}, {"Exp 710", Exp(710), inf},
		{"Exp -746", Exp(-746), 0}, {"Exp nan", Exp(nan), nan},
		{"Exp largest", Exp(709.7), math.Exp(709.7)}, {"Exp top binade", Exp(709.5), math.Exp(709.5)},
		{"Exp subnormal", Exp(-745), math.Exp(-745)}, {"Exp subnormal 2", Exp(-720), math.Exp(-720)},
		{"Log 0", Log(0), -inf}, {"Log -1", Log(-1), nan}, {"Log inf", Log(inf), inf}, {"Log nan", Log(nan), nan},
		{"Log 1", Log(1), 0}, {"Log tiny", Log(5e-324), -744.4400719213812},
		{"x^0", Pow(nan, 0), 1}, {"1^y", Pow(1, nan), 1}, {"nan^2", Pow(nan, 2), nan}, {"2^nan", Pow(2, nan), nan},
		{"x^1", Pow(0.3, 1), 0.3},
		{"0^2", Pow(0, 2), 0}, {"0^-2", Pow(0, -2), inf}, {"inf^2", Pow(inf, 2), inf}, {"inf^-2", Pow(inf, -2), 0},
		{"2^inf", Pow(2, inf), inf}, {"0.5^inf", Pow(0.5, inf), 0}, {"2^-inf", Pow(2, -inf), 0},
		{"-2^3", Pow(-2, 3), -8}, {"-2^2", Pow(-2, 2), 4}, {"-2^0.5", Pow(-2, 0.5), nan}, {"10^400", Pow(10, 400), inf},
		{"10^-400", Pow(10, -400), 0}, {"10^1e300", Pow(10, 1e300), inf},
		{"3^4", Pow(3, 4), 81}, {"4^0.5", Pow(4, 0.5), 2}, {"2^-1074", Pow(2, -1074), 5e-324},
		{"sin 0", sin(0), 0}, {"sin inf", sin(inf), nan}, {"sin nan", sin(nan), nan},
		{"Erf inf", Erf(inf), 1}, {"Erf -inf", Erf(-inf), -1}, {"Erf nan", Erf(nan), nan}, {"Erf 0", Erf(0), 0},
		{"Erf tiny", Erf(1e-300), 2e-300 / math.Sqrt(math.Pi)},
		{"Erfc inf", Erfc(inf), 0}, {"Erfc -inf", Erfc(-inf), 2}, {"Erfc nan", Erfc(nan), nan}, {"Erfc 30", Erfc(30), 0},
		{"Erfc 0", Erfc(0), 1},
		{"Atan2 0 0", Atan2(0, 0), 0}, {"Atan2 nan", Atan2(nan, 1), nan}, {"Atan2 inf", Atan2(inf, 1), nan},
		{"Atan2 0 -1", Atan2(0, -1), math.Pi}, {"Atan2 1 0", Atan2(1, 0), math.Pi / 2},
		{"Atan2 -1 -1", Atan2(-1, -1), -3 * math.Pi / 4}, {"Atan2 3 1", Atan2(3, 1), math.Atan2(3, 1)},
		{"Atan2 0.9 1", Atan2(0.9, 1), math.Atan2(0.9, 1)},
	} {
		if same := c.got == c.want || (c.got != c.got && c.want != c.want); !same &&
			!(math.Abs(c.got-c.want) <= 3e-16*math.Abs(c.want)) {
			t.Errorf("%s: %v, want %v", c.name, c.got, c.want)
		}
	}
}

// Large arguments of Sincos lose no more than documented: the reference is package math, whose
// reduction is exact.
func TestSincosOfLargeArguments(t *testing.T) {
	for _, x := range []float64{999999.5, -123456.789, 1e7, -3e9, 1e12} {
		s, c := Sincos(x)
		ws, wc := math.Sincos(x)
		allowed := 4e-16
		if math.Abs(x) > 1e6 {
			allowed += 5e-17 * math.Abs(x)
		}
		if math.Abs(s-ws) > allowed || math.Abs(c-wc) > allowed {
			t.Errorf("Sincos(%v) = %v, %v; want %v, %v", x, s, c, ws, wc)
		}
	}
}

// golden is the SHA-256 of 200,000 results of every function. It must not change with the
// processor, GOAMD64 or the compiler: run this test under GOAMD64=v3 and on arm64 to see that it
// does not.
const golden = "38c5eb414ab52e8af485a2d498a8cf6d63e76a6939317d63a25fd7ddee304bac"

func TestSameBitsEverywhere(t *testing.T) {
	if got := hashOfAll(Exp); got != golden {
		t.Errorf("hash of the results is %s, want %s", got, golden)
	}
	fused := func(x float64) float64 { return math.FMA(Exp(x), 1+0x1p-30, -0x1p-52*Exp(x)) }
	if hashOfAll(fused) == golden {
		t.Error("a fused product left the hash unchanged: the hash sees nothing")
	}
}

// hashOfAll walks all functions over their ranges in use; exp stands in for Exp.
func hashOfAll(exp func(float64) float64) string {
	h := sha256.New()
	put := func(x float64) {
		b := math.Float64bits(x)
		h.Write([]byte{byte(b), byte(b >> 8), byte(b >> 16), byte(b >> 24), byte(b >> 32), byte(b >> 40), byte(b >> 48),
			byte(b >> 56)})
	}
	for n := range 25000 {
		f := float64(n) / 25000
		s, c := Sincos(float64(40*f) - 17)
		for _, v := range [8]float64{exp(float64(90*f) - 80), Log(f + 1e-9), Pow(float64(60*f), 1.9),
			Pow(float64(3*f)+0.01, 0.3448), s, c, Erf(float64(9*f) - 4), Erfc(float64(9*f) - 3)} {
			put(v)
		}
		put(Atan2(f, 0.6))
	}
	return hex.EncodeToString(h.Sum(nil))
}

func BenchmarkExp(b *testing.B) { bench(b, func(x float64) float64 { return Exp(-x) }) }
func BenchmarkLog(b *testing.B) { bench(b, Log) }
func BenchmarkPow(b *testing.B) { bench(b, func(x float64) float64 { return Pow(x, 1.9) }) }
func BenchmarkSin(b *testing.B) { bench(b, func(x float64) float64 { s, _ := Sincos(x); return s }) }
func BenchmarkErf(b *testing.B) { bench(b, Erf) }

func bench(b *testing.B, f func(float64) float64) {
	x, total := 0.3, 0.0
	for b.Loop() {
		total += f(x)
		if x += 0.01; x > 20 {
			x = 0.3
		}
	}
	if total == 1 {
		b.Log(total)
	}
}
