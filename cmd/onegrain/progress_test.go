package main

import (
	"bytes"
	"strings"
	"testing"
	"time"
)

// after is the progress once `runs` runs have taken `seconds(n)` each.
func after(total, runs int, seconds func(n int) float64) (p *progress, now time.Time) {
	now = time.Unix(0, 0)
	p = newProgress(streams{err: &bytes.Buffer{}}, total, now)
	for n := range runs {
		now = now.Add(time.Duration(seconds(n) * float64(time.Second)))
		p.note(n+1, 0, now)
	}
	return p, now
}

func second(int) float64 { return 1 }

func TestNoTimeLeftBeforeThereIsEvidence(t *testing.T) {
	p, now := after(1000, evidence-1, second)
	if line := p.line(now); line != "19 of at most 1000 runs, 1 runs/s" {
		t.Errorf("after %d runs: %q", evidence-1, line)
	}
	p.note(evidence, 0, now.Add(time.Second))
	if line := p.line(now.Add(time.Second)); !strings.HasSuffix(line, "left") {
		t.Errorf("after %d runs: %q", evidence, line)
	}
}

// The time left must lie in the range, where runs go on at their pace of late and where they go on
// as they did on the whole.
func TestTheRangeHoldsTheTruth(t *testing.T) {
	for name, seconds := range map[string]func(int) float64{
		"steady":    second,
		"uneven":    func(n int) float64 { return 0.5 + float64(n%5)/4 },
		"slow late": func(n int) float64 { return 1 + float64(n/50) },
	} {
		p, now := after(200, 100, seconds)
		low, high, ok := p.left(now)
		late, whole := 0.0, now.Sub(p.start).Seconds()
		for n := 80; n < 100; n++ {
			late += 5 * seconds(n)
		}
		if !ok || !(low < min(late, whole) && max(late, whole) < high) || high > 3*low {
			t.Errorf("%s: %.0f to %.0f s left: wanted a range about %.0f and %.0f s", name, low, high, whole, late)
		}
	}
}

func TestEarlierSessionsCountAsDone(t *testing.T) {
	p := newProgress(streams{err: &bytes.Buffer{}}, 100, time.Unix(0, 0))
	p.note(10, 40, time.Unix(10, 0))
	if line := p.line(time.Unix(10, 0)); line != "50 of at most 100 runs, 1 runs/s" {
		t.Errorf("%q", line)
	}
}

func TestOffTerminalsTheLineIsPlain(t *testing.T) {
	var out bytes.Buffer
	p := newProgress(streams{err: &out}, 10, time.Unix(0, 0))
	p.tell(time.Unix(30, 0))
	if out.String() != "0 of at most 10 runs\n" {
		t.Errorf("%q", out.String())
	}
	p.live = true
	p.tell(time.Unix(60, 0))
	if !strings.HasSuffix(out.String(), "\r\x1b[K0 of at most 10 runs") {
		t.Errorf("%q", out.String())
	}
	p.watch()()
}
