package run

import (
	"maps"
	"math"
	"onegrain/studies"
	"onegrain/studies/again"
	"onegrain/studies/column"
)

// sum is what the row of a case is made of.
type sum struct {
	studies.Planned
	programmeH float64
	scattered  bool                  // its seeds are placed anew in each replicate
	oddsOnly   bool                  // all placings count, not those of its runs alone
	placed     map[int]again.Placing // the run without strays; with placing scatter one for each replicate
	single     map[int]bool          // of each finished replicate
	diameters  map[int]float64       // clear diameters, likewise
	fullHs     map[int]float64
	failed     int // by this command
	stoppedBy  string
	told       *told        // by an earlier command
	fresh      bool         // finished, and its row not written yet
	reused     bool         // told is all there is to say of its odds
	settled    *column.Case // its row, once it is finished
}

func (r *Runner) sum(id string) *sum {
	s := r.sums[id]
	if s == nil {
		s = &sum{placed: map[int]again.Placing{}, single: map[int]bool{}, diameters: map[int]float64{},
			fullHs: map[int]float64{}}
		r.sums[id] = s
	}
	return s
}

func (s *sum) note(replicate int, single bool, diameter, fullH any) {
	s.single[replicate] = single
	if x, ok := diameter.(float64); ok {
		s.diameters[replicate] = x
	}
	if x, ok := fullH.(float64); ok {
		s.fullHs[replicate] = x
	}
}

func (s *sum) hits() (hits, n int) {
	for _, single := range s.single {
		if single {
			hits++
		}
	}
	return hits, len(s.single)
}

// settle makes the row of a finished case, which is all that stays of it.
func (s *sum) settle() {
	s.settled = s.row()
	s.Planned = studies.Planned{ID: s.ID, Values: s.Values}
	s.placed, s.single, s.diameters, s.fullHs, s.told = nil, nil, nil, nil, nil
}

// row is the row of a case. What was not counted or worked out is NaN, an empty place in the table.
func (s *sum) row() *column.Case {
	if s.settled != nil {
		return s.settled
	}
	hits, n := s.hits()
	exact := s.exact()
	row := &column.Case{
		Runs: n, SingleGrainRuns: hits,
		SingleGrainFraction: math.NaN(), SingleGrainFractionLow: math.NaN(), SingleGrainFractionHigh: math.NaN(),
		ClearDiameterMMMedian: again.Quantile(s.diameters, 0.5),
		ClearDiameterMMP10:    again.Quantile(s.diameters, 0.1),
		ClearDiameterMMP90:    again.Quantile(s.diameters, 0.9),
		TimeToFullH:           exact.FullH,
		ProgrammeH:            s.programmeH,
		StoppedBy:             s.stoppedBy,
		DesignPoints:          s.DesignPoints(),
		Exact:                 exact,
	}
	if n > 0 {
		row.SingleGrainFraction = float64(hits) / float64(n)
		row.SingleGrainFractionLow, row.SingleGrainFractionHigh = s.Study.Interval95(hits, n)
		row.TimeToFullH = again.Quantile(s.fullHs, 0.5)
	}
	if s.programmeH == 0 {
		row.ProgrammeH = math.NaN()
	}
	return row
}

// exact are the odds of the case. Where runs were counted, those of their placings alone: given
// these, the counted share scatters about the exact one by the nuclei and nothing else, wherever a
// case has stopped.
func (s *sum) exact() again.Odds {
	if s.reused {
		return s.told.Odds
	}
	all := s.placed
	if _, n := s.hits(); s.scattered && n > 0 && !s.oddsOnly {
		all = maps.Clone(all)
		maps.DeleteFunc(all, func(k int, _ again.Placing) bool { _, done := s.single[k]; return !done })
	}
	return again.Mean(all, s.scattered)
}

// realOr is a value of a table, NaN where there is none.
func realOr(v any) float64 {
	if x, ok := v.(float64); ok {
		return x
	}
	return math.NaN()
}
