package run

import (
	"context"
	"errors"
	"onegrain/studies"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

// TestCrewKeepsToItsMemory: never more is used at a time than allowed, however large the crew.
func TestCrewKeepsToItsMemory(t *testing.T) {
	var running, most, done atomic.Int64
	left := 10
	c := &crew{workers: 8, memory: 100,
		next: func() *job {
			if left--; left < 0 {
				return nil
			}
			return &job{bytes: 30, waiting: []int{1, 2, 3}}
		},
		begin: func(*job) error { return nil },
		run: func(*job, int) error {
			if n := running.Add(1); n > most.Load() {
				most.Store(n)
			}
			time.Sleep(time.Millisecond)
			running.Add(-1)
			done.Add(1)
			return nil
		},
		enough: func(*job) bool { return false }, finish: func(*job) {}, failed: func(*job, int, error) {},
	}
	if err := c.work(context.Background()); err != nil {
		t.Fatal(err)
	}
	if done.Load() != 30 || most.Load() > 2 { // 30 shared and twice 30 running fill 100
		t.Errorf("%d done, up to %d at a time; wanted 30 and at most 2", done.Load(), most.Load())
	}
	if c.used != 0 {
		t.Errorf("%d bytes still counted as used", c.used)
	}
}

// TestCrewInBatches: a job rests after each studies.Batch of eight, batches end at multiples of
// eight whatever was done before, and no replicate is run twice or left out.
func TestCrewInBatches(t *testing.T) {
	var mu sync.Mutex
	var ran, asked []int
	sent := false
	c := &crew{workers: 4, batch: studies.Batch,
		next: func() *job {
			if sent {
				return nil
			}
			sent = true
			return &job{waiting: []int{4, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 21}}
		},
		begin: func(*job) error { return nil },
		run: func(_ *job, k int) error {
			mu.Lock()
			defer mu.Unlock()
			ran = append(ran, k)
			return nil
		},
		enough: func(j *job) bool {
			mu.Lock()
			defer mu.Unlock()
			asked = append(asked, j.waiting[0])
			return j.waiting[0] == 17
		},
		finish: func(*job) {}, failed: func(*job, int, error) {},
	}
	if err := c.work(context.Background()); err != nil {
		t.Fatal(err)
	}
	slices.Sort(ran)
	if want := []int{4, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16}; !slices.Equal(ran, want) ||
		!slices.Equal(asked, []int{9, 17}) {
		t.Errorf("ran %v and asked before %v, wanted %v and 9, 17", ran, asked, want)
	}
}

// TestCrewDropsWhatCannotBegin: a job that cannot begin is reported once, and the rest goes on.
func TestCrewDropsWhatCannotBegin(t *testing.T) {
	left, finished := 5, 0
	var failures []string
	c := &crew{workers: 2, memory: 1,
		next: func() *job {
			if left--; left < 0 {
				return nil
			}
			return &job{progress: &progress{Planned: studies.Planned{Index: left}}, bytes: 10, waiting: []int{1}}
		},
		begin: func(j *job) error {
			switch j.Index {
			case 1:
				return errors.New("no")
			case 3:
				panic("never")
			}
			return nil
		},
		run:    func(*job, int) error { return nil },
		enough: func(*job) bool { return false }, finish: func(*job) { finished++ },
		failed: func(j *job, k int, err error) { failures = append(failures, err.Error()[:2]) },
	}
	if err := c.work(context.Background()); err != nil {
		t.Fatal(err)
	}
	slices.Sort(failures)
	if finished != 3 || !slices.Equal(failures, []string{"in", "no"}) || c.used != 0 {
		t.Errorf("%d finished, failures %q, %d bytes left; wanted 3, an internal one and a plain one, 0", finished,
			failures, c.used)
	}
}
