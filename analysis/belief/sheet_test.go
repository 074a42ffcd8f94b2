package belief

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"math"
	"slices"
	"testing"

	"onegrain/analysis/belief/likelihood"
	"onegrain/analysis/belief/sample"
	"onegrain/sim/draw"
	"onegrain/studies/disk/trial"
	"onegrain/studies/draws"
)

// of are the laws of a family; "" is any.
func of(laws []draws.Law, family string) []draws.Law {
	return slices.DeleteFunc(slices.Clone(laws), func(l draws.Law) bool { return family != "" && l.Family != family })
}

// band are mean and the ends of what 90 in 100 lie within.
func band(x []float64) (mean, low, high float64) {
	x = slices.Clone(x)
	slices.Sort(x)
	for _, y := range x {
		mean += y / float64(len(x))
	}
	return mean, x[len(x)/20], x[len(x)-1-len(x)/20]
}

// TestEightRuns: the sheet of eight runs in the puck, against what two other programs found with
// other samplers, at a fixed law of c faces. Canary: the other family's numbers.
func TestEightRuns(t *testing.T) {
	b := puck(t)
	p, err := Learn(eight(t), b, Options{Key: "eight"})
	if err != nil {
		t.Fatal(err)
	}
	if p.ParetoK > 0.6 || p.Effective < 1000 || math.Abs(p.Families[0].Share-0.315) > 0.03 {
		t.Errorf("k %.2f, worth %.0f, share of a barrier %.3f", p.ParetoK, p.Effective, p.Families[0].Share)
	}
	if len(p.Laws) != 1000 || p.LowestK != 8 || p.HighestK != 24 || p.Strays != 13 || p.WithStrays != 4 ||
		p.LowestStrayK != 12 || p.HighestStrayK != 24 {
		t.Errorf("%d laws, %+v", len(p.Laws), p)
	}
	for _, c := range []struct {
		family                              string
		u, doubles                          [3]float64 // 5, 50, 95 %
		startK, perH, chance, low, high     float64
		chance4, low4, high4, middle, late4 float64
	}{
		{draws.Barrier, [3]float64{19.16, 20.08, 20.76}, [3]float64{0.30, 0.38, 0.52}, 16, 0.2, 0.895, 0.70, 0.985,
			0.931, 0.835, 0.984, 0.92, 0.94},
		{draws.Sites, [3]float64{19.54, 20.69, 21.52}, [3]float64{0.51, 0.75, 1.12}, 16, 0.2, 0.681, 0.38, 0.91,
			0.715, 0.465, 0.90, 0.70, 0.73},
		{"", [3]float64{}, [3]float64{}, 16, 0.2, 0.747, 0.41, 0.97, 0.781, 0.50, 0.97, 0, 0},
	} {
		laws := of(p.Laws, c.family)
		mean, low, high := band(chances(laws, b, from(16, 30, 70)))
		mean4, low4, high4 := band(chances(laws, b, from(4, 30, 65)))
		t.Logf("%-7s 16 K: %.3f (%.3f to %.3f), 4 K: %.3f (%.3f to %.3f)", c.family, mean, low, high, mean4, low4, high4)
		for _, pair := range [][3]float64{{mean, c.chance, 0.015}, {low, c.low, 0.05}, {high, c.high, 0.02},
			{mean4, c.chance4, 0.015}, {low4, c.low4, 0.05}, {high4, c.high4, 0.02}} {
			if math.Abs(pair[0]-pair[1]) > pair[2] {
				t.Errorf("%q: %.3f, wanted %.3f ± %.3f", c.family, pair[0], pair[1], pair[2])
			}
		}
	}
}

// TestChainAgrees: for each unknown of both families the points of the sheet lie as chains of
// Metropolis do, which know nothing of weights: 5, 50 and 95 % within a quarter of a deviation.
func TestChainAgrees(t *testing.T) {
	if trial.Amount(0, 1, 1) == 0 {
		t.Skip("tens of seconds: with ONEGRAIN_RELIABILITY=ci or long")
	}
	b, runs := puck(t), eight(t)
	s := &study{Options: Options{Priors: Priors(), Key: "chain", Furnaces: 1, Workers: 2}, body: b}
	for i := range runs {
		s.runs = append(s.runs, likelihood.New(&runs[i], b.Table))
	}
	for _, family := range []string{draws.Barrier, draws.Sites} {
		l := points(t, runs, b, family, Priors(), pointCount)
		chain := learnt{l.unknowns, sample.Walk(s.density(l.unknowns, s.runs), l.Points, draw.NewKey(family), 2)}
		off := 0.0
		for key, at := range l.at {
			if at == len(l.priors) {
				continue // a furnace that is not there
			}
			mean, square := 0.0, 0.0
			for i, x := range chain.X {
				mean += chain.Weight[i] * x[at]
				square += chain.Weight[i] * x[at] * x[at]
			}
			sd := math.Sqrt(square - mean*mean)
			for _, part := range []float64{0.05, 0.5, 0.95} {
				p := l.priors[at]
				d := (p.straight(l.quantile(key, part)) - p.straight(chain.quantile(key, part))) / p.SD / sd
				if off = math.Max(off, math.Abs(d)); math.Abs(d) > 0.25 {
					t.Errorf("%s, %s: %v %% is %.2f deviations off", family, key, 100*part, d)
				}
			}
		}
		t.Logf("%s: %.3f deviations off at most, evidence %.3f, of the chain %.3f, which is worth %.0f", family, off,
			l.LogEvidence, chain.LogEvidence, chain.Effective)
		if math.Abs(l.LogEvidence-chain.LogEvidence) > 0.1 || chain.Mixed >= 1.01 {
			t.Errorf("%s: evidence %.3f, of the chain %.3f, split R̂ %.3f", family, l.LogEvidence, chain.LogEvidence,
				chain.Mixed)
		}
	}
}

// TestBits: the draws of the sheet, bit by bit, on any processor.
func TestBits(t *testing.T) {
	p, err := Learn(eight(t)[3:], puck(t), Options{Key: "bits", Draws: 100})
	if err != nil {
		t.Fatal(err)
	}
	h := sha256.New()
	for _, l := range p.Laws {
		for _, x := range []float64{l.RateA, l.ExponentA, l.RateC, l.ExponentC, l.PrefactorPerMM3H, l.BarrierK3,
			l.DensityPerMM3, l.MeanK, l.SpreadK, l.LengthScatter, l.ScatterK} {
			if err := binary.Write(h, binary.LittleEndian, x); err != nil {
				t.Fatal(err)
			}
		}
	}
	if got := fmt.Sprintf("%x", h.Sum(nil)[:8]); got != "f8b987b4d3d4dfcf" {
		t.Errorf("draws are %s", got)
	}
}
