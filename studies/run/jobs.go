package run

import (
	"fmt"
	"io"
	"time"

	"onegrain/sim"
	"onegrain/sim/measure"
	"onegrain/studies"
	"onegrain/studies/again"
	"onegrain/studies/column"
	"onegrain/studies/table"
)

// jobs hands out the cases of the shard one by one. Two cases of the same physics are one.
func (r *Runner) jobs() func() *job {
	i, seen := -1, map[string]bool{}
	return func() *job {
		for i++; i < r.Study.Cases(); i++ {
			if !r.mine(i) {
				continue
			}
			p, found := r.Study.Identify(i)
			if len(found) > 0 {
				return &job{progress: &progress{Planned: p}, err: found.Err()}
			}
			if seen[p.ID] {
				continue
			}
			seen[p.ID] = true
			if j := r.job(p); j != nil {
				return j
			}
		}
		return nil
	}
}

// job is what is left to do of a case, nil for nothing.
func (r *Runner) job(p studies.Planned) *job {
	r.mu.Lock()
	defer r.mu.Unlock()
	s := r.progress(p.ID)
	s.Planned, s.stoppedBy = p, "interrupted"
	r.order = append(r.order, s)
	if s.whole(r) {
		r.reuse(s)
		return nil
	}
	j := &job{progress: s, bytes: p.Bytes()}
	for k := 1; k <= r.Study.Replicates && !r.OddsOnly; k++ {
		if _, done := s.runs[k]; done {
			r.count.Skipped++
		} else {
			j.waiting = append(j.waiting, k)
		}
	}
	return j
}

// begin grows the case without strays: its odds, and what every replicate starts from. Where seeds
// are placed anew in each replicate there is nothing to share: each placing is a task of its own,
// also those of replicates done earlier, whose odds are worked out again.
func (r *Runner) begin(j *job) error {
	if j.err != nil {
		return j.err
	}
	c, err := j.Case() // which checks it
	if err != nil {
		return err
	}
	over := r.laws.Over(j.Planned, c)
	r.mu.Lock()
	r.count.Cases++
	j.over = over
	j.programmeH, j.scattered, j.oddsOnly = c.Programme.EndH(), c.Scattered(), r.OddsOnly
	placings := r.Study.Replicates // those of all replicates, counted or still to be
	for k := range j.runs {
		placings = max(placings, k)
	}
	r.mu.Unlock()
	first, table := again.Place(&r.laws.Tables, c, c.Placed(j.Key(1)), nil)
	if !table || !r.OddsOnly && !r.Study.EachLaw { // else no run of the middle law is asked for
		j.ready = sim.Prepare(c)
	}
	j.on, j.table = c, table
	switch {
	case !j.scattered && j.ready == nil:
		r.place(j, 1, first)
		return nil
	case !j.scattered:
		j.seeded = j.ready.Seeded(j.Key(1))
		j.survey = measure.Look(j.seeded, j.JoinDeg)
		if !table {
			first, _ = again.Place(&r.laws.Tables, c, j.seeded.Grains, j.survey)
		}
		r.place(j, 1, first)
		return nil
	}
	if r.OddsOnly { // none are counted
		placings = r.Study.Placings()
	}
	j.waiting = nil
	for k := range placings {
		j.waiting = append(j.waiting, k+1)
	}
	return nil
}

// place notes the odds of a placing. It is false where they are all that was wanted of it.
func (r *Runner) place(j *job, k int, p again.Placing) (wanted bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	j.placed[k] = p
	_, done := j.runs[k]
	if r.OddsOnly {
		r.count.Runs++
		r.watch()
	}
	return !r.OddsOnly && !done
}

// replicate does one run and hands its rows to the ledger.
func (r *Runner) replicate(j *job, k int) error {
	start := time.Now()
	seeded, survey := j.seeded, j.survey
	if j.scattered {
		p, _ := again.Place(&r.laws.Tables, j.on, j.on.Placed(j.Key(k)), nil)
		if j.ready != nil {
			seeded = j.ready.Seeded(j.Key(k))
			survey = measure.Look(seeded, j.JoinDeg)
		}
		if !j.table {
			p, _ = again.Place(&r.laws.Tables, j.on, seeded.Grains, survey)
		}
		if !r.place(j, k, p) {
			return nil
		}
	}
	if r.Study.EachLaw {
		seeded = sim.Seeded(j.Run(j.on, k), j.Key(k))
		survey = measure.Look(seeded, j.JoinDeg)
	}
	o := seeded
	if r.Engine != nil {
		o = r.Engine(seeded, j.Planned, k)
	} else {
		o = seeded.Strays(j.Key(k))
	}
	if o != seeded {
		survey = measure.Look(o, j.JoinDeg)
	}
	row, m := recorded(j.Planned, k, survey, time.Since(start))
	if keep := r.Study.Fields; r.Field != nil && (keep == "all" || keep == "first" && k == 1) {
		r.stored(r.Folder.AddVolume(fmt.Sprintf("%s-%d.vti", j.ID, k), func(w io.Writer) error { return r.Field(w, o) }))
	}
	r.stored(r.ledger.add(row))
	r.mu.Lock()
	defer r.mu.Unlock()
	j.add(k, &m)
	r.count.Runs++
	r.watch()
	return nil
}

func (r *Runner) watch() {
	if r.Watch != nil {
		r.Watch(r.count)
	}
}

// enough stops a case whose interval is narrow. It looks at whole batches only: an earlier command
// may have left holes in one.
func (r *Runner) enough(j *job) bool {
	r.mu.Lock()
	defer r.mu.Unlock()
	hits, n := j.hits()
	if r.OddsOnly || n+j.failed != j.waiting[0]-1 || !r.Study.Precise(hits, n) {
		return false
	}
	j.stoppedBy = "precision"
	return true
}

func (r *Runner) finish(j *job) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if j.stoppedBy != "failures" {
		r.ends(j.progress)
	}
}

// ends says why a case is finished and makes its row.
func (r *Runner) ends(s *progress) {
	switch hits, n := s.hits(); {
	case s.stoppedBy == "precision":
	case n >= r.Study.Replicates:
		s.stoppedBy = "replicates"
	case n%studies.Batch == 0 && r.Study.Precise(hits, n):
		s.stoppedBy = "precision"
	default:
		s.stoppedBy = "odds only"
	}
	s.settle()
}

// failed writes down what went wrong with a run, or with a case before its first run.
func (r *Runner) failed(j *job, replicate int, err error) {
	f := table.Failure{CaseID: j.ID, Replicate: replicate, Values: j.Varied(), Error: err.Error()}
	if r.Command != nil {
		f.Command = r.Command(j.Planned, replicate)
	}
	r.stored(r.Folder.Fail(f))
	if replicate > 0 {
		r.stored(r.ledger.add(record{j.Planned, replicate, map[string][]any{"runs": {&column.Run{Status: "failed"}}}}))
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	r.count.Failed++
	j.failed++
	j.stoppedBy = "failures"
	r.watch()
}
