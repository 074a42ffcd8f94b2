package growth

import (
	"math"
	"math/rand/v2"
	"testing"
)

// Whoever owns a cell was born: a seed, or a nucleus of the list. A late nucleus in a far corner,
// in a body that is certified whole but for a handful of cells, is the case in which the last of
// these may be captured before it comes.
func TestOwnersWereBorn(t *testing.T) {
	for late := range 12 {
		s := newScene("a seed and a late nucleus", 90, 90, 1, 0.5)
		s.seed(2, s.axes("15"), s.middle()...)
		at := 2 + late
		s.nuclei = append(s.nuclei, Root{At: [3]float64{float64(at), 3, 0}, Half: s.seeds[0].Half, Axes: s.axes("skew"),
			BornH: 300 + 20*float64(late), Cell: [3]int{at, 3, 0}})
		s.nuclei[0].Half[0], s.nuclei[0].Half[1], s.nuclei[0].Half[2] = 0, 0, 0
		f, born := s.growAs(options{certify: true, bucket: 0.03})
		n := f.front.grid.N
		row := make([]Cell, n[0])
		for y := range n[1] {
			f.Row(y, 0, row)
			for x, c := range row {
				if c.Grain > 0 && (len(born) == 0 || born[0] != int(c.Grain)) {
					t.Fatalf("nucleus at %d: cell (%d, %d) belongs to grain %d, born are %v", at, x, y, c.Grain, born)
				}
			}
		}
	}
}

// A nucleus may lie anywhere in its cell, and then that cell is solid at once although the grain's
// own box reaches its centre later: one that comes just before another grain is born, one just
// after is void, certified or not.
func TestBornJustBeforeAnotherGrain(t *testing.T) {
	t.Parallel()
	born := [2]int{}
	for n := range 120 {
		s := newScene("a nucleus about to be overrun", 40, 40, 1, 0.5)
		s.seed(2, s.axes("0"), s.middle()...)
		r := rand.New(rand.NewPCG(3, uint64(n)))
		cell := [3]int{r.IntN(40), r.IntN(40), 0}
		f, _ := s.growAs(options{certify: true, bucket: 0.03})
		at := f.hours(f.Key(cell[0], cell[1], 0) + 0.5*(r.Float64()-0.5))
		s.nuclei = []Root{{At: [3]float64{float64(cell[0]) + r.Float64() - 0.5, float64(cell[1]) + r.Float64() - 0.5, 0},
			Half: [3]float64{0, math.Inf(1), 0}, Axes: s.random(r), BornH: at, Cell: cell}}
		g, one := s.growAs(options{certify: true, bucket: 0.03})
		h, two := s.growAs(options{bucket: 0.03})
		if len(one) == 1 && len(two) == 1 && one[0] != two[0] {
			t.Errorf("nucleus %d: certified %v, captured one by one %v", n, one, two)
		}
		if a, b := g.Key(cell[0], cell[1], 0), h.Key(cell[0], cell[1], 0); a != b {
			t.Errorf("nucleus %d: its cell comes at %v certified, at %v captured one by one", n, a, b)
		}
		if len(one) == 1 && one[0] >= 0 {
			born[0]++
		} else {
			born[1]++
		}
	}
	if min(born[0], born[1]) < 30 {
		t.Errorf("%d born, %d void: wanted both often", born[0], born[1])
	}
}
