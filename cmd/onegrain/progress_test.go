package main

import (
	"bytes"
	"strings"
	"testing"
	"time"
)

// watch steps once a second through runs of which each takes `seconds(n)`.
func watch(total, runs int, seconds func(n int) float64) (p *progress, now time.Time, out *bytes.Buffer) {
	out = &bytes.Buffer{}
	now = time.Unix(0, 0)
	p = newProgress(streams{err: out}, total, 0, now)
	for n := range runs {
		now = now.Add(time.Duration(seconds(n) * float64(time.Second)))
		p.step(1, now)
	}
	return p, now, out
}

func second(int) float64 { return 1 }

func TestNoTimeLeftBeforeThereIsEvidence(t *testing.T) {
	p, now, _ := watch(1000, evidence-1, second)
	if line := p.line(now); strings.Contains(line, "left") || !strings.Contains(line, "19 of at most 1000 runs, 1 runs/s") {
		t.Errorf("after %d runs: %q", evidence-1, line)
	}
	p.step(1, now.Add(time.Second))
	if line := p.line(now.Add(time.Second)); !strings.Contains(line, "left") {
		t.Errorf("after %d runs: %q", evidence, line)
	}
}

func TestTheRangeHoldsTheTruth(t *testing.T) {
	for name, seconds := range map[string]func(int) float64{
		"steady":    second,
		"uneven":    func(n int) float64 { return 0.5 + float64(n%5)/4 },
		"slow late": func(n int) float64 { return 1 + float64(n/50) },
	} {
		p, now, _ := watch(200, 100, seconds)
		low, high, ok := p.left(now)
		truth := 0.0
		for n := 100; n < 150; n++ { // the next ones, at their present pace
			truth += 2 * seconds(n)
		}
		if name == "slow late" {
			truth = 100 * seconds(99)
		}
		if !ok || !(low < truth && truth < high) || high > 4*low {
			t.Errorf("%s: %.0f to %.0f s left: the truth is %.0f s", name, low, high, truth)
		}
	}
}

func TestAPlainLineEvery30Seconds(t *testing.T) {
	_, _, out := watch(1000, 95, second)
	if lines := strings.Count(out.String(), "\n"); lines != 3 || strings.Contains(out.String(), "\r") {
		t.Errorf("95 s gave %d lines: wanted 3\n%s", lines, out)
	}
}

func TestEarlierSessionsCountAsDone(t *testing.T) {
	p := newProgress(streams{err: &bytes.Buffer{}}, 100, 40, time.Unix(0, 0))
	p.step(10, time.Unix(10, 0))
	if line := p.line(time.Unix(10, 0)); !strings.HasPrefix(line, "50 of at most 100 runs, 1 runs/s") {
		t.Errorf("%q", line)
	}
}
