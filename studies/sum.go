package studies

import (
	"maps"
	"math"
	"slices"

	"onegrain/sim/measure"
)

// sum is what the row of a case is made of.
type sum struct {
	Planned
	programmeH float64
	fullH      float64         // of the run without strays
	odds       []measure.Odds  // one; with placing scatter one for each replicate
	single     map[int]bool    // of each finished replicate
	diameters  map[int]float64 // clear diameters, likewise
	fullHs     map[int]float64
	failed     int // by this command
	stoppedBy  string
	told       *told // by an earlier command
	fresh      bool  // finished, and its row not written yet
	settled    []any // its row, once it is finished
}

func (r *Runner) sum(id string) *sum {
	s := r.sums[id]
	if s == nil {
		s = &sum{single: map[int]bool{}, diameters: map[int]float64{}, fullHs: map[int]float64{}}
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
	s.odds, s.single, s.diameters, s.fullHs, s.told = nil, nil, nil, nil, nil
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
	probability, strays := s.exact()
	diameters, full := sorted(s.diameters), sorted(s.fullHs)
	fullH := quantile(full, 0.5)
	if n == 0 && len(s.odds) > 0 {
		fullH = s.fullH
	}
	programme := s.programmeH
	if len(s.odds) == 0 && programme == 0 {
		programme = math.NaN()
	}
	var places any
	if text := s.study.design.places(s.Index); text != "" {
		places = text
	}
	return append(append([]any{s.ID}, s.Values...), n, hits, fraction, low, high, probability, strays,
		quantile(diameters, 0.5), quantile(diameters, 0.1), quantile(diameters, 0.9), fullH, programme, s.stoppedBy, places)
}

// exact is the mean of the odds over the placings of the seeds, of which there is one where they lie without scatter.
func (s *sum) exact() (probability, strays float64) {
	n := float64(len(s.odds))
	if n == 0 {
		return math.NaN(), math.NaN()
	}
	p, e := make([]float64, 0, len(s.odds)), make([]float64, 0, len(s.odds))
	for _, o := range s.odds {
		p, e = append(p, o.Probability), append(e, o.ExpectedStrays)
	}
	slices.Sort(p) // workers finish in any order, sums must not depend on it
	slices.Sort(e)
	for i := range p {
		probability += p[i]
		strays += e[i]
	}
	return probability / n, strays / n
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
