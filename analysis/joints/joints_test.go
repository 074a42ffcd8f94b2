package joints

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"onegrain/analysis/magnet"
	"onegrain/analysis/tally"
)

func collector(t *testing.T, law magnet.Law) *Collector {
	t.Helper()
	b, err := New(law)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// TestPair: two seeds, each turned by a normal angle of 2°, differ by |N(0, 2√2°)|, which stays
// within 5° with the chance erf(5/(2·2)) = 0.9229. Over 4000 runs the interval must hold it; the
// canary is the chance for 2.2°.
func TestPair(t *testing.T) {
	b := collector(t, magnet.Published())
	r := tally.Stream("pair")
	for range 4000 {
		run := b.Run(0, true)
		turn := [2]float64{2 * r.NormFloat64(), 2 * r.NormFloat64()}
		angle := math.Abs(turn[0] - turn[1])
		joined := angle <= 5
		b.Grain(run, true, 60, 1)
		b.Grain(run, true, 40, map[bool]int{true: 1, false: 2}[joined])
		b.Boundary(run, Contact{Grain1: 1, Grain2: 2, AreaMM2: 10, AngleDeg: angle, LowAngle: joined})
	}
	s := b.Scatter()
	holds := func(sd float64) bool {
		p := math.Erf(5 / (2 * sd))
		return float64(s.All.JoinShare.Low) <= p && p <= float64(s.All.JoinShare.High)
	}
	if !holds(2) {
		t.Errorf("joined in %+v, wanted %v", s.All.JoinShare, math.Erf(1.25))
	}
	if holds(2.2) {
		t.Errorf("canary: %+v holds the chance of other scatter", s.All.JoinShare)
	}
	// the median of |N(0, s)| is 0.67449 s; its standard error over 4000 is 1.9 % of s here, so 0.15°
	// is three of them
	if want := 0.67449 * 2 * math.Sqrt2; math.Abs(float64(s.All.WorstDeg.Median)-want) > 0.15 {
		t.Errorf("median %v, wanted %v", s.All.WorstDeg.Median, want)
	}
	if b, most := s.All.WorstDeg.Bins, float64(s.All.WorstDeg.Max); b[19].To != 5*math.Ceil(most/5) || b[0].From != 0 {
		t.Errorf("bins from %v to %v for angles up to %v", b[0].From, b[19].To, most)
	}
	if s.All.Largest.Median != 1 || s.All.Largest.Min != 0.6 || s.All.Runs != 4000 || len(s.Cases) != 1 {
		t.Errorf("%+v", s.All)
	}
	if _, err := json.Marshal(s); err != nil {
		t.Error(err)
	}
}

// TestCurrent: two boundaries of 3 and 1 mm², at 2° and 3 + 5.3·ln 2 degrees, pass all and half of
// the current: (3 + 0.5)/4. The canary is a law with another decay.
func TestCurrent(t *testing.T) {
	of := func(law magnet.Law) float64 {
		b := collector(t, law)
		run := b.Run(0, true)
		b.Watch(run)
		for range 3 {
			b.Grain(run, true, 1, 1)
		}
		b.Boundary(run, Contact{Grain1: 1, Grain2: 2, AreaMM2: 1, AngleDeg: 3 + 5.3*math.Ln2})
		b.Boundary(run, Contact{Grain1: 1, Grain2: 3, AreaMM2: 3, AngleDeg: 2, LowAngle: true})
		out := b.Boundaries()
		if len(out.Watched) != 2 || out.Watched[0].AreaMM2 != 3 || out.Watched[0].Passing != 1 ||
			out.Watched[0].Kind != "seed-seed" {
			t.Errorf("watched %+v", out.Watched)
		}
		if out.Kinds[0].LowAreaMM2 != 3 || out.Kinds[0].Angles[0].AreaMM2 != 3 || out.Kinds[0].Angles[1].Count != 1 {
			t.Errorf("%+v", out.Kinds[0])
		}
		return float64(out.Kinds[0].Passing)
	}
	if got := of(magnet.Published()); math.Abs(got-0.875) > 1e-12 {
		t.Errorf("passes %v", got)
	}
	if got := of(magnet.Law{ThresholdDeg: 3, DecayDeg: 4}); math.Abs(got-0.875) < 1e-3 {
		t.Errorf("canary: another law passes as much")
	}
}

func TestKinds(t *testing.T) {
	b := collector(t, magnet.Published())
	for k, pair := range [][2]int{{1, 2}, {2, 3}, {3, 4}} {
		run := b.Run(k, true)
		b.Grain(run, true, 1, 1)
		b.Grain(run, true, 1, 2)
		b.Grain(run, false, 1, 0)
		b.Grain(run, false, 1, 0)
		b.Boundary(run, Contact{Grain1: pair[0], Grain2: pair[1], AreaMM2: 1, AngleDeg: 98.4})
	}
	out := b.Boundaries()
	for _, k := range out.Kinds {
		if k.Count != 1 || k.Angles[19].Count != 1 {
			t.Errorf("%s: %+v", k.Name, k)
		}
	}
	s := b.Scatter()
	if s.All.Untouching != 2 || s.All.Runs != 3 || s.All.Joined != 0 || len(s.Cases) != 3 ||
		!strings.Contains(strings.Join(s.Warnings, ""), "has 1 run:") {
		t.Errorf("%+v", s)
	}
}

func TestEmptyCollector(t *testing.T) {
	b := collector(t, magnet.Published())
	if b.Scatter() != nil || !strings.Contains(b.Boundaries().Sentence, "No run was recorded") {
		t.Errorf("%+v", b.Boundaries())
	}
	run := b.Run(0, true)
	if !strings.Contains(b.Boundaries().Sentence, "No two grains touch") {
		t.Errorf("%+v", b.Boundaries())
	}
	b.Grain(run, true, 1, 1)
	if b.Scatter() != nil {
		t.Error("one seed has no joints")
	}
	b.Grain(run, true, 0, 2)
	if s := b.Scatter(); !strings.Contains(s.Sentence, "in none of 1 run.") {
		t.Error(s.Sentence)
	}
	if _, err := New(magnet.Law{}); err == nil {
		t.Error("a law without constants was taken")
	}
	for k := range 300 {
		r := b.Run(k+1, true)
		b.Grain(r, true, 1, 1)
		b.Grain(r, true, 1, 1)
	}
	if s := b.Scatter(); len(s.Cases) != 0 || !strings.Contains(s.Warnings[0], "301 cases are too many") {
		t.Errorf("%d cases, %v", len(s.Cases), s.Warnings)
	}
}
