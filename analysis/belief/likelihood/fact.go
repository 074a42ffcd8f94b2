package likelihood

import (
	"math"

	"onegrain/analysis/belief/facts"
	"onegrain/sim/number"
)

const (
	halfLog2Pi = 0.91893853320467274178
	mostCount  = 25 // strays beyond are many
)

// log is the logarithm of a fact's likelihood. x is the logarithm of the strays expected, or of the
// length grown; density that of the strays per hour.
func (f *asked) log(x, density, scatter float64) float64 {
	switch f.Kind {
	case facts.Strays:
		return poisson(x, f.Least, f.Most)
	case facts.FirstStray:
		return density - number.Exp(math.Min(x, 50))
	case facts.ReachedA:
		return logPart((x - f.logMM) / scatter)
	case facts.ShortOfA:
		return logPart((f.logMM - x) / scatter)
	}
	z := (f.logMM - x) / scatter
	return float64(-0.5*float64(z*z)) - halfLog2Pi - number.Log(float64(scatter*f.MM))
}

// logPart is the logarithm of the normal probability below z.
func logPart(z float64) float64 {
	if z < -37 { // Erfc ends there
		return float64(-0.5*float64(z*z)) - halfLog2Pi - number.Log(-z)
	}
	return number.Log(float64(0.5 * number.Erfc(-z/math.Sqrt2)))
}

// poisson is the logarithm of the chance of least to most strays where e^x are expected.
func poisson(x float64, least, most int) float64 {
	x = math.Min(x, 50)
	mean := number.Exp(x)
	switch {
	case most == 0:
		return -mean
	case least == most && most <= mostCount:
		return float64(float64(least)*x) - mean - logFactorial(least)
	case most > mostCount && least <= 1:
		if mean < 1e-5 {
			return float64(float64(least) * (x - float64(0.5*mean)))
		}
		return number.Log(1 - float64(float64(least)*number.Exp(-mean)))
	}
	return number.Log(within(x, mean, least, most))
}

// within is the chance of least to most, from the side on which it is small.
func within(x, mean float64, least, most int) (sum float64) {
	if least = min(least, mostCount+1); most > mostCount && mean > float64(least) {
		for n := range least {
			sum += number.Exp(float64(float64(n)*x) - mean - logFactorial(n))
		}
		return math.Max(0, 1-sum)
	}
	if most > mostCount {
		most = 3 * mostCount // mean is below 26: more are none
	}
	term := number.Exp(math.Max(-740, float64(float64(least)*x)-mean-logFactorial(least)))
	for n := least; n <= most; n++ {
		sum += term
		term = float64(term*mean) / float64(n+1)
	}
	return sum
}

// logFactorial is ln n!.
func logFactorial(n int) (log float64) {
	product := 1.0
	for i := 2; i <= n; i++ {
		product *= float64(i) // below 1e26
	}
	return number.Log(product)
}
