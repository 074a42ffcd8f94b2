package sample

import (
	"math"
	"testing"

	"onegrain/sim/draw"
	"onegrain/sim/number"
)

// normal is the density of independent normals, with integral e^log.
func normal(mean, sd []float64, log float64) Density {
	return func(x []float64) float64 {
		y := log
		for i := range x {
			z := (x[i] - mean[i]) / sd[i]
			y -= 0.5*z*z + math.Log(sd[i]*math.Sqrt(2*math.Pi))
		}
		return y
	}
}

// bent is a density along a bent ridge, with integral e^log and known moments.
func bent(by, log float64) Density {
	n := normal([]float64{0, 0, 1}, []float64{1, 0.3, 0.2}, log)
	return func(x []float64) float64 { return n([]float64{x[0], x[1] - by*(x[0]*x[0]-1), x[2]}) }
}

func TestDrawFindsIntegralAndMoments(t *testing.T) {
	for _, c := range []struct {
		name string
		f    Density
		sd   []float64
	}{
		{"normal", normal([]float64{1, -2, 0.5}, []float64{0.9, 0.05, 0.4}, -7), []float64{0.9, 0.05, 0.4}},
		{"bent", bent(0.2, -7), []float64{1, math.Sqrt(0.09 + 0.08), 0.2}},
	} {
		p := Draw(c.f, []float64{0, 0, 0}, 3000, draw.NewKey("points"), 2)
		if p.Chain || p.ParetoK > 0.6 || p.Effective < 1000 || math.Abs(p.LogEvidence+7) > 0.05 {
			t.Errorf("%s: k %.2f, worth %.0f, evidence %.3f", c.name, p.ParetoK, p.Effective, p.LogEvidence)
		}
		for j, sd := range c.sd {
			mean, square := 0.0, 0.0
			for i, x := range p.X {
				mean += p.Weight[i] * x[j]
				square += p.Weight[i] * x[j] * x[j]
			}
			if got := math.Sqrt(square - mean*mean); math.Abs(got/sd-1) > 0.08 {
				t.Errorf("%s: deviation %d is %.3f, wanted %.3f", c.name, j, got, sd)
			}
		}
		q := Draw(c.f, []float64{0, 0, 0}, 3000, draw.NewKey("points"), 1)
		for i, w := range p.Weight {
			if q.Weight[i] != w {
				t.Fatalf("%s: workers change the weights", c.name)
			}
		}
	}
}

// TestParetoKnowsItsTail: weights of a known tail x^(−1/k). Canary: the tail of another k.
func TestParetoKnowsItsTail(t *testing.T) {
	for _, k := range []float64{0.2, 0.5, 0.8} {
		sum := 0.0
		for set := range 10 {
			dice, log := draw.NewKey("tail").Stream(string(rune('a'+set))), make([]float64, 20000)
			for i := range log {
				log[i] = -k * number.Log(1-dice.Uniform())
			}
			sum += smooth(log) / 10
		}
		// the estimate is drawn towards 0.5 by 10 of its 425 values
		if want := (425*k + 5) / 435; math.Abs(sum-want) > 0.05 || math.Abs(sum-(k+0.3)) < 0.05 {
			t.Errorf("tail of k = %v: %.3f, wanted %.3f", k, sum, want)
		}
	}
}

// TestParetoOfFew: a few values of an exponential distribution, whose k is 0, are drawn towards 0.5
// by ten values' worth.
func TestParetoOfFew(t *testing.T) {
	x := make([]float64, 30)
	for i := range x {
		x[i] = -math.Log(1 - (float64(i)+0.5)/30)
	}
	if k, sigma := pareto(x); math.Abs(k-0.125) > 0.06 || math.Abs(sigma-1) > 0.15 {
		t.Errorf("k %.3f, sigma %.3f, wanted 0.125 and 1", k, sigma)
	}
}

// TestChain: chains find the integral and the moments of what points cannot, and points say so.
func TestChain(t *testing.T) {
	f := bent(0.7, 3)
	p := f.walk((&climbed{[]float64{0, -1, 1}, 0, identity(3)}).proposal(), draw.NewKey("chain"), 2)
	if p.Mixed >= 1.01 || p.Effective < 400 || math.Abs(p.LogEvidence-3) > 0.1 {
		t.Errorf("split R̂ %.3f, worth %.0f, evidence %.3f", p.Mixed, p.Effective, p.LogEvidence)
	}
	square, third := 0.0, 0.0
	for i, x := range p.X {
		square += p.Weight[i] * x[0] * x[0]
		third += p.Weight[i] * x[2]
	}
	if math.Abs(square-1) > 0.15 || math.Abs(third-1) > 0.03 {
		t.Errorf("mean square %.3f, mean %.3f, wanted 1 and 1", square, third)
	}
}

func identity(n int) matrix {
	m := newMatrix(n)
	for i := range m {
		m[i][i] = 1
	}
	return m
}

func TestRound4(t *testing.T) {
	for x, want := range map[float64]float64{1.23456: 1.235, -98765432: -98770000, 1.00004e-9: 1.000e-9, 0: 0, 5: 5} {
		if got := round4(x); math.Abs(got-want) > 1e-12*math.Abs(want) {
			t.Errorf("%v: %v", x, got)
		}
	}
}
