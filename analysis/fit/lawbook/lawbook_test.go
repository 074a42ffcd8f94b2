package lawbook

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"onegrain/analysis/belief"
	"onegrain/studies/draws"
	"onegrain/studies/proof"
)

// What is said of runs that cannot tell: one sentence for each lack, and none where nothing lacks.
func TestNotesSayWhatRunsCannotTell(t *testing.T) {
	exact, guess := &proof.Body{OffBy: math.NaN()}, &proof.Body{OffBy: 0.0123, Scattered: true}
	barrier := []belief.Family{{Name: draws.Barrier}}
	chain := []belief.Family{{Name: draws.Sites, Chain: true, Mixed: 1.004}}
	for _, c := range []struct {
		p       belief.Posterior
		body    *proof.Body
		looked  int
		crowded bool
		priors  []string
		want    []string
	}{
		{belief.Posterior{Runs: 8, WithStrays: 4, Families: barrier}, exact, 8, false, nil, nil},
		{belief.Posterior{Runs: 0}, exact, 0, false, nil, nil},
		{belief.Posterior{Runs: 2}, exact, 0, false, nil, []string{"no run says anything about strays: where they begin is"}},
		{belief.Posterior{Runs: 20, HighestK: 17.8}, exact, 20, false, nil,
			[]string{"no stray in 20 runs: where strays begin is known from the prior alone above 17.8 K"}},
		{belief.Posterior{Runs: 3, WithStrays: 2, LowestStrayK: 19}, exact, 2, true, nil,
			[]string{"make one run that stays shallower than 19 K", "more than 25 strays count as 26 or more"}},
		{belief.Posterior{Runs: 1, WithStrays: 0, HighestK: 12}, guess, 1, false, []string{"barrier=12,2"},
			[]string{"priors that were given: barrier=12,2", "no stray in 1 run: ", "one run: nearly all",
				"misses the strays of a full run by 1.2 %", "without their scatter of placing"}},
		{belief.Posterior{Runs: 5, WithStrays: 1, Families: chain}, exact, 4, false, nil,
			[]string{"strays at sites: weights did not settle, so a chain took their place (split R̂ 1.004)"}},
	} {
		q := &Question{Priors: c.priors, body: c.body}
		q.Body = "mine.toml"
		got := q.notes(&c.p, c.looked, c.crowded)
		if len(got) != len(c.want) {
			t.Errorf("%q, wanted %q", got, c.want)
			continue
		}
		for i, want := range c.want {
			if !strings.Contains(got[i], want) {
				t.Errorf("%q, wanted %q", got[i], want)
			}
		}
	}
}

func TestWhatIsSaidOfFamilies(t *testing.T) {
	both := func(share float64, apart *belief.Pair) *belief.Posterior {
		return &belief.Posterior{Families: []belief.Family{{Name: draws.Barrier, Share: share},
			{Name: draws.Sites, Share: 1 - share}}, Apart: apart}
	}
	for _, c := range []struct {
		p    *belief.Posterior
		want string
	}{
		{both(0.97, &belief.Pair{UndercoolingK: 20}),
			"strays as a rate (barrier) 97 in 100, at sites 3 in 100: these runs tell which"},
		{both(0.315, nil), "strays as a rate (barrier) 32 in 100, at sites 68 in 100: these runs do not tell which."},
		{both(0.5, &belief.Pair{UndercoolingK: 20.5, ShortH: 5, LongH: 25, Bits: 0.6}),
			"do not tell which. Two holds at 20.5 K, 5 h and 25 h long, would best."},
		{both(0.5, &belief.Pair{UndercoolingK: 20, ShortH: 1, LongH: 25, Bits: 0.1}), "would best, though hardly."},
		{&belief.Posterior{Families: []belief.Family{{Name: draws.Sites, Share: 1}}}, "strays at sites alone was looked at"},
	} {
		if got := families(c.p); !strings.HasSuffix(got, c.want) {
			t.Errorf("%q, wanted %q", got, c.want)
		}
	}
}

// A row that had hardly a chance is named; one that had none makes the laws wrong. One in twenty is
// no drift.
func TestWhatWasNotForeseen(t *testing.T) {
	rows := func(chances ...float64) (all []belief.Foreseen) {
		for i, c := range chances {
			all = append(all, belief.Foreseen{Run: string(rune('A' + i)), Line: i + 2, Chance: c})
		}
		return all
	}
	const unseen = "not foreseen by the laws of the runs before: "
	for _, c := range []struct {
		all  []belief.Foreseen
		want string
	}{
		{nil, ""},
		{rows(0.3, 0.06, 1), "all runs were as foreseen by the laws of the runs before them"},
		{rows(0.3, 0.02, 1, 0.5), unseen + "line 3 (B) had a chance of 0.02; of 4 one in 20 is, by chance"},
		{rows(0.01, 0.02, 1, 0.5), unseen + "line 2 (A) had a chance of 0.01; line 3 (B) had a chance of 0.02: " +
			"has the furnace drifted, or the powder changed?"},
		{rows(1, 1e-6, 1, 0.5), unseen + "line 3 (B) had a chance of 1e-06: has the furnace drifted, or the powder changed?"},
	} {
		if got := foreseen(c.all); got != c.want {
			t.Errorf("%q, wanted %q", got, c.want)
		}
	}
	if n := unlikely(rows(0.3, 2e-5, 2e-4), never); len(n) != 1 || !strings.HasPrefix(n[0], "line 3 (B)") {
		t.Errorf("%q", n)
	}
}

// The page of two furnaces, line by line; of a second furnace the offset has its name.
func TestThePageOfTwoFurnaces(t *testing.T) {
	q := &Question{Family: "both", body: &proof.Body{PeritecticC: 1010}}
	q.File, q.Body = "runs.csv", "mine.toml"
	if err := q.Settle(); err != nil {
		t.Fatal(err)
	}
	p := &belief.Posterior{Runs: 9, WithStrays: 2, Strays: 5, LowestK: 8, HighestK: 24, LowestStrayK: 20,
		HighestStrayK: 24,
		Families:      []belief.Family{{Name: draws.Barrier, Share: 0.5}, {Name: draws.Sites, Share: 0.5}}, ParetoK: 0.4,
		Effective: 900, Quantities: []belief.Quantity{
			{Key: "rate_a_mm_per_h", Text: "a faces at 10 K", Unit: "mm/h", Low: 0.126, Middle: 0.1341, High: 0.143,
				Share: 0.99, By: "the logbook"},
			{Key: "stray_a_day_K", Text: "one stray a day in 4000 mm³ at", Unit: "K", Low: 19.2, Middle: 20.1, High: 20.8,
				Share: 0.97,
				By:    "the logbook"},
			{Key: "furnace_offset_K", Text: "another", Unit: "K", Low: -1.5, Middle: 0.5, High: 2.5, Share: 0.6, By: "both"}},
		Foreseen: []belief.Foreseen{{Run: "F1", Line: 2, Chance: 1e-6}}}
	f := &draws.File{Laws: make([]draws.Law, 1000), Furnaces: []string{"north", "hall 2"}, PeritecticC: 1010, ParetoK: 0.4,
		Effective: 900, Priors: q.priorText()}
	a := q.answer(p, f, []string{"a note"})
	var b bytes.Buffer
	if err := a.Print(&b); err != nil {
		t.Fatal(err)
	}
	for _, line := range []string{
		"9 runs, 2 furnaces (north, hall 2), 8 to 24 K (1002 to 986 °C); strays in 2 of them, 5 in all\n",
		"\na faces at 10 K, mm/h                            0.134  0.126–0.143              the logbook\n",
		"\none stray a day in 4000 mm³ at, K                 20.1  19.2–20.8         989.9  the logbook\n",
		"\nhall 2: colder than it reads, against north, K     0.5  -1.5 to 2.5              both\n",
		"\nanother furnace than this, K                       0.0  -2.3 to 2.3              prior alone\n",
	} {
		if !strings.Contains(b.String(), line) {
			t.Errorf("no line %q in\n%s", line, b.String())
		}
	}
	if a.Wrong == nil || !strings.HasPrefix(a.Wrong.Error(), "runs.csv: rows contradict each other: ") ||
		len(a.JSON.Priors) != 11 || a.JSON.Unknowns[1].MiddleC == nil || *a.JSON.HighestStrayK != 24 {
		t.Errorf("%v, %+v", a.Wrong, a.JSON)
	}
	if got := a.Saved("m.parquet"); !strings.HasPrefix(got, "m.parquet: 1000 laws (Pareto k 0.40, worth 900 "+
		"independent ones)") {
		t.Error(got)
	}
}

func TestAsManyDigitsAsTellABandApart(t *testing.T) {
	for band, want := range map[[2]float64]int{{0.126, 0.143}: 3, {1.79, 2}: 2, {19.2, 20.8}: 1, {13, 27}: 0,
		{0.31, 0.67}: 2,
		{5, 5}:       2, {-2.3, 2.3}: 1, {0, 1e-9}: 6} {
		if got := decimals(band[0], band[1]); got != want {
			t.Errorf("%v: %d, wanted %d", band, got, want)
		}
	}
}

// A prior that is given takes the place of its own: 90 of 100 lie within what was asked for.
func TestPriorsThatAreGiven(t *testing.T) {
	q := &Question{Family: "both", Priors: []string{"barrier=12,2", "exponent_a=1.9,0.2"}}
	q.Body = "mine.toml"
	if err := q.Settle(); err != nil {
		t.Fatal(err)
	}
	text := q.priorText()
	if !strings.Contains(text, "barrier: barrier / (T ΔT²) there: 12, 90 of 100 in 6 to 24; ") ||
		!strings.Contains(text, "exponent_a: exponent: 1.9, 90 of 100 in 1.7 to 2.1; ") {
		t.Error(text)
	}
	if all := Priors(); strings.Count(all, "\n") != 10 || !strings.Contains(all,
		"  barrier                     20 ×÷ 2.3  ") {
		t.Error(all)
	}
}
