package growth

import (
	"math"
	"math/rand/v2"
	"testing"

	"onegrain/sim/body"
)

// winding is a plane of lanes that lead to and fro: walls of 1 to 3 cells between them, open at one
// end in turn.
func winding(r *rand.Rand) *scene {
	lane, wall, lanes := 1+r.IntN(4), 1+r.IntN(3), 3+r.IntN(6)
	s := newScene("winding", 20+r.IntN(60), lanes*(lane+wall)-wall, 1, 0.3+r.Float64())
	n := s.space.Grid.N
	return s.carve(func(x, y float64) bool {
		i, at := int(y)/(lane+wall), int(y)%(lane+wall)
		open := int(x) < lane
		if i%2 == 0 {
			open = int(x) >= n[0]-lane
		}
		return at >= lane && !open
	}, func(x, y float64) bool { return false })
}

// steps are those from cell to cell across faces that lead from a place to the farthest cell of a
// plane, the longest way that growth can be forced to go.
func steps(g *body.Grid, from [3]int) (most int) {
	at := map[[2]int]int{{from[0], from[1]}: 1}
	for open := [][2]int{{from[0], from[1]}}; len(open) > 0; open = open[1:] {
		c := open[0]
		most = max(most, at[c]-1)
		for _, d := range [][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
			to := [2]int{c[0] + d[0], c[1] + d[1]}
			if g.State(to[0], to[1], 0) == body.Inside && at[to] == 0 {
				at[to] = at[c] + 1
				open = append(open, to)
			}
		}
	}
	return most
}

// Growth ends where there is no liquid any more, or where the programme does, and nowhere else: in
// thin bodies, in winding ones, and from nuclei that come when the a faces have long grown further
// than the body is wide.
//
// Source: a straight step by one cell costs a grain one cell of its slowest face at most, whatever
// its turn (the box holds the disc of that radius), so a body is full when the slowest face has
// grown as many cells as there are steps to its farthest one; and no place is reached before the
// free box reaches it. Tolerance: 2 cells for the seed's own and for cut boxes, 2 %. Canary:
// programmes that end at 0.9 of the earliest hour leave liquid.
func TestGrowthEndsOnlyWithLiquid(t *testing.T) {
	t.Parallel()
	long := 0
	for n := range uint64(200) {
		r := rand.New(rand.NewPCG(31, n))
		var s *scene
		switch n % 3 {
		case 0:
			s = winding(r)
		case 1:
			s = newScene("thin", 40+r.IntN(160), 1+r.IntN(3), 1, 0.3+r.Float64())
		case 2:
			s = newScene("late", 10+r.IntN(30), 10+r.IntN(30), 1, 0.3+r.Float64())
		}
		g := s.space.Grid
		from := [3]int{r.IntN(g.N[0]), 0, 0}
		half, born := 1.0, 0.0
		rateA := s.space.A.Rate(20)
		slowest := math.Min(1, s.space.C.Rate(20)/rateA)
		if n%3 == 2 {
			half, born = 0, (0.5+4*r.Float64())*float64(g.N[0]+g.N[1])/rateA
		}
		s.seed(half, s.random(r), float64(from[0]), float64(from[1]), 0)
		if half == 0 {
			root := s.seeds[0]
			root.Seed, root.BornH, root.Cell = false, born, from
			s.seeds, s.nuclei = nil, []Root{root}
		}
		far := steps(g, from)
		latest := born + 1.02*(float64(far)+2)/slowest/rateA
		s.space.Programme = programme(-1e-6, -1, 0, 20, latest+1, 20)
		f, _ := s.grow()
		full, free := 0.0, 0.0
		for y := range g.N[1] {
			for x := range g.N[0] {
				if g.State(x, y, 0) != body.Inside {
					continue
				}
				key := f.Key(x, y, 0)
				if math.IsNaN(key) {
					t.Fatalf("body %d (%s): cell (%d, %d) is liquid at the end; the farthest cell is %d steps away", n, s.name, x, y,
						far)
				}
				full = math.Max(full, f.hours(key))
				free = math.Max(free, s.straight(x, y, rateA, half))
			}
		}
		if full > latest || full < born+free-1e-3/rateA {
			t.Errorf("body %d (%s): full after %.1f h, not between %.1f and %.1f h", n, s.name, full, born+free, latest)
		}
		if full*rateA > f.front.clock.size {
			long++
		}
		s.space.Programme = programme(-1e-6, -1, 0, 20, math.Max(0.9*(born+free), 1e-3), 20)
		if f, _ = s.grow(); !math.IsInf(f.FullByH(), 1) && born+free > 1 {
			t.Errorf("body %d (%s): full although the programme ended before", n, s.name)
		}
	}
	if long < 60 {
		t.Errorf("%d bodies take growth further than their own size: wanted 60 at least", long)
	}
}

// straight is when the free box of the scene's grain reaches a cell, hours after its birth at 20 K.
func (s *scene) straight(x, y int, rateA, half float64) float64 {
	g := append(append([]Root{}, s.seeds...), s.nuclei...)[0]
	dx, dy := float64(x)-g.At[0], float64(y)-g.At[1]
	a := math.Abs(g.Axes[0]*dx+g.Axes[1]*dy) - half
	c := math.Abs(g.Axes[6]*dx+g.Axes[7]*dy) - half
	return math.Max(0, math.Max(a/rateA, c/s.space.C.Rate(20)))
}
