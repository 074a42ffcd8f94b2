package run

import (
	"context"
	"errors"
	"io"
	"strings"
	"sync"
	"time"

	"github.com/sourcegraph/conc"

	"onegrain/sim"
	"onegrain/studies"
	"onegrain/studies/chances"
	"onegrain/studies/table"
)

// Runner runs what is not done yet of a study and writes it to a results folder. The same command
// goes on where an earlier one has stopped.
type Runner struct {
	Study         *studies.Study
	Folder        *table.Folder
	Workers       int   // runs at a time; at least 1
	Memory        int64 // bytes that all workers may use together; 0 = any
	Shard, Shards int   // does the cases of shard 1 … Shards only; 0 = all
	OddsOnly      bool  // the exact odds alone: no replicates
	FailFast      bool  // stop at the first run that fails

	// All of these may be nil. Command reproduces a failure. Watch is called after every run, one at a
	// time, Recalled once, before the first run, where the folder holds something already. Field
	// writes the volume of a run that [keep] asks for. Engine makes a replicate of the run without
	// strays; nil = Strays. Command, Field and Engine are called from several goroutines.
	Command  func(p studies.Planned, replicate int) string
	Watch    func(Summary)
	Recalled func(Summary)
	Field    func(w io.Writer, o *sim.Outcome) error
	Engine   func(seeded *sim.Outcome, p studies.Planned, replicate int) *sim.Outcome

	laws    chances.Maker
	ledger  *ledger
	mu      sync.Mutex
	count   Summary
	cases   map[string]*progress // by identity
	order   []*progress          // in the order of the design
	ours    map[string]int       // the cases of the study by identity; nil until somebody asks
	old     *table.Frame         // of cases, as an earlier command has left it
	writing sync.Mutex           // held while the table of cases is written; taken before mu
	broken  error                // of storage
	busy    bool                 // with runs
	stop    context.CancelFunc
}

// Summary counts what a Runner has done so far.
type Summary struct {
	Cases   int // begun
	Runs    int // finished by this command; with OddsOnly the runs without strays
	Skipped int // finished by earlier ones
	Failed  int

	// What the folder held before; known where the Runner has Recalled.
	Reused int         // cases of which nothing is left to do: same physics, same model version
	Begun  int         // cases of which some is done
	Moved  table.Moved // what was of another version of the study or of the model
}

// Run returns when all is done, stopped by FailFast, or the context has ended. Runs that fail are
// counted, not returned: the error is that of the context or of storage.
func (r *Runner) Run(ctx context.Context) (Summary, error) {
	var err error
	if r.ledger, err = newLedger(r.Study, r.Folder); err != nil {
		return Summary{}, err
	}
	r.cases = map[string]*progress{}
	if err := r.recall(); err != nil {
		return Summary{}, err
	}
	r.announce()
	ctx, r.stop = context.WithCancel(ctx)
	defer r.stop()
	r.mu.Lock()
	r.busy = true
	r.mu.Unlock()
	c := &crew{
		workers: r.Workers, memory: r.Memory, next: r.jobs(), begin: r.begin, run: r.replicate,
		enough: r.enough, finish: r.finish, failed: r.failed, halt: r.FailFast,
	}
	if r.Study.Precision > 0 {
		c.batch = studies.Batch
	}
	var saver conc.WaitGroup
	working, end := context.WithCancel(context.Background())
	saver.Go(func() { r.saving(working) })
	err = c.work(ctx)
	end()
	saver.Wait()
	complete := err == nil && !c.stopped
	r.stored(r.save(complete))
	if complete {
		r.stored(r.ledger.complete())
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.broken != nil {
		return r.count, r.broken
	}
	return r.count, err
}

// Leave writes what is finished while Run still waits for the runs at work: for a program that has
// no time to wait. Nothing of the Runner is to be used any more after it.
func (r *Runner) Leave() (Summary, error) {
	r.writing.Lock()
	defer r.writing.Unlock()
	r.mu.Lock()
	defer r.mu.Unlock()
	if !r.busy {
		return r.count, nil
	}
	cases, err := r.caseRows(false)
	if err != nil {
		return r.count, err
	}
	return r.count, errors.Join(r.broken, r.publish(cases))
}

// saving writes what has come together at equal times, until the context ends.
func (r *Runner) saving(ctx context.Context) {
	tick := time.NewTicker(studies.FlushEvery)
	defer tick.Stop()
	for {
		select {
		case <-tick.C:
			r.stored(r.save(false))
		case <-ctx.Done():
			return
		}
	}
}

// stored notes a failure of storage, which ends the run.
func (r *Runner) stored(err error) {
	if err == nil {
		return
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	// whatever is done next may end the same
	if r.broken == nil || !strings.Contains(r.broken.Error(), err.Error()) {
		r.broken = errors.Join(r.broken, err)
	}
	r.stop()
}

// save writes what has come together: the runs, then the table of cases, so that no row of it
// counts runs that are not on the disk.
func (r *Runner) save(complete bool) error {
	r.writing.Lock()
	defer r.writing.Unlock()
	r.mu.Lock()
	cases, err := r.caseRows(complete)
	r.mu.Unlock()
	if err != nil {
		return err
	}
	return r.publish(cases)
}

func (r *Runner) publish(cases *table.Frame) error {
	if err := r.ledger.flush(); err != nil {
		return err
	}
	if r.Shards > 1 {
		_, err := r.Folder.Add(cases)
		return err
	}
	return r.Folder.Put(cases)
}

// caseRows are the rows to be written now. A shard knows its own cases only and adds each once, as
// soon as it is finished, so that its row is the same whoever writes it; else the table is written
// anew, with the rows that an earlier command has left of cases that this one has not come to.
func (r *Runner) caseRows(complete bool) (*table.Frame, error) {
	f := table.NewFrame(r.ledger.schemas["cases"])
	mine := map[any]bool{}
	for _, s := range r.order {
		mine[s.ID] = true
		if r.Shards > 1 && !s.unwritten {
			continue
		}
		s.unwritten = false
		if err := s.appendTo(f); err != nil {
			return nil, err
		}
	}
	for row := 0; row < r.old.Len() && !complete && r.Shards <= 1; row++ {
		if mine[r.old.Value(row, "case_id")] {
			continue
		}
		var values []any
		for _, c := range f.Schema.Columns {
			values = append(values, r.old.Value(row, c.Name))
		}
		_ = f.Append(values...) // refused where an older study had other columns: its cases are none of this one
	}
	return f, nil
}
