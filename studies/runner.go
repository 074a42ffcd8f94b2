package studies

import (
	"context"
	"errors"
	"sync"
	"time"

	"onegrain/sim"
	"onegrain/sim/measure"
	"onegrain/studies/border"
	"onegrain/studies/table"
)

// Runner runs what is not done yet of a study and writes it to a results folder. The same command goes on where an
// earlier one has stopped.
type Runner struct {
	Study         *Study
	Folder        *table.Folder
	Workers       int   // runs at a time; at least 1
	Memory        int64 // bytes that all workers may use together; 0 = any
	Shard, Shards int   // does the cases of shard 1 … Shards only; 0 = all
	OddsOnly      bool  // the exact odds alone: no replicates
	FailFast      bool  // stop at the first run that fails

	Command func(p Planned, replicate int) string                            // that reproduces a failure; may be nil
	Watch   func(Summary)                                                    // called after every run, one at a time; may be nil
	Field   func(p Planned, replicate int, o *sim.Outcome) error             // keeps a field as [keep] asks, from several goroutines; may be nil
	Engine  func(seeded *sim.Outcome, p Planned, replicate int) *sim.Outcome // makes a replicate of the run without strays; nil = Strays

	ledger *ledger
	mu     sync.Mutex
	count  Summary
	sums   map[string]*sum // by case
	order  []*sum          // in the order of the design
	broken error           // of storage
	busy   bool            // with runs
	stop   context.CancelFunc
}

// Summary counts what a Runner has done so far.
type Summary struct {
	Cases   int // begun
	Runs    int // finished by this command; with OddsOnly the runs without strays
	Skipped int // finished by earlier ones
	Failed  int
}

// share is what the replicates of a case have in common.
type share struct {
	*sum
	ready  *sim.Ready
	seeded *sim.Outcome // nil where the seeds lie differently in each replicate
	survey *measure.Survey
}

// Run returns when all is done, stopped by FailFast, or the context has ended. Runs that fail are counted, not returned:
// the error is that of the context or of storage.
func (r *Runner) Run(ctx context.Context) (Summary, error) {
	var err error
	if r.ledger, err = newLedger(r.Study, r.Folder); err != nil {
		return Summary{}, err
	}
	r.sums = map[string]*sum{}
	if err := r.recall(); err != nil {
		return Summary{}, err
	}
	ctx, r.stop = context.WithCancel(ctx)
	r.mu.Lock()
	r.busy = true
	r.mu.Unlock()
	defer r.stop()
	c := &crew{workers: r.Workers, memory: r.Memory, next: r.jobs(), begin: r.begin, run: r.replicate, enough: r.enough, finish: r.finish, failed: r.failed, halt: r.FailFast}
	if r.Study.Precision > 0 {
		c.batch = batch
	}
	defer r.flushing()()
	err = c.work(ctx)
	r.keep(r.ledger.flush())
	complete := err == nil && !c.stopped
	r.keep(r.writeCases(complete))
	if complete {
		r.keep(r.ledger.complete())
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.broken != nil {
		return r.count, r.broken
	}
	return r.count, err
}

// Leave writes what is finished while Run still waits for the runs at work: for a program that has no time to wait. Nothing of the
// Runner is to be used any more after it.
func (r *Runner) Leave() (Summary, error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if !r.busy {
		return r.count, nil
	}
	return r.count, errors.Join(r.broken, r.ledger.flush(), r.writeCases(false))
}

// flushing writes what has come together at equal times, until the function it returns is called.
func (r *Runner) flushing() (stop func()) {
	done := make(chan struct{})
	go func() {
		tick := time.NewTicker(flushEvery)
		defer tick.Stop()
		for {
			select {
			case <-tick.C:
				r.keep(r.ledger.flush())
			case <-done:
				return
			}
		}
	}()
	return func() { close(done) }
}

// keep notes a failure of storage, which ends the run.
func (r *Runner) keep(err error) {
	if err == nil {
		return
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	r.broken = errors.Join(r.broken, err)
	r.stop()
}

// jobs hands out the cases of the shard one by one. Two cases of the same physics are one.
func (r *Runner) jobs() func() *job {
	i, seen := -1, map[string]bool{}
	return func() *job {
		for i++; i < r.Study.Cases(); i++ {
			if r.Shards > 1 && i%r.Shards != r.Shard-1 {
				continue
			}
			p, err := r.Study.Plan(i)
			if err != nil {
				return &job{Planned: p, err: err}
			}
			if seen[p.ID] {
				continue
			}
			seen[p.ID] = true
			return r.job(p)
		}
		return nil
	}
}

func (r *Runner) job(p Planned) *job {
	r.mu.Lock()
	defer r.mu.Unlock()
	s := r.sum(p.ID)
	s.Planned, s.stoppedBy = p, "interrupted"
	r.order = append(r.order, s)
	j := &job{Planned: p, bytes: r.Study.converter.Cells(p.doc) * border.BytesPerCell}
	for k := 1; k <= r.Study.Replicates && !r.OddsOnly; k++ {
		if _, done := s.single[k]; done {
			r.count.Skipped++
			continue
		}
		j.waiting = append(j.waiting, k)
	}
	return j
}

// begin grows the case without strays: its odds, and what every replicate starts from. Where seeds are placed anew in each
// replicate there is nothing to share, and the odds of replicates done earlier are worked out again.
func (r *Runner) begin(j *job) error {
	if j.err != nil {
		return j.err
	}
	c, err := j.Case()
	if err != nil {
		return err
	}
	s := &share{ready: sim.Prepare(c), sum: r.begun(j.ID, c.Programme.EndH())}
	j.shared = s
	if !c.Scattered() {
		s.seeded = s.ready.Seeded(j.Key(1))
		s.survey = measure.Look(s.seeded, j.JoinDeg)
		r.odds(s.sum, measure.NewOdds(s.seeded, j.JoinDeg), s.survey.Run().TimeToFullH)
		return nil
	}
	for k := 1; k <= r.Study.Replicates; k++ {
		if _, done := s.single[k]; done && !r.OddsOnly || r.OddsOnly && k == 1 {
			o := s.ready.Seeded(j.Key(k))
			r.odds(s.sum, measure.NewOdds(o, j.JoinDeg), measure.Look(o, j.JoinDeg).Run().TimeToFullH)
		}
	}
	return nil
}

func (r *Runner) begun(id string, programmeH float64) *sum {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.count.Cases++
	s := r.sum(id)
	s.programmeH = programmeH
	return s
}

func (r *Runner) odds(s *sum, o measure.Odds, fullH float64) {
	r.mu.Lock()
	defer r.mu.Unlock()
	s.odds, s.fullH = append(s.odds, o), fullH
	if r.OddsOnly {
		r.count.Runs++
		r.watch()
	}
}

// replicate does one run and hands its rows to the ledger.
func (r *Runner) replicate(j *job, k int) error {
	start := time.Now()
	s := j.shared.(*share)
	seeded := s.seeded
	if seeded == nil {
		seeded = s.ready.Seeded(j.Key(k))
		r.odds(s.sum, measure.NewOdds(seeded, j.JoinDeg), 0)
	}
	o, survey := seeded, s.survey
	if r.Engine != nil {
		o = r.Engine(seeded, j.Planned, k)
	} else {
		o = seeded.Strays(j.Key(k))
	}
	if o != s.seeded {
		survey = measure.Look(o, j.JoinDeg)
	}
	row, m := recorded(j.Planned, k, survey, time.Since(start))
	if keep := r.Study.Fields; r.Field != nil && (keep == "all" || keep == "first" && k == 1) {
		r.keep(r.Field(j.Planned, k, o))
	}
	r.keep(r.ledger.add(row))
	r.mu.Lock()
	defer r.mu.Unlock()
	s.note(k, m.SingleGrain, m.ClearDiameterMM, m.TimeToFullH)
	r.count.Runs++
	r.watch()
	return nil
}

func (r *Runner) watch() {
	if r.Watch != nil {
		r.Watch(r.count)
	}
}

// enough stops a case whose interval is narrow.
func (r *Runner) enough(j *job) bool {
	r.mu.Lock()
	defer r.mu.Unlock()
	s := r.sums[j.ID]
	hits, n := s.hits()
	if !precise(hits, n, r.Study.Precision) {
		return false
	}
	s.stoppedBy = "precision"
	return true
}

func (r *Runner) finish(j *job) {
	r.mu.Lock()
	defer r.mu.Unlock()
	s := r.sums[j.ID]
	switch hits, n := s.hits(); {
	case s.stoppedBy == "failures" || s.stoppedBy == "precision":
	case n >= r.Study.Replicates:
		s.stoppedBy = "replicates"
	case precise(hits, n, r.Study.Precision):
		s.stoppedBy = "precision"
	default:
		s.stoppedBy = "odds only"
	}
}

// failed writes down what went wrong with a run, or with a case before its first run.
func (r *Runner) failed(j *job, replicate int, err error) {
	f := table.Failure{CaseID: j.ID, Replicate: replicate, Values: map[string]any{}, Error: err.Error()}
	for i, c := range r.Study.Columns() {
		f.Values[c.Name] = j.Values[i]
	}
	if r.Command != nil {
		f.Command = r.Command(j.Planned, replicate)
	}
	r.keep(r.Folder.Fail(f))
	if replicate > 0 {
		r.keep(r.ledger.add(r.ledger.failedRow(j.Planned, replicate)))
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	r.count.Failed++
	if s := r.sums[j.ID]; s != nil {
		s.stoppedBy = "failures"
	}
	r.watch()
}
