package shelf

import (
	"math"
	"slices"
)

// Grid of the shelf, and laws it is made with.
const (
	starts    = 24
	shallow   = 0.3 // of the deepest: the first start
	shelfLaws = 150
)

// rates of the shelf, K/h.
func rates() []float64 { return []float64{0, 0.02, 0.05, 0.1, 0.2, 0.4, 0.8} }

// shelf is programmes with their fates by some laws, none of which ends.
type shelf struct {
	*Task
	laws       []int
	programmes []Programme
	fates      [][]fate
}

func (t *Task) shelf(laws []int) *shelf {
	s := &shelf{Task: t, laws: laws}
	for i := range starts {
		start := t.DeepestK * (shallow + (1-shallow)*float64(i)/(starts-1))
		for _, rate := range rates() {
			if rate == 0 || i < starts-1 { // the deepest start is held
				s.programmes = append(s.programmes, Programme{start, rate})
			}
		}
	}
	for _, p := range s.programmes {
		s.fates = append(s.fates, t.fates(t.points(p, math.Inf(1)), laws, Own()))
	}
	return s
}

// best is the programme of the shelf that ends first.
func (s *shelf) best(wanted float64) (p Programme, endH float64) {
	endH = math.Inf(1)
	for i, fates := range s.fates {
		if end := s.end(fates, s.laws, wanted); end < endH {
			p, endH = s.programmes[i], end
		}
	}
	return p, endH
}

// known is the hours of the best programme of the shelf where the law is known, in the mean over
// the laws.
func (s *shelf) known(wanted float64) float64 {
	sum, n := 0.0, 0.0
	for law := range s.laws {
		best := math.Inf(1)
		for i := range s.fates {
			if f := s.fates[i][law]; f.chance >= wanted {
				best = math.Min(best, f.fullH)
			}
		}
		if !math.IsInf(best, 1) {
			sum, n = sum+best, n+1
		}
	}
	return sum / n
}

// considered are the programmes of a shelf by hours and chance, those of no chance left out.
func (s *shelf) considered(endH float64) (all []Considered) {
	for i, p := range s.programmes {
		var chances, hours []float64
		for _, f := range s.fates[i] {
			chances, hours = append(chances, f.chance), append(hours, f.fullH)
		}
		slices.Sort(hours)
		c := Considered{Programme: p, FullH: hours[len(hours)/2]}
		if c.Chance, c.Low, c.High = spread(chances); c.Chance > 0.01 && c.FullH < 3*endH {
			all = append(all, c)
		}
	}
	return all
}
