package run

import (
	"context"
	"fmt"
	"onegrain/studies"
	"slices"
	"sync"

	"github.com/sourcegraph/conc/panics"
	"github.com/sourcegraph/conc/pool"
)

// crew works through jobs with a bounded number of workers and a bounded memory. It knows nothing of what a job is about.
//
// A job is begun once, then its replicates run in batches, several at a time; after a batch the job may be enough. Jobs
// are opened in order and only as many as keep the workers busy. An error or a panic spoils one replicate, no more.
type crew struct {
	workers int
	memory  int64 // bytes all may use together; 0 = any
	batch   int   // replicates between two looks at whether a job has enough; 0 = all at once

	next   func() *job                            // the next job; nil after the last
	begin  func(*job) error                       // what the replicates of a job share; in a worker
	run    func(j *job, replicate int) error      // one replicate; in a worker
	enough func(*job) bool                        // asked after each batch; never while the job runs
	finish func(*job)                             // after the last replicate; never while the job runs
	failed func(j *job, replicate int, err error) // replicate 0: the job could not be begun
	halt   bool                                   // stop at the first failure

	mu      sync.Mutex
	changed *sync.Cond
	open    []*job
	spent   bool  // next has no more
	stopped bool  // after a failure with halt
	used    int64 // bytes
	running int
}

// job is one case and how far it is.
type job struct {
	studies.Planned
	bytes   int64 // that one replicate needs; the shared part counts as much again
	shared  any   // made by begin
	waiting []int // replicates still to be started, counted from 1
	err     error // it could not be planned

	begun    bool
	released int // how many of waiting may be started now
	active   int // begin or replicates running
}

// task is what a worker does next: a replicate, or 0 to begin.
type task struct {
	*job
	replicate int
}

// work returns when all jobs are done, at the first failure with halt, or soon after the context ends.
func (c *crew) work(ctx context.Context) error {
	c.changed = sync.NewCond(&c.mu)
	defer context.AfterFunc(ctx, func() {
		c.mu.Lock()
		defer c.mu.Unlock()
		c.changed.Broadcast()
	})()
	p := pool.New().WithMaxGoroutines(max(1, c.workers))
	for {
		t, ok := c.await(ctx)
		if !ok {
			break
		}
		p.Go(func() { c.do(ctx, t) })
	}
	p.Wait()
	return ctx.Err()
}

// await blocks until there is a task, and reserves its memory; false when there will be none.
func (c *crew) await(ctx context.Context) (task, bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	for ctx.Err() == nil && !c.stopped {
		if c.running < max(1, c.workers) {
			if t, ok := c.pick(); ok {
				t.active++
				c.running++
				c.used += t.bytes
				return t, true
			}
			if c.spent && len(c.open) == 0 {
				return task{}, false
			}
		}
		c.changed.Wait()
	}
	return task{}, false
}

// pick takes a released replicate of the oldest open job, else opens the next job.
func (c *crew) pick() (task, bool) {
	for _, j := range c.open {
		if j.released > 0 && c.fits(j.bytes) {
			t := task{j, j.waiting[0]}
			j.waiting, j.released = j.waiting[1:], j.released-1
			return t, true
		}
	}
	if c.spent || len(c.open) > c.workers {
		return task{}, false
	}
	j := c.peek()
	if j == nil || !c.fits(2*j.bytes) {
		return task{}, false
	}
	return task{j, 0}, true
}

// peek is the next job that was not begun; it stays first in line until there is room for it.
func (c *crew) peek() *job {
	if n := len(c.open); n > 0 && !c.open[n-1].begun && c.open[n-1].active == 0 {
		return c.open[n-1]
	}
	j := c.next()
	if j == nil {
		c.spent = true
		return nil
	}
	c.open = append(c.open, j)
	return j
}

// fits tells whether there is room; what runs alone always has it, its size was checked when the study was loaded.
func (c *crew) fits(bytes int64) bool {
	return c.memory == 0 || c.running == 0 || c.used+bytes <= c.memory
}

// do runs a task in a worker and puts its job where it belongs then.
func (c *crew) do(ctx context.Context, t task) {
	var err error
	if ctx.Err() == nil {
		err = c.attempt(t)
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	defer c.changed.Broadcast()
	c.running--
	t.active--
	if t.replicate > 0 || err != nil {
		c.used -= t.bytes // after begin the shared part stays
	}
	if ctx.Err() != nil {
		return
	}
	if err != nil {
		c.failed(t.job, t.replicate, err)
		c.stopped = c.stopped || c.halt
		if t.replicate == 0 {
			c.drop(t.job)
			return
		}
	}
	t.begun = true
	if t.active == 0 && t.released == 0 {
		c.advance(t.job)
	}
}

// attempt runs a task; a panic becomes its error, with the place it came from.
func (c *crew) attempt(t task) (err error) {
	recovered := panics.Try(func() {
		if t.replicate == 0 {
			err = c.begin(t.job)
		} else {
			err = c.run(t.job, t.replicate)
		}
	})
	if recovered != nil {
		return fmt.Errorf("internal error: %v\n%s", recovered.Value, recovered.Stack)
	}
	return err
}

// advance releases the next batch of a job that rests, or finishes it.
func (c *crew) advance(j *job) {
	between := len(j.waiting) > 0 && (c.batch == 0 || (j.waiting[0]-1)%c.batch == 0) // an earlier command may have stopped within a batch
	if len(j.waiting) > 0 && !(between && c.enough(j)) {
		j.released = len(j.waiting)
		if c.batch > 0 {
			// batches end at multiples of their size, whatever was done by an earlier command
			last := (j.waiting[0]-1)/c.batch*c.batch + c.batch
			j.released = 1 + slices.IndexFunc(append(j.waiting[1:len(j.waiting):len(j.waiting)], last+1), func(k int) bool { return k > last })
		}
		return
	}
	c.finish(j)
	c.used -= j.bytes
	c.drop(j)
}

func (c *crew) drop(j *job) {
	c.open = slices.DeleteFunc(c.open, func(o *job) bool { return o == j })
	j.shared = nil
}
