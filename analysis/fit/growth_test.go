package fit

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"onegrain/analysis/logbook"
	"onegrain/analysis/tally"
)

// Stage is short for tests.
type Stage = logbook.Stage

func stage(from, to, hours float64) Stage { return Stage{FromK: from, ToK: to, Hours: hours} }

// ramped is the grown length of the law k = 1 mm/h in closed form: ∫ (ΔT/10)^n dt of a straight
// piece, written apart from the engine's.
func ramped(s Stage, n float64) float64 {
	a, b := math.Max(0, s.FromK)/10, math.Max(0, s.ToK)/10
	if a == b {
		return s.Hours * math.Pow(a, n)
	}
	return s.Hours * (math.Pow(b, n+1) - math.Pow(a, n+1)) / ((n + 1) * (b - a))
}

func grown(s Stage, mm float64) logbook.Length {
	return logbook.Length{Face: "a", Stage: s, GrownMM: mm}
}

func grownBy(k, n float64, stages ...Stage) (runs []logbook.Length) {
	for _, s := range stages {
		runs = append(runs, grown(s, k*ramped(s, n)))
	}
	return runs
}

func held(hours float64, undercoolings ...float64) (s []Stage) {
	for _, u := range undercoolings {
		s = append(s, stage(u, u, hours))
	}
	return s
}

// Lengths without error must give the law back, whether stages were held or cooled: the closed form
// for the rate, Gauss and Newton for the exponent. 1e-9 is a thousand times the rounding of
// logarithms of lengths, whose derivative is taken over 2e-3. Canary: the law of another exponent.
func TestExactLengthsGiveTheLawBack(t *testing.T) {
	stages := append(held(20, 6, 10, 14, 22), stage(8, 20, 30), stage(20, 8, 12), stage(0, 15, 40))
	for _, want := range [][2]float64{{0.134, 1.9}, {0.201, 1.3}, {3, 0.4}, {1e-4, 5}} {
		try := func(k, n float64) bool {
			f, err := Growth(grownBy(want[0], want[1], stages...), ramped, math.NaN())
			if err != nil {
				t.Fatal(err)
			}
			return math.Abs(float64(f.Rate.Value)/k-1) < 1e-9 && math.Abs(float64(f.Exponent.Value)-n) < 1e-9
		}
		if !try(want[0], want[1]) {
			t.Errorf("the law %v does not come back", want)
		}
		if try(want[0], want[1]+1e-6) {
			t.Error("the canary passes: another exponent is found as well")
		}
	}
	f, err := Growth(grownBy(0.134, 1.9, stages...), ramped, 1.9)
	if err != nil || math.Abs(float64(f.Rate.Value)/0.134-1) > 1e-12 {
		t.Errorf("with a given exponent: %v, %v", f, err)
	}
}

// Held stages are a straight line in logarithms. These numbers were worked out by hand from the
// formulas of simple regression (Draper and Smith, Applied Regression Analysis, ch. 1): x =
// ln(ΔT/10) of 5, 10, 20 K, so x = −L, 0, L with L = ln 2; y = ln(0.1), ln(0.3), ln(0.4) for 1 h.
// Slope (y3 − y1)/2L = 1; mean of y = ln(0.012)/3; residuals −d/2·(1, −2, 1)… with t(1 df) =
// 12.7062.
func TestIntervalsOfHeldStages(t *testing.T) {
	runs := []logbook.Length{grown(stage(5, 5, 1), 0.1), grown(stage(10, 10, 1), 0.3), grown(stage(20, 20, 1), 0.4)}
	f, err := Growth(runs, ramped, math.NaN())
	if err != nil {
		t.Fatal(err)
	}
	meanY := math.Log(0.012) / 3
	miss := math.Log(0.3) - meanY // of the middle; the other two are −miss/2
	s := math.Sqrt(1.5 * miss * miss)
	const t1 = 12.706204736
	wantRate := t1 * s / math.Sqrt(3)
	near := func(got tally.Real, want float64) bool { return math.Abs(float64(got)-want) < 1e-6*math.Abs(want) }
	if !near(f.Exponent.Value, 1) || !near(f.Rate.Value, math.Exp(meanY)) ||
		!near(f.Rate.Low, math.Exp(meanY-wantRate)) || !near(f.Rate.High, math.Exp(meanY+wantRate)) {
		t.Errorf("exponent %v, rate %+v, want %v to %v", f.Exponent, f.Rate, math.Exp(meanY-wantRate),
			math.Exp(meanY+wantRate))
	}
	if f.Exponent.Low.Known() || near(f.Rate.High, math.Exp(meanY+0.9*wantRate)) {
		t.Errorf("exponent %+v (its low end lies below 0 and is open)", f.Exponent)
	}
}

// 95 of 100 intervals hold the truth. For held stages they are exact, so over 6,000 data sets of
// seven runs the share scatters by 0.28 % about 95 %; three of these are allowed, to both sides.
// Where stages were cooled the profile is not exact, but ln of a length is nearly straight in the
// exponent: over 2,000 sets of six the share scatters by 0.49 %, and three of these must do as
// well. Canaries: intervals narrower by 10 % (they hold the truth in 93.1 % by Student's
// distribution with five degrees of freedom) and a law whose exponent is not the one of the data.
func TestCoverageOfGrowth(t *testing.T) {
	coverage(t, "held", 6000, held(20, 5, 7, 9, 12, 12, 16, 20))
	coverage(t, "cooled", 2000, []Stage{stage(2, 12, 30), stage(0, 20, 40), stage(8, 16, 20), stage(20, 10, 12),
		stage(5, 9, 30), stage(12, 24, 10)})
}

func coverage(t *testing.T, kind string, sets int, stages []Stage) {
	const rate, exponent, scatter = 0.134, 1.9, 0.08
	r := rand.New(rand.NewPCG(1, 2))
	clean := grownBy(rate, exponent, stages...)
	hold := map[string]int{}
	inside := func(what string, e Estimate, truth, narrower float64, log bool) {
		v, low, high := float64(e.Value), float64(e.Low), float64(e.High)
		if log {
			v, low, high, truth = math.Log(v), math.Log(low), math.Log(high), math.Log(truth)
		}
		if truth >= v+narrower*(low-v) && truth <= v+narrower*(high-v) {
			hold[what]++
		}
	}
	for range sets {
		runs := make([]logbook.Length, len(clean))
		for i, c := range clean {
			runs[i] = c
			runs[i].GrownMM *= math.Exp(scatter * r.NormFloat64())
		}
		f, err := Growth(runs, ramped, math.NaN())
		if err != nil {
			t.Fatal(err)
		}
		inside("exponent", f.Exponent, exponent, 1, false)
		inside("rate", f.Rate, rate, 1, true)
		inside("middle", f.Middle, rate*math.Pow(f.MiddleK/10, exponent), 1, true)
		inside("canary: other law", f.Exponent, exponent+0.2, 1, false)
		if sets > 5000 { // fewer cannot tell
			inside("canary: narrower exponent", f.Exponent, exponent, 0.9, false)
			inside("canary: narrower rate", f.Rate, rate, 0.9, true)
		}
	}
	margin := 3 * math.Sqrt(0.95*0.05/float64(sets))
	for what, n := range hold {
		share := float64(n) / float64(sets)
		t.Logf("%s: %s: %.2f %%", kind, what, 100*share)
		if right := math.Abs(share-0.95) <= margin; right == strings.HasPrefix(what, "canary") {
			t.Errorf("%s: %s: %.2f %% of the intervals hold the truth", kind, what, 100*share)
		}
	}
}

// What the data do not tell is said in words.
func TestDoubtsAboutGrowth(t *testing.T) {
	law := func(scale []float64, stages ...Stage) []logbook.Length {
		runs := grownBy(0.134, 1.9, stages...)
		for i := range runs {
			runs[i].Number = 2 + i
			runs[i].GrownMM *= scale[i]
		}
		return runs
	}
	some := []float64{1.02, 0.99, 1.01, 0.98, 1.015, 0.985, 1.01, 0.99}
	wide := held(20, 6, 8, 10, 12, 14, 16, 18, 20)
	late := law(some, stage(6, 6, 5), stage(8, 8, 40), stage(10, 10, 5), stage(12, 12, 40), stage(14, 14, 5),
		stage(16, 16, 40), stage(18, 18, 5), stage(20, 20, 40))
	for i := range late {
		late[i].GrownMM *= 1 - 1.5/late[i].Stage.Hours
	}
	off := law(some, wide...)
	off[3].GrownMM *= 1.6
	bent := law(some, held(20, 6, 6, 10, 10, 14, 14, 22, 22)...)
	for i := range bent {
		if bent[i].Stage.FromK == 22 {
			bent[i].GrownMM *= 0.6
		}
	}
	for _, c := range []struct {
		what string
		runs []logbook.Length
		want string // empty: no warning
	}{
		{"clean", law(some, wide...), ""},
		{"outlier", off, "line 5 lies"},
		{"late", late, "as if growth began about 1."},
		{"bent", bent, "further from the law than repeats"},
		{"two runs", law(some, held(20, 6, 12)...), "two runs for two constants"},
		{"alone", law(some, held(20, 12, 12, 12, 12, 12, 20)...), "depends almost only on line 7"},
		{"far", law(some, held(20, 12, 14, 16, 18)...), "10 K lies outside of the data (12 to 18 K)"},
		{"falling", []logbook.Length{grown(stage(8, 8, 1), 2), grown(stage(12, 12, 1), 1), grown(stage(16, 16, 1), 0.5)},
			"end of the range"},
		{"open", []logbook.Length{grown(stage(9, 9, 1), 1), grown(stage(10, 10, 1), 1.3), grown(stage(11, 11, 1), 1.1)},
			"open towards both sides"},
	} {
		f, err := Growth(c.runs, ramped, math.NaN())
		if err != nil {
			t.Fatal(c.what, err)
		}
		said := strings.Join(f.Warnings, "\n")
		if c.want == "" && said != "" || !strings.Contains(said, c.want) {
			t.Errorf("%s: warnings %q, want %q", c.what, said, c.want)
		}
	}
	var u *Undecided
	if _, err := Growth(law(some, held(20, 12, 12, 12)...), ramped, math.NaN()); !errors.As(err, &u) ||
		!strings.Contains(u.Missing, "runs near 7.2 K or near 18 K are missing") {
		t.Errorf("one undercooling: %v", err)
	}
	if f, err := Growth(law(some, held(20, 12, 12, 12)...), ramped, 1.9); err != nil || f.Freedom != 2 ||
		f.Exponent.Low.Known() {
		t.Errorf("one undercooling, exponent given: %+v, %v", f, err)
	}
	if _, err := Growth(law(some, stage(-5, -1, 3)), ramped, 1.9); err == nil {
		t.Error("growth without undercooling passes")
	}
	if _, err := Growth(grownBy(2000, 1.9, held(20, 6, 12, 18)...), ramped, math.NaN()); err == nil ||
		!strings.Contains(err.Error(), "in the right columns") {
		t.Errorf("a rate that no study takes: %v", err)
	}
	if _, err := Growth(nil, ramped, 1.9); !errors.As(err, &u) {
		t.Errorf("no run: %v", err)
	}
}

// What README.md and the help say of how often it is noticed that lengths are 12 % short, by a
// start 1.3 h late in all of eight runs of 6 to 24 h or in one run alone. The share of 300 books
// scatters by 3 %; three times that is allowed. Canary: the share at the other scatter of a run.
func TestHowOftenLateGrowthIsNoticed(t *testing.T) {
	noticed := func(scatter float64, all bool) (share float64) {
		r := rand.New(rand.NewPCG(1, 2))
		for range 300 {
			var runs []logbook.Length
			for i, hours := range []float64{6, 9.5, 15, 24, 6, 9.5, 15, 24} {
				s := stage(8+2*float64(i*5%8), 8+2*float64(i*5%8), hours)
				mm := 0.134 * ramped(s, 1.9) * math.Exp(scatter*r.NormFloat64())
				switch {
				case all:
					mm *= 1 - 1.32/hours
				case i == 3:
					mm *= 0.88
				}
				runs = append(runs, grown(s, mm))
			}
			f, err := Growth(runs, ramped, math.NaN())
			if err != nil {
				t.Fatal(err)
			}
			if said := strings.Join(f.Warnings, "\n"); strings.Contains(said, "began about") || strings.Contains(said,
				"off the law") {
				share += 1.0 / 300
			}
		}
		return share
	}
	for _, c := range []struct {
		all          bool
		quiet, noisy float64
	}{{true, 0.91, 0.47}, {false, 0.31, 0.08}} {
		quiet, noisy := noticed(0.03, c.all), noticed(0.05, c.all)
		t.Logf("all %v: noticed %.3f at 3 %%, %.3f at 5 %%", c.all, quiet, noisy)
		if math.Abs(quiet-c.quiet) > 0.09 || math.Abs(noisy-c.noisy) > 0.09 {
			t.Errorf("all %v: noticed %.3f at 3 %%, %.3f at 5 %%", c.all, quiet, noisy)
		}
		if math.Abs(quiet-c.noisy) <= 0.09 {
			t.Error("the canary passes")
		}
	}
}
