package studies

import (
	"maps"
	"math"
	"slices"
)

// sum is what the row of a case is made of.
type sum struct {
	Planned
	programmeH float64
	scattered  bool            // its seeds are placed anew in each replicate
	oddsOnly   bool            // all placings count, not those of its runs alone
	placed     map[int]placed  // the run without strays; with placing scatter one for each replicate
	single     map[int]bool    // of each finished replicate
	diameters  map[int]float64 // clear diameters, likewise
	fullHs     map[int]float64
	failed     int // by this command
	stoppedBy  string
	told       *told // by an earlier command
	fresh      bool  // finished, and its row not written yet
	reused     bool  // told is all there is to say of its odds
	settled    []any // its row, once it is finished
}

func (r *Runner) sum(id string) *sum {
	s := r.sums[id]
	if s == nil {
		s = &sum{placed: map[int]placed{}, single: map[int]bool{}, diameters: map[int]float64{},
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
	s.Planned = Planned{ID: s.ID}
	s.placed, s.single, s.diameters, s.fullHs, s.told = nil, nil, nil, nil, nil
}

// row is the row of a case. What was not counted or worked out is NaN, an empty place in the table.
func (s *sum) row() []any {
	if s.settled != nil {
		return s.settled
	}
	hits, n := s.hits()
	fraction, low, high := math.NaN(), math.NaN(), math.NaN()
	if n > 0 {
		fraction = float64(hits) / float64(n)
		low, high = s.study.interval95(hits, n)
	}
	exact := s.exact()
	diameters, full := sorted(s.diameters), sorted(s.fullHs)
	fullH := quantile(full, 0.5)
	if n == 0 {
		fullH = exact.FullH
	}
	programme := s.programmeH
	if programme == 0 {
		programme = math.NaN()
	}
	var places, placings any
	if exact.Placings > 0 {
		placings = exact.Placings
	}
	if text := s.study.design.places(s.Index); text != "" {
		places = text
	}
	var because any
	if exact.Because != "" {
		because = exact.Because
	}
	return append(append([]any{s.ID}, s.Values...), n, hits, fraction, low, high, exact.Probability, exact.ExpectedStrays,
		quantile(diameters, 0.5), quantile(diameters, 0.1), quantile(diameters, 0.9), fullH, programme, s.stoppedBy, places,
		placings, exact.Error, because)
}

// exact are the odds of the case. Where runs were counted, those of their placings alone: given
// these, the counted share scatters about the exact one by the nuclei and nothing else, wherever a
// case has stopped.
func (s *sum) exact() Odds {
	if s.reused {
		return s.told.Odds
	}
	all := s.placed
	if _, n := s.hits(); s.scattered && n > 0 && !s.oddsOnly {
		all = maps.Clone(all)
		maps.DeleteFunc(all, func(k int, _ placed) bool { _, done := s.single[k]; return !done })
	}
	return mean(all, s.scattered)
}

// realOr is a value of a table, NaN where there is none.
func realOr(v any) float64 {
	if x, ok := v.(float64); ok {
		return x
	}
	return math.NaN()
}

func sorted(m map[int]float64) []float64 {
	out := slices.DeleteFunc(slices.Collect(maps.Values(m)), math.IsNaN)
	slices.Sort(out)
	return out
}
