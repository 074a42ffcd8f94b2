package run

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"

	"onegrain/studies/again"
	"onegrain/studies/disk/trial"
)

// twoSeeds is a study of two seeds placed with scatter, whose grains join within 5° in about half
// of the placings, on a body of awkward size.
func twoSeeds(r *rand.Rand, replicates int) string {
	body := []string{
		"shape = \"block\"\nplane = \"ab\"\nsize_mm = [8.3, 5.9]",
		"shape = \"disc\"\nplane = \"ab\"\ndiameter_mm = 8.1",
		"shape = \"ring\"\nplane = \"ab\"\nouter_diameter_mm = 8.9\ninner_diameter_mm = 2.6",
		"shape = \"disc\"\ndiameter_mm = 7.3\nheight_mm = 1.7"}[r.IntN(4)]
	law := fmt.Sprintf("prefactor_per_mm2_h = %.3g", 3e3*(1+r.Float64()))
	if strings.Contains(body, "height") {
		law = strings.Replace(law, "mm2", "mm3", 1)
	}
	return fmt.Sprintf(`
[random]
seed = %d
replicates = %d
pairing = "independent"
[material]
base = "Y123, air"
[body]
cell_mm = 0.4
%s
[[seed_array]]
kind = "row"
count = 2
pitch_mm = [%.2f, 0]
size_mm = [1.6, 1.6]
turn_sd_deg = %.2f
[schedule]
[[schedule.stage]]
to_C = 1045
rate_K_per_h = 100
[[schedule.stage]]
to_undercooling_K = 8
rate_K_per_h = 60
[[schedule.stage]]
to_undercooling_K = 35
rate_K_per_h = %.2f
[nucleation.melt]
law = "barrier"
%s
barrier_K3 = 4.5e6
`, r.IntN(1e6), replicates, body, 4.6+0.6*r.Float64(), 2.5+3*r.Float64(), 0.4+0.4*r.Float64(), law)
}

// exactOf runs a study of one case and gives what its row says.
func exactOf(t *testing.T, text string, oddsOnly bool) (o again.Odds, hits, runs float64) {
	t.Helper()
	s := load(t, text)
	f := folder(t, t.TempDir(), s)
	run(t, &Runner{Study: s, Folder: f, Workers: 2, OddsOnly: oddsOnly})
	cases, err := f.Table("cases")
	if err != nil {
		t.Fatal(err)
	}
	hits, runs = number(cases, 0, "single_grain_fraction"), float64(cases.Value(0, "runs").(int64))
	return finishedIn(cases, 0).Odds, math.Round(hits * runs), runs
}

// TestCountsAgreeWithOddsUnderPlacingScatter: 20 studies, independent replicates, two chi-squared
// of 20 degrees of freedom. Of the same placings the hits are Bernoulli trials of unlike chances:
// their number has the variance Σ p(1−p) = n p̄(1−p̄) − n(n−1)·se². Of other placings, drawn with
// another seed, the error of the exact mean adds to the binomial one of the count. Either may fall
// below its 1e-4 quantile, by chance twice in 10,000. Canaries: the odds of the first placing
// alone, and a standard error that is half of what it is.
func TestCountsAgreeWithOddsUnderPlacingScatter(t *testing.T) {
	replicates := trial.Amount(20, 100, 1000)
	r := rand.New(rand.NewPCG(9, 3))
	var same, other, first, half float64
	for range 20 {
		text := twoSeeds(r, replicates)
		o, hits, n := exactOf(t, text, false)
		if int(n) != replicates || o.Placings != replicates {
			t.Fatalf("%v runs, %d placings, wanted %d", n, o.Placings, replicates)
		}
		pull := func(p, variance float64) float64 { return (hits - n*p) * (hits - n*p) / variance }
		same += pull(o.Probability, n*o.Probability*(1-o.Probability)-n*(n-1)*o.Error*o.Error)
		anew, _, _ := exactOf(t, strings.Replace(text, "seed = ", "seed = 1", 1), true)
		mean := (n*o.Probability + float64(anew.Placings)*anew.Probability) / (n + float64(anew.Placings))
		other += pull(anew.Probability, n*mean*(1-mean)+n*n*anew.Error*anew.Error)
		half += pull(anew.Probability, n*n*anew.Error*anew.Error/4)
		s := load(t, text)
		p, err := s.Plan(0)
		if err != nil {
			t.Fatal(err)
		}
		one, err := again.Work(p, 1)
		if err != nil {
			t.Fatal(err)
		}
		first += pull(one.Probability, n*max(0.01, one.Probability*(1-one.Probability)))
		t.Logf("exact %.3f ± %.3f, of other placings %.3f ± %.3f, of one %.3f; counted %.3f",
			o.Probability, o.Error, anew.Probability, anew.Error, one.Probability, hits/n)
	}
	law := distuv.ChiSquared{K: 20}
	if law.Survival(same) < 1e-4 || law.Survival(other) < 1e-4 {
		t.Error("counted shares and exact odds disagree")
	}
	if law.Survival(first) > 1e-9 || law.Survival(half) > 1e-4 {
		t.Errorf("the canaries pass: %.1f with one placing, %.1f with half the error", first, half)
	}
	t.Logf("chi-squared of 20 degrees of freedom: %.1f with the runs' own placings, %.1f with others; "+
		"canaries %.1f and %.1f",
		same, other, first, half)
}

// TestMeanOverPlacingsIsTheLaw: without nuclei two grains that touch are one domain where they are
// turned against one another by 5° or less, so that each placing has the chance 1 or 0. Turns with
// a standard deviation σ each differ by one of √2 σ: the share of placings that join is erf(5/2σ),
// as follows from the normal law. Chi-squared over the cases, to its 1e-4 quantile. Canary:
// erf(5/√2σ), as if one seed lay without scatter.
func TestMeanOverPlacingsIsTheLaw(t *testing.T) {
	text := twoSeeds(rand.New(rand.NewPCG(9, 4)), 64)
	text = text[:strings.Index(text, "[nucleation")] + `[nucleation.melt]
law = "none"
[[vary]]
key = "seed_array.1.turn_sd_deg"
from = 1.5
to = 6
count = 12
`
	s := load(t, text)
	f := folder(t, t.TempDir(), s)
	run(t, &Runner{Study: s, Folder: f, Workers: 2, OddsOnly: true})
	cases, err := f.Table("cases")
	if err != nil {
		t.Fatal(err)
	}
	chi := func(root float64) (sum float64) {
		for r := range cases.Len() {
			o, law := finishedIn(cases, r).Odds, math.Erf(5/(root*cases.Value(r, "turn_sd_deg").(float64)))
			if o.Placings != 64 || math.Abs(o.Error-math.Sqrt(o.Probability*(1-o.Probability)/63)) > 1e-6 {
				t.Errorf("%+v: the error of a mean of ones and zeros over 64 placings is another", o)
			}
			sum += 64 * (o.Probability - law) * (o.Probability - law) / (law * (1 - law))
		}
		return sum
	}
	law := distuv.ChiSquared{K: float64(cases.Len())}
	if x := chi(2); law.Survival(x) < 1e-4 {
		t.Errorf("chi-squared %.1f of %d degrees of freedom", x, cases.Len())
	}
	if x := chi(math.Sqrt2); law.Survival(x) > 1e-4 {
		t.Errorf("the canary passes with chi-squared %.1f", x)
	}
}
