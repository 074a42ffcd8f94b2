package studies

import (
	"github.com/sourcegraph/conc/iter"

	"onegrain/studies/table"
)

// told is what an earlier command has written of a case that it had finished.
type told struct {
	Odds
	runs       int
	programmeH float64
}

// recall reads what was finished by earlier commands: runs, and the rows of cases.
func (r *Runner) recall() error {
	done, err := r.Folder.Done()
	if err != nil {
		return err
	}
	for row := range done.Len() {
		id, _ := done.Value(row, "case_id").(string)
		replicate, _ := done.Value(row, "replicate").(int64)
		if done.Value(row, "status") == "failed" {
			continue
		}
		single, _ := done.Value(row, "single_grain").(bool)
		r.sum(id).note(int(replicate), single, done.Value(row, "clear_diameter_mm"), done.Value(row, "time_to_full_h"))
	}
	if r.old, err = r.Folder.Table("cases"); err != nil {
		return err
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
	placings, _ := f.Value(row, "placings").(int64)
	o := Odds{Probability: probability, Error: realOr(f.Value(row, "single_grain_probability_exact_se")), ExpectedStrays: strays,
		FullH: realOr(f.Value(row, "time_to_full_h")), Placings: int(placings)}
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
	if n < last && n%batch == 0 && precise(hits, n, r.Study.Precision) {
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

// compare counts what the folder holds of the study and what it holds beside it, and tells both.
func (r *Runner) compare() error {
	if len(r.sums) == 0 || r.Recalled == nil {
		return nil
	}
	versions, err := r.Folder.ModelVersions()
	if err != nil {
		return err
	}
	ours, theirs := r.identities(versions)
	for id, s := range r.sums {
		i, of := ours[id]
		_, n := s.hits()
		switch {
		case of && !r.mine(i) || of && n == 0 && !r.whole(s):
		case of && r.whole(s):
			r.count.Reused++
		case of:
			r.count.Begun++
		case theirs[id]:
			r.count.Outdated++
		default:
			r.count.Gone++
		}
	}
	r.Recalled(r.count)
	return nil
}

// identities are those of all cases, with the first case of each, and those they have under other model versions.
func (r *Runner) identities(versions []string) (ours map[string]int, theirs map[string]bool) {
	all := make([][]string, r.Study.Cases())
	each := iter.Iterator[[]string]{MaxGoroutines: max(1, r.Workers)}
	each.ForEachIdx(all, func(i int, ids *[]string) {
		p, _ := r.Study.identify(i) // what is wrong with it is told when its turn comes
		*ids = append(*ids, p.ID)
		for _, v := range versions {
			*ids = append(*ids, identity(v, p.text))
		}
	})
	ours, theirs = map[string]int{}, map[string]bool{}
	for i, ids := range all {
		if _, twin := ours[ids[0]]; !twin {
			ours[ids[0]] = i
		}
		for _, id := range ids[1:] {
			theirs[id] = true
		}
	}
	return ours, theirs
}

// mine tells whether case i belongs to the shard.
func (r *Runner) mine(i int) bool { return r.Shards <= 1 || i%r.Shards == r.Shard-1 }
