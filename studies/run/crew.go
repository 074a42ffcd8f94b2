package run

import (
	"context"
	"fmt"
	"slices"
	"sync"

	"github.com/sourcegraph/conc/panics"
	"github.com/sourcegraph/conc/pool"

	"onegrain/sim"
	"onegrain/sim/measure"
)

// crew works through jobs with a bounded number of workers and a bounded memory. It knows nothing
// of what a job is about.
//
// A job is begun once, then its replicates run in batches, several at a time; after a batch the job
// may be enough. Jobs are opened in order and only as many as keep the workers busy. An error or a
// panic spoils one replicate, no more.
type crew struct {
	workers int
	memory  int64 // bytes all may use together; 0 = any
	batch   int   // replicates between two looks at whether a job has enough; 0 = all at once

	next   func() *job                       // the next job; nil after the last
	begin  func(*job) error                  // what the replicates of a job share; in a worker
	run    func(j *job, replicate int) error // one replicate; in a worker
	enough func(*job) bool                   // asked after each batch; never while the job runs
	finish func(*job)                        // after the last replicate; never while the job runs
	halt   bool                              // stop at the first failure

	// failed is told of an error, in a worker, before the job goes on; replicate 0: it could not be
	// begun.
	failed func(j *job, replicate int, err error)

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
	*progress
	bytes   int64 // that one replicate needs; what they share counts as much again
	waiting []int // replicates still to be started, counted from 1
	err     error // it could not be planned

	// Shared by the replicates, made by begin; seeded and survey are nil where the seeds lie
	// differently in each.
	on     *sim.Case
	table  bool       // tells the odds
	ready  *sim.Ready // nil where no run is wanted besides
	seeded *sim.Outcome
	survey *measure.Survey

	begun    bool
	released int // how many of waiting may be started now
	active   int // begin or replicates running
}

// work returns when all jobs are done, at the first failure with halt, or soon after the context
// ends.
func (c *crew) work(ctx context.Context) error {
	c.workers = max(1, c.workers)
	c.changed = sync.NewCond(&c.mu)
	defer context.AfterFunc(ctx, func() {
		c.mu.Lock()
		defer c.mu.Unlock()
		c.changed.Broadcast()
	})()
	p := pool.New().WithMaxGoroutines(c.workers)
	for {
		j, replicate := c.await(ctx)
		if j == nil {
			break
		}
		p.Go(func() { c.do(ctx, j, replicate) })
	}
	p.Wait()
	return ctx.Err()
}

// await blocks until there is a replicate to run, or 0 to begin a job, and reserves its memory; nil
// when there will be none.
func (c *crew) await(ctx context.Context) (*job, int) {
	c.mu.Lock()
	defer c.mu.Unlock()
	for ctx.Err() == nil && !c.stopped {
		if c.running < c.workers {
			if j, replicate := c.pick(); j != nil {
				j.active++
				c.running++
				c.used += j.bytes
				return j, replicate
			}
			if c.spent && len(c.open) == 0 {
				break
			}
		}
		c.changed.Wait()
	}
	return nil, 0
}

// pick takes a released replicate of the oldest open job, else opens the next job, which stays
// first in line until there is room for it.
func (c *crew) pick() (*job, int) {
	for _, j := range c.open {
		if j.released > 0 && c.fits(j.bytes) {
			replicate := j.waiting[0]
			j.waiting, j.released = j.waiting[1:], j.released-1
			return j, replicate
		}
	}
	if c.spent || len(c.open) > c.workers {
		return nil, 0
	}
	if n := len(c.open); n == 0 || c.open[n-1].begun || c.open[n-1].active > 0 {
		j := c.next()
		if c.spent = j == nil; c.spent {
			return nil, 0
		}
		c.open = append(c.open, j)
	}
	if j := c.open[len(c.open)-1]; c.fits(2 * j.bytes) {
		return j, 0
	}
	return nil, 0
}

// fits says whether there is room; what runs alone always has it, its size was checked when the
// study was loaded.
func (c *crew) fits(bytes int64) bool {
	return c.memory == 0 || c.running == 0 || c.used+bytes <= c.memory
}

// do runs a replicate, or begins a job, in a worker and puts the job where it belongs then.
func (c *crew) do(ctx context.Context, j *job, replicate int) {
	var err error
	if ctx.Err() == nil {
		err = c.attempt(j, replicate)
	}
	ended := ctx.Err() != nil
	if err != nil && !ended {
		c.mu.Lock()
		c.stopped = c.stopped || c.halt
		c.mu.Unlock()
		c.failed(j, replicate, err)
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	defer c.changed.Broadcast()
	c.running--
	j.active--
	if replicate > 0 || err != nil {
		c.used -= j.bytes // after begin the shared part stays
	}
	if ended {
		return
	}
	j.begun = true
	switch {
	case err != nil && replicate == 0:
		c.drop(j)
	case j.active == 0 && j.released == 0:
		c.advance(j)
	}
}

// attempt runs what a worker is to do; a panic becomes its error, with the stack.
func (c *crew) attempt(j *job, replicate int) (err error) {
	recovered := panics.Try(func() {
		if replicate == 0 {
			err = c.begin(j)
		} else {
			err = c.run(j, replicate)
		}
	})
	if recovered != nil {
		return fmt.Errorf("internal error: %v\n%s", recovered.Value, recovered.Stack)
	}
	return err
}

// advance releases the next batch of a job that rests, or finishes it. Batches end at multiples of
// their size, whatever was done by an earlier command, which may have stopped within one.
func (c *crew) advance(j *job) {
	if len(j.waiting) > 0 {
		done := j.waiting[0] - 1
		between := c.batch == 0 || done%c.batch == 0
		if !between || !c.enough(j) {
			j.released = len(j.waiting)
			beyond := func(k int) bool { return k > done-done%c.batch+c.batch }
			if c.batch > 0 && slices.ContainsFunc(j.waiting, beyond) {
				j.released = slices.IndexFunc(j.waiting, beyond)
			}
			return
		}
	}
	c.finish(j)
	c.used -= j.bytes
	c.drop(j)
}

func (c *crew) drop(j *job) {
	c.open = slices.DeleteFunc(c.open, func(o *job) bool { return o == j })
}
