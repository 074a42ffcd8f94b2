package growth

import (
	"math"
	"testing"
)

// In a periodic body a seed at the edge must grow like one in the middle, moved along: the same
// cells at the same keys. Tolerance: none but the rounding of coordinates, 1e-4 cell. Canary:
// without periodicity the far corner comes late.
func TestPeriodicShift(t *testing.T) {
	for _, n := range [][3]int{{40, 32, 24}, {64, 48, 1}} {
		grow := func(at [3]float64, periodic bool) *Field {
			s := newScene("periodic", n[0], n[1], n[2], 0.7)
			s.seed(1.5, s.axes("15"), at[0], at[1], at[2])
			s.space.Grid.Periodic = periodic
			f, _ := s.grow()
			return f
		}
		var at, moved [3]float64
		for a := range n {
			at[a] = float64(n[a] / 2)
			moved[a] = float64(min(1, n[a]-1))
		}
		f, g, walled := grow(at, true), grow(moved, true), grow(moved, false)
		worst, canary := 0.0, 0.0
		for z := range n[2] {
			for y := range n[1] {
				for x := range n[0] {
					w := func(i, a int) int { return (i + int(moved[a]) - int(at[a]) + n[a]) % n[a] }
					want := f.Key(x, y, z)
					got := g.Key(w(x, 0), w(y, 1), w(z, 2))
					if math.IsNaN(got) || math.IsNaN(want) {
						t.Fatalf("%v: cell %d %d %d: %v and %v", n, x, y, z, want, got)
					}
					worst = math.Max(worst, math.Abs(want-got))
					canary = math.Max(canary, math.Abs(want-walled.Key(w(x, 0), w(y, 1), w(z, 2))))
				}
			}
		}
		if worst > 1e-4 {
			t.Errorf("%v: keys differ by %g cell", n, worst)
		}
		if canary < 1 {
			t.Errorf("%v: a walled body passes", n)
		}
	}
}
