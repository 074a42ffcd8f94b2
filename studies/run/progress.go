package run

import (
	"maps"
	"math"

	"onegrain/sim/measure"
	"onegrain/studies"
	"onegrain/studies/again"
	"onegrain/studies/chances"
	"onegrain/studies/column"
	"onegrain/studies/table"
)

// progress is what is known of a case so far, of which its row is made.
type progress struct {
	studies.Planned
	programmeH float64
	scattered  bool                  // its seeds are placed anew in each replicate
	oddsOnly   bool                  // all placings count, not those of its runs alone
	placed     map[int]again.Placing // the run without strays; with placing scatter one for each replicate
	runs       map[int]result        // of each finished replicate
	over       chances.Over          // all laws
	failed     int                   // by this command
	stoppedBy  string
	before     *finished    // by an earlier command
	unwritten  bool         // finished, and its row not written yet
	reused     bool         // its odds are those of before
	row        *column.Case // once it is finished
}

// result is what counts of a run; NaN where it does not exist.
type result struct {
	single            bool
	diameterMM, fullH float64
}

// finished is what an earlier command has written of a case that it had finished.
type finished struct {
	again.Odds
	over       chances.Over
	runs       int
	programmeH float64
}

func (r *Runner) progress(id string) *progress {
	s := r.cases[id]
	if s == nil {
		s = &progress{placed: map[int]again.Placing{}, runs: map[int]result{}, over: chances.None()}
		r.cases[id] = s
	}
	return s
}

func (s *progress) add(replicate int, m *measure.Run) {
	s.runs[replicate] = result{m.SingleGrain, m.ClearDiameterMM, m.TimeToFullH}
}

func (s *progress) hits() (hits, n int) {
	for _, run := range s.runs {
		if run.single {
			hits++
		}
	}
	return hits, len(s.runs)
}

// settle makes the row of a finished case, which is all that stays of it.
func (s *progress) settle() {
	s.row, s.unwritten = s.makeRow(), true
	s.Planned = studies.Planned{ID: s.ID, Values: s.Values}
	s.placed, s.runs, s.before = nil, nil, nil
}

// appendTo adds the row of the case to a table.
func (s *progress) appendTo(f *table.Frame) error {
	row := s.row
	if row == nil {
		row = s.makeRow()
	}
	return f.Append(f.Schema.Row(s.ID, 0, s.Values, row)...)
}

func (s *progress) makeRow() *column.Case {
	hits, n := s.hits()
	var diameters, fullHs []float64
	for _, run := range s.runs {
		diameters, fullHs = append(diameters, run.diameterMM), append(fullHs, run.fullH)
	}
	odds := s.odds()
	row := &column.Case{
		Runs: n, SingleGrainRuns: hits,
		SingleGrainFraction: math.NaN(), SingleGrainFractionLow: math.NaN(), SingleGrainFractionHigh: math.NaN(),
		ClearDiameterMMMedian: again.Quantile(diameters, 0.5),
		ClearDiameterMMP10:    again.Quantile(diameters, 0.1),
		ClearDiameterMMP90:    again.Quantile(diameters, 0.9),
		TimeToFullH:           odds.FullH,
		ProgrammeH:            s.programmeH,
		StoppedBy:             s.stoppedBy,
		DesignPoints:          s.DesignPoints(),
		Exact:                 odds,
		OverLaws:              s.over,
	}
	if n > 0 {
		row.SingleGrainFraction = float64(hits) / float64(n)
		row.SingleGrainFractionLow, row.SingleGrainFractionHigh = s.Study.Interval95(hits, n)
		row.TimeToFullH = again.Quantile(fullHs, 0.5)
	}
	if s.programmeH == 0 {
		row.ProgrammeH = math.NaN()
	}
	return row
}

// odds are the exact odds of the case. Where runs were counted, those of their placings alone:
// given these, the counted share scatters about the exact one by the nuclei and nothing else,
// wherever a case has stopped.
func (s *progress) odds() again.Odds {
	if s.reused {
		return s.before.Odds
	}
	placed := s.placed
	if s.scattered && len(s.runs) > 0 && !s.oddsOnly {
		placed = maps.Clone(placed)
		maps.DeleteFunc(placed, func(k int, _ again.Placing) bool {
			_, done := s.runs[k]
			return !done
		})
	}
	return again.Mean(placed, s.scattered)
}

// whole says whether nothing of a case is left to do, its odds included.
func (s *progress) whole(r *Runner) bool {
	if s == nil || s.before == nil {
		return false
	}
	hits, n := s.hits()
	if s.before.runs != n {
		return false // its row was written before or after its last runs: the odds may belong to other placings of its seeds
	}
	if r.OddsOnly {
		return true
	}
	if s.before.Placings > 0 && s.before.Placings != n {
		return false // the odds alone were asked for then, and are of other placings than the runs
	}
	last := r.Study.Replicates
	if n < last && n%studies.Batch == 0 && r.Study.Precise(hits, n) {
		last = n
	}
	for k := 1; k <= last; k++ {
		if _, ok := s.runs[k]; !ok {
			return false
		}
	}
	return true
}
