package main

import (
	"fmt"
	"math"
	"onegrain/analysis/plain"
	"sync"
	"time"
)

// progress tells how far a study is: on a terminal one line that renews itself, elsewhere a plain
// line every 30 s.
type progress struct {
	s     streams
	live  bool
	total int // runs at most
	start time.Time

	mu      sync.Mutex
	skipped int             // done by earlier sessions
	marks   []time.Duration // of every run of this session: when it was finished
}

const (
	livePause  = 200 * time.Millisecond
	plainPause = 30 * time.Second
	evidence   = 20 // finished runs before a time left is told
)

func newProgress(s streams, total int, now time.Time) *progress {
	return &progress{s: s, live: terminal(s.err), total: total, start: now}
}

// note takes how many runs are finished, by this session and by earlier ones.
func (p *progress) note(done, skipped int, now time.Time) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.skipped = skipped
	for len(p.marks) < done {
		p.marks = append(p.marks, now.Sub(p.start))
	}
}

// watch tells the line at equal times until the function it returns is called, which takes it off
// the terminal.
func (p *progress) watch() (stop func()) {
	pause := plainPause
	if p.live {
		pause = livePause
	}
	done, ended := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(ended)
		tick := time.NewTicker(pause)
		defer tick.Stop()
		for {
			select {
			case now := <-tick.C:
				p.tell(now)
			case <-done:
				return
			}
		}
	}()
	return func() {
		close(done)
		<-ended
		if p.live {
			fmt.Fprint(p.s.err, "\r\x1b[K")
		}
	}
}

func (p *progress) tell(now time.Time) {
	if p.live {
		fmt.Fprintf(p.s.err, "\r\x1b[K%s", p.line(now))
		return
	}
	p.s.say("%s", p.line(now))
}

func (p *progress) line(now time.Time) string {
	p.mu.Lock()
	defer p.mu.Unlock()
	done := len(p.marks)
	text := fmt.Sprintf("%d of at most %d runs", p.skipped+done, p.total)
	seconds := now.Sub(p.start).Seconds()
	if done == 0 || seconds <= 0 {
		return text
	}
	text += fmt.Sprintf(", %s runs/s", plain.Short(float64(done)/seconds))
	if low, high, ok := p.left(now); ok {
		text += fmt.Sprintf(", %s left", plain.HoursSpan(low/3600, high/3600))
	}
	return text
}

// left is the range of the time left, s: at the rate of the whole session and at that of its last
// quarter, the slower and the faster each widened by the 1/√n that n finished runs leave open.
// Cases that stop early make it shorter still.
func (p *progress) left(now time.Time) (low, high float64, ok bool) {
	n := len(p.marks)
	if n < evidence {
		return 0, 0, false
	}
	quarter := max(evidence/2, n/4)
	whole := now.Sub(p.start).Seconds() / float64(n)
	late := (now.Sub(p.start) - p.marks[n-quarter-1]).Seconds() / float64(quarter)
	remaining, open := float64(max(0, p.total-p.skipped-n)), 1/math.Sqrt(float64(n))
	return remaining * min(whole, late) * (1 - open), remaining * max(whole, late) * (1 + open), true
}
