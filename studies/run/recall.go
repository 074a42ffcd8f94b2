package run

import (
	"github.com/sourcegraph/conc/iter"

	"onegrain/studies"
	"onegrain/studies/again"
	"onegrain/studies/table"
)

// told is what an earlier command has written of a case that it had finished.
type told struct {
	again.Odds
	runs       int
	programmeH float64
}

// recall reads what was finished by earlier commands: runs, and the rows of cases.
func (r *Runner) recall() error {
	done, cases, moved, err := r.Folder.Recall(r.own)
	if err != nil {
		return err
	}
	r.old, r.count.Moved = cases, moved
	for row := range done.Len() {
		id, _ := done.Value(row, "case_id").(string)
		replicate, _ := done.Value(row, "replicate").(int64)
		if done.Value(row, "status") == "failed" {
			continue
		}
		single, _ := done.Value(row, "single_grain").(bool)
		r.sum(id).note(int(replicate), single, done.Value(row, "clear_diameter_mm"), done.Value(row, "time_to_full_h"))
	}
	for row := range r.old.Len() {
		if t := toldBy(r.old, row); t != nil {
			id, _ := r.old.Value(row, "case_id").(string)
			r.sum(id).told = t
		}
	}
	return nil
}

// toldBy is nil for the row of a case that was not finished.
func toldBy(f *table.Frame, row int) *told {
	probability, exact := f.Value(row, "single_grain_probability_exact").(float64)
	strays, both := f.Value(row, "expected_strays_exact").(float64)
	by := f.Value(row, "stopped_by")
	if !exact || !both || by == "interrupted" || by == "failures" {
		return nil
	}
	n, _ := f.Value(row, "runs").(int64)
	because, _ := f.Value(row, "never_because").(string)
	placings, _ := f.Value(row, "placings").(int64)
	o := again.Odds{Probability: probability, Error: realOr(f.Value(row, "single_grain_probability_exact_se")), ExpectedStrays: strays,
		FullH: realOr(f.Value(row, "time_to_full_h")), Placings: int(placings), Because: because}
	return &told{Odds: o, runs: int(n), programmeH: realOr(f.Value(row, "programme_h"))}
}

// whole tells whether nothing of a case is left to do, its odds included.
func (r *Runner) whole(s *sum) bool {
	if s == nil || s.told == nil {
		return false
	}
	hits, n := s.hits()
	if s.told.runs != n {
		return false // its row was written before or after its last runs: the odds may belong to other placings of its seeds
	}
	if r.OddsOnly {
		return true
	}
	if s.told.Placings > 0 && s.told.Placings != n {
		return false // the odds alone were asked for then, and are of other placings than the runs
	}
	last := r.Study.Replicates
	if n < last && n%studies.Batch == 0 && r.Study.Precise(hits, n) {
		last = n
	}
	for k := 1; k <= last; k++ {
		if _, ok := s.single[k]; !ok {
			return false
		}
	}
	return true
}

// reuse takes a finished case as it is.
func (r *Runner) reuse(s *sum) {
	s.reused, s.programmeH = true, s.told.programmeH
	_, n := s.hits()
	r.count.Skipped += n
	r.ends(s)
	s.fresh = false
}

// compare counts what the folder holds of the study, and tells that and what was moved out of it.
func (r *Runner) compare() {
	if len(r.sums)+r.count.Moved.Cases == 0 || r.Recalled == nil {
		return
	}
	for id, s := range r.sums {
		switch _, n := s.hits(); {
		case !r.mine(r.ours[id]) || n == 0 && !r.whole(s):
		case r.whole(s):
			r.count.Reused++
		default:
			r.count.Begun++
		}
	}
	r.Recalled(r.count)
}

// own tells whether a case is of this study and model version.
func (r *Runner) own(id string) bool {
	if r.ours == nil {
		r.ours = Identities(r.Study, studies.ModelVersion, r.Workers)
	}
	_, of := r.ours[id]
	return of
}

// Settle moves what a results folder holds of other versions out of the way, as a Runner does before its first run.
func Settle(study *studies.Study, folder *table.Folder, workers int) (table.Moved, error) {
	_, _, moved, err := folder.Recall((&Runner{Study: study, Workers: workers}).own)
	return moved, err
}

// Identities are those of all cases of a study under a model version, each with the first case that has it.
func Identities(s *studies.Study, model string, workers int) map[string]int {
	all := make([]string, s.Cases())
	each := iter.Iterator[string]{MaxGoroutines: max(1, workers)}
	each.ForEachIdx(all, func(i int, id *string) {
		if p, found := s.Identify(i); len(found) == 0 { // what is wrong with it is told when its turn comes
			*id = p.Under(model)
		}
	})
	ids := map[string]int{}
	for i, id := range all {
		if _, twin := ids[id]; !twin {
			ids[id] = i
		}
	}
	delete(ids, "")
	return ids
}

// mine tells whether case i belongs to the shard.
func (r *Runner) mine(i int) bool { return r.Shards <= 1 || i%r.Shards == r.Shard-1 }
