package run

import (
	"math"

	"github.com/sourcegraph/conc/iter"

	"onegrain/sim/measure"
	"onegrain/studies"
	"onegrain/studies/again"
	"onegrain/studies/chances"
	"onegrain/studies/table"
)

// recall reads what was finished by earlier commands: runs, and the rows of cases.
func (r *Runner) recall() (err error) {
	var done *table.Frame
	if done, r.old, r.count.Moved, err = r.Folder.Recall(r.own); err != nil {
		return err
	}
	for row := range done.Len() {
		if done.Value(row, "status") == "failed" {
			continue
		}
		id, replicate := text(done, row, "case_id"), whole(done, row, "replicate")
		single, _ := done.Value(row, "single_grain").(bool)
		r.progress(id).add(replicate, &measure.Run{SingleGrain: single,
			ClearDiameterMM: number(done, row, "clear_diameter_mm"), TimeToFullH: number(done, row, "time_to_full_h")})
	}
	for row := range r.old.Len() {
		if before := finishedIn(r.old, row); before != nil {
			r.progress(text(r.old, row, "case_id")).before = before
		}
	}
	return nil
}

// number, whole and text are a value of a table; NaN, 0 and "" where there is none.
func number(f *table.Frame, row int, column string) float64 {
	if x, ok := f.Value(row, column).(float64); ok {
		return x
	}
	return math.NaN()
}

func whole(f *table.Frame, row int, column string) int {
	n, _ := f.Value(row, column).(int64)
	return int(n)
}

func text(f *table.Frame, row int, column string) string {
	s, _ := f.Value(row, column).(string)
	return s
}

// finishedIn is nil for the row of a case that was not finished.
func finishedIn(f *table.Frame, row int) *finished {
	o := again.Odds{
		Probability:    number(f, row, "single_grain_probability_exact"),
		Error:          number(f, row, "single_grain_probability_exact_se"),
		ExpectedStrays: number(f, row, "expected_strays_exact"),
		FullH:          number(f, row, "time_to_full_h"),
		Placings:       whole(f, row, "placings"),
		Because:        text(f, row, "never_because"),
	}
	by := text(f, row, "stopped_by")
	if math.IsNaN(o.Probability) || math.IsNaN(o.ExpectedStrays) || by == "interrupted" || by == "failures" {
		return nil
	}
	return &finished{o, overIn(f, row), whole(f, row, "runs"), number(f, row, "programme_h")}
}

// overIn is what all laws make of the case of a row.
func overIn(f *table.Frame, row int) chances.Over {
	const chance = "single_grain_chance"
	return chances.Over{
		SingleGrainChance: number(f, row, chance), SingleGrainChanceLow: number(f, row, chance+"_low"),
		SingleGrainChanceHigh: number(f, row, chance+"_high"), SingleGrainChanceWorse: number(f, row, chance+"_worse"),
		WorseFamily: text(f, row, "worse_family"), FamilyShare: number(f, row, "family_share"),
		TimeToFullHLow: number(f, row, "time_to_full_h_low"), TimeToFullHHigh: number(f, row, "time_to_full_h_high"),
		Laws: whole(f, row, "laws"), LawsBy: text(f, row, "laws_by"),
	}
}

// reuse takes a finished case as it is.
func (r *Runner) reuse(s *progress) {
	s.reused, s.programmeH, s.over = true, s.before.programmeH, s.before.over
	_, n := s.hits()
	r.count.Skipped += n
	r.ends(s)
	s.unwritten = false
}

// announce counts what the folder holds of the study, and tells that and what was moved out of it.
func (r *Runner) announce() {
	if len(r.cases)+r.count.Moved.Cases == 0 || r.Recalled == nil {
		return
	}
	for id, s := range r.cases {
		switch {
		case !r.mine(r.ours[id]):
		case s.whole(r):
			r.count.Reused++
		case len(s.runs) > 0:
			r.count.Begun++
		}
	}
	r.Recalled(r.count)
}

// own says whether a case is of this study and model version.
func (r *Runner) own(id string) bool {
	if r.ours == nil {
		r.ours = Identities(r.Study, studies.ModelVersion, r.Workers)
	}
	_, of := r.ours[id]
	return of
}

// Settle moves what a results folder holds of other versions out of the way, as a Runner does
// before its first run.
func Settle(study *studies.Study, folder *table.Folder, workers int) (table.Moved, error) {
	_, _, moved, err := folder.Recall((&Runner{Study: study, Workers: workers}).own)
	return moved, err
}

// Identities are those of all cases of a study under a model version, each with the first case that
// has it.
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

// mine says whether case i belongs to the shard.
func (r *Runner) mine(i int) bool { return r.Shards <= 1 || i%r.Shards == r.Shard-1 }
