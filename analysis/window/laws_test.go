package window

import (
	"math"
	"strings"
	"testing"

	"onegrain/analysis/tally"
)

// lawful is a study over one axis whose chances over laws fall from case to case: by the middle law
// all are fine, over all laws the first two are.
func lawful(count int) Study {
	s := Study{Common: true}
	var at []float64
	for i, chance := range []float64{0.99, 0.96, 0.84, 0.40} {
		x, share := float64(i+1)/10, 0.42
		if i > 0 {
			share = 0.56
		}
		s.Cases = append(s.Cases, Case{ID: string(rune('a' + i)), At: []float64{x}, Runs: 400, Hits: int(400 * chance),
			Exact: 0.97, Strays: 0.03, DiameterMM: 24, P10: 24, P90: 24, FullH: 20 / x, ProgrammeH: 60, EachLaw: true,
			Laws: tally.Laws{Chance: tally.Real(chance), Low: tally.Real(chance - 0.3), High: 1, Worse: tally.Real(chance - 0.1),
				Family: "sites", Share: tally.Real(share), FullLowH: 19, FullHighH: 22, Count: count, By: "table"}})
		at = append(at, x)
	}
	s.Axes = []Axis{Numbers("cooling_rate_K_per_h", "K/h", at)}
	return s
}

// TestChanceOverLaws: with laws of a logbook the chance over all of them decides, in window, best
// case and sentence, and the counts are compared with it. The canary: by the middle law every case
// would do, and its counts would disagree.
func TestChanceOverLaws(t *testing.T) {
	w, err := Find(lawful(1000), Options{})
	if err != nil {
		t.Fatal(err)
	}
	if w.Best == nil || w.Best.ID != "b" || w.Best.Source != fromLaws || w.Best.Laws.Chance != 0.96 {
		t.Errorf("best %+v", w.Best)
	}
	sl := w.Slices[0]
	if len(sl.Safe) != 1 || sl.Safe[0].Cases != 2 || sl.Safe[0].X.To != 0.2 || len(sl.Crossings) != 1 {
		t.Errorf("%+v %+v", sl.Safe, sl.Crossings)
	}
	if !strings.Contains(w.Sentence, "keep cooling rate at or below 0.2 K/h") {
		t.Error(w.Sentence)
	}
	if w.Agreement.Cases != 4 || w.Agreement.Disagree() {
		t.Errorf("%+v", w.Agreement)
	}
	middle := lawful(1000)
	for i := range middle.Cases {
		middle.Cases[i].EachLaw = false
	}
	if m, err := Find(middle, Options{}); err != nil || !m.Agreement.Disagree() || m.Best.ID != "b" {
		t.Errorf("canary: counts fit the middle law: %+v (%v)", m.Agreement, err)
	}
	for i := range middle.Cases {
		middle.Cases[i].Laws = tally.Laws{}
	}
	if m, err := Find(middle, Options{}); err != nil || m.Best.ID != "d" {
		t.Errorf("canary: by the middle law the best case is %+v (%v)", m.Best, err)
	}
	if few, err := Find(lawful(30), Options{}); err != nil || few.Agreement.Cases != 0 {
		t.Errorf("counts are compared with a mean over 30 laws: %+v (%v)", few.Agreement, err)
	}
}

// TestOneCaseOverLaws: the belief in a case names the range of the laws; a case that leaves liquid
// with the middle law is not hopeless while other laws fill the body.
func TestOneCaseOverLaws(t *testing.T) {
	s := lawful(1000)
	s.Cases, s.Axes = s.Cases[2:3], nil
	s.Cases[0].At = nil
	w, err := Find(s, Options{})
	const want = "84 % over all laws of the logbook (54 % to 100 % in 90 of 100 of them)"
	if err != nil || !strings.Contains(w.Sentence, want) {
		t.Errorf("%s (%v)", w.Sentence, err)
	}
	s.Cases[0].Because, s.Cases[0].Exact = "liquid", 0
	if p := s.Points(0.95)[0]; p.Verdict != no || p.Chance != 0.84 {
		t.Errorf("%+v", p)
	}
	s.Cases[0].Laws.Chance = 0
	if p := s.Points(0.95)[0]; p.Verdict != never {
		t.Errorf("%+v", p)
	}
}

// TestLawNotes: which share of the variance lies between the families, and what took runs.
func TestLawNotes(t *testing.T) {
	s := lawful(1000)
	for n, want := range map[int]string{1: "42 % is whether", 2: "42 % in the first row and 56 % in the second is whether",
		4: "42 to 56 % is whether"} {
		if notes := s.LawNotes(s.Points(0.95)[:n]); len(notes) != 1 || !strings.Contains(notes[0], want) {
			t.Errorf("%d points: %q, wanted %q", n, notes, want)
		}
	}
	s = lawful(30)
	for i := range s.Cases {
		s.Cases[i].Laws.By, s.Cases[i].Laws.Share = "gradient", tally.Unknown()
	}
	if notes := s.LawNotes(s.Points(0.95)); len(notes) != 1 || !strings.HasPrefix(notes[0], "gradient: no table") ||
		!strings.Contains(notes[0], "30 laws") {
		t.Errorf("%q", notes)
	}
}

// TestLawsAreAveraged: over what is not known the chances over laws are averaged like others.
func TestLawsAreAveraged(t *testing.T) {
	s := lawful(1000)
	s.Axes[0].Unknown = true
	a := s.Averaged()
	p := a.Points(0.95)[0]
	if p.Laws == nil || math.Abs(float64(p.Laws.Chance)-0.7975) > 1e-12 || math.Abs(float64(p.Chance)-0.7975) > 1e-12 ||
		math.Abs(float64(p.Laws.Worse)-0.6975) > 1e-12 || p.Over != 4 || p.Reach != 2 {
		t.Errorf("%+v %+v", p, p.Laws)
	}
	if s.Cases[0].Laws.Chance != 0.99 {
		t.Error("a case was changed")
	}
}
