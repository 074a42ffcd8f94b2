package magnet

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"
)

// ribbon is a map of nx × ny cells of 1/ny mm, so 1 mm wide, about x = y = 0.
func ribbon(nx, ny int, grain func(x, y float64) int32) *Map {
	h := 1 / float64(ny)
	m := &Map{NX: nx, NY: ny, CellMM: h, OriginMM: [2]float64{(h - float64(nx)*h) / 2, (h - 1) / 2},
		Grain: make([]int32, nx*ny)}
	for u := range m.Grain {
		m.Grain[u] = grain(m.at(u))
	}
	return m
}

func limit(t *testing.T, m *Map, reach int) *Cut {
	t.Helper()
	c, err := strip(m, reach)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// cheapest is the least cut of the network of cells with four neighbours, in cells: every division
// of the cells into those on the side of the left end and those on the side of the right end is
// tried.
func cheapest(m *Map) float64 {
	s := newShares(m)
	type link struct {
		p, q  int // cells, or n for the left end and n + 1 for the right one
		share float64
	}
	n := len(m.Grain)
	var all []link
	for j := range m.NY {
		for i := range m.NX {
			u := j*m.NX + i
			if i == 0 {
				all = append(all, link{n, u, s.of(m.Grain[u], m.Grain[u])})
			}
			if i == m.NX-1 {
				all = append(all, link{u, n + 1, s.of(m.Grain[u], m.Grain[u])})
			} else {
				all = append(all, link{u, u + 1, s.of(m.Grain[u], m.Grain[u+1])})
			}
			if j < m.NY-1 {
				all = append(all, link{u, u + m.NX, s.of(m.Grain[u], m.Grain[u+m.NX])})
			}
		}
	}
	best := math.Inf(1)
	for sides := range 1 << n {
		sides |= 1 << n // the left end
		cost := 0.0
		for _, l := range all {
			if (sides>>l.p^sides>>l.q)&1 != 0 {
				cost += l.share
			}
		}
		best = min(best, cost)
	}
	return best
}

// TestStripAgainstAllCuts compares with every division of small maps into two sides. Shares are
// single precision: 1e-6.
func TestStripAgainstAllCuts(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 2))
	differs := 0
	for k := range 60 {
		nx, ny := 2+r.IntN(3), 1+r.IntN(3)
		if k < 4 {
			nx, ny = 4, 4
		}
		m := ribbon(nx, ny, func(x, y float64) int32 { return int32(r.IntN(5)) - int32(r.IntN(8)/7) })
		m.Share = func(p, q int32) float64 { return float64((p*7+q*3)%10) / 10 }
		want := cheapest(m) / float64(ny)
		if got := limit(t, m, 1).Share; math.Abs(got-want) > 1e-6 {
			t.Fatalf("%+v: share %v, wanted %v", m, got, want)
		}
		if long := limit(t, m, 3).Share; long > want+1e-6 {
			t.Fatalf("%+v: with more moves the cut gets dearer: %v, from %v", m, long, want)
		}
		m.Share = func(p, q int32) float64 { return float64((p*7+q*3+1)%10) / 10 }
		if math.Abs(limit(t, m, 1).Share-want) > 1e-6 {
			differs++
		}
	}
	if differs < 30 {
		t.Errorf("canary: with other shares only %d of 60 maps have another cut", differs)
	}
}

// TestHandMade is worked by hand: 6 × 4 cells, three grains; the boundary of 0 and 1 runs up two
// cells, to the right two, and up two; a void of one cell lies in grain 2. Along the boundary: 6
// cells of share 0.2 are 1.2; up the first half of it, 0.4, and then two cells through grain 1, 2,
// are 2.4; straight through grain 2 by the void, 3. So 1.2 of 4 cells pass. With diagonals both
// bends of the boundary are cut, and it is 2 + 2·√2 cells long.
func TestHandMade(t *testing.T) {
	m := &Map{NX: 6, NY: 4, CellMM: 0.5, Grain: []int32{
		0, 1, 1, 1, 2, 2,
		0, 1, 1, 1, 2, -1,
		0, 0, 0, 1, 2, 2,
		0, 0, 0, 1, 2, 2,
	}, Share: func(p, q int32) float64 {
		if p == 0 && q == 1 {
			return 0.2
		}
		return 0.9
	}}
	steps := limit(t, m, 1)
	if math.Abs(steps.Share-1.2/4) > 1e-6 || math.Abs(length(steps)-3) > 1e-9 {
		t.Errorf("along the cells: %+v", steps)
	}
	want := [][2]float64{{0.25, -0.25}, {0.25, 0.25}, {0.25, 0.75}, {0.75, 0.75}, {1.25, 0.75}, {1.25, 1.25}, {1.25, 1.75}}
	if len(steps.PathMM) != len(want) {
		t.Fatalf("way %v, wanted %v", steps.PathMM, want)
	}
	for k := range want {
		if math.Hypot(steps.PathMM[k][0]-want[k][0], steps.PathMM[k][1]-want[k][1]) > 1e-9 {
			t.Fatalf("way %v, wanted %v", steps.PathMM, want)
		}
	}
	if c := limit(t, m, 3); math.Abs(c.Share-0.2*(2+2*math.Sqrt2)/4) > 1e-6 {
		t.Errorf("with diagonals: %+v", c)
	}
	m.Share = func(p, q int32) float64 { return 0.9 }
	if c := limit(t, m, 1); math.Abs(c.Share-0.75) > 1e-6 || math.Abs(length(c)-2) > 1e-9 {
		t.Errorf("canary: with good boundaries the void does not limit: %+v", c)
	}
}

// TestSlanting: a boundary of share s that crosses at an angle from the vertical passes min(1,
// s/cos) of the current, however it slants. Straight moves in 32 directions are long by 1.3 % at
// most, and the ends are good to a cell and a half of 120. Steps along the cells are long by up to
// 41 %: the canary.
func TestSlanting(t *testing.T) {
	worst, steps := 0.0, 0.0
	for deg := 0.0; deg <= 60; deg += 3 {
		slope := math.Tan(deg * math.Pi / 180)
		m := ribbon(480, 120, func(x, y float64) int32 {
			if x < slope*y+1e-9 {
				return 0
			}
			return 1
		})
		m.Share = func(p, q int32) float64 { return 0.2 }
		want := 0.2 / math.Cos(deg*math.Pi/180)
		worst = max(worst, math.Abs(limit(t, m, 3).Share/want-1))
		steps = max(steps, math.Abs(limit(t, m, 1).Share/want-1))
	}
	t.Logf("off by %.2f %% at most, along the cells by %.1f %%", 100*worst, 100*steps)
	if worst > 0.013+1.5/120 {
		t.Errorf("off by %.2f %%", 100*worst)
	}
	if steps < 0.35 {
		t.Errorf("canary: steps along the cells are off by %.1f %% only", 100*steps)
	}
}

// TestHolesInStrip: a round hole of diameter d in a strip 1 mm wide leaves 1 − d, for the shortest
// way from edge to edge leads through it; two holes side by side aslant leave what the ways between
// them leave. To two cells of 100, and 1.3 % of the length.
func TestHolesInStrip(t *testing.T) {
	hole := func(d float64) *Map {
		return ribbon(200, 100, func(x, y float64) int32 {
			if math.Hypot(x, y) < d/2 {
				return Void
			}
			return 0
		})
	}
	for _, d := range []float64{0, 0.2, 0.5, 0.8} {
		if c := limit(t, hole(d), 3); math.Abs(c.Share-(1-d)) > 0.021 {
			t.Errorf("hole of %v mm: %+v", d, c)
		}
		if c := limit(t, hole(d+0.05), 3); math.Abs(c.Share-(1-d)) <= 0.021 {
			t.Errorf("canary: a hole 0.05 mm larger passes for %v mm", d)
		}
	}
	two := ribbon(200, 100, func(x, y float64) int32 {
		if math.Hypot(x-0.3, y-0.2) < 0.2 || math.Hypot(x+0.3, y+0.2) < 0.2 {
			return Void
		}
		return 0
	})
	// Through one: 0.6. Through both: 0.1 to the edge, the gap √0.52 − 0.4, 0.1 to the other edge.
	if want := min(0.6, 0.2+math.Sqrt(0.52)-0.4); math.Abs(limit(t, two, 3).Share-want) > 0.03 {
		t.Errorf("two holes: %v, wanted %v", limit(t, two, 3).Share, want)
	}
}

// TestStripEnds: one grain carries everything, a void across nothing, and what is refused says why.
func TestStripEnds(t *testing.T) {
	whole := limit(t, ribbon(50, 20, func(x, y float64) int32 { return 3 }), 3)
	if whole.Share != 1 || len(whole.PathMM) < 2 || math.Abs(length(whole)-1) > 1e-9 {
		t.Errorf("one grain: %+v", whole)
	}
	gap := limit(t, ribbon(50, 20, func(x, y float64) int32 {
		if math.Abs(x) < 0.06 {
			return Void
		}
		return 0
	}), 3)
	if gap.Share != 0 {
		t.Errorf("a gap across: %+v", gap)
	}
	for _, m := range []*Map{nil, ribbon(1, 5, func(x, y float64) int32 { return 0 })} {
		if _, err := Strip(m); err == nil {
			t.Errorf("%+v is accepted", m)
		}
	}
	bad := ribbon(4, 4, func(x, y float64) int32 { return int32(math.Round(2*x + 5)) })
	bad.Share = func(p, q int32) float64 { return math.NaN() }
	if _, err := Strip(bad); err == nil {
		t.Error("a share that is no number is accepted")
	}
}

// TestLargeStrip: 10⁵ cells take a tenth of a second; five seconds are allowed on a busy machine.
func TestLargeStrip(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	sites := make([][2]float64, 60)
	for k := range sites {
		sites[k] = [2]float64{(r.Float64() - 0.5) * 2.5, r.Float64() - 0.5}
	}
	m := ribbon(500, 200, func(x, y float64) int32 {
		best := 0
		for k, s := range sites {
			if math.Hypot(s[0]-x, s[1]-y) < math.Hypot(sites[best][0]-x, sites[best][1]-y) {
				best = k
			}
		}
		return int32(best)
	})
	m.Share = func(p, q int32) float64 { return Published().Share(float64((p*31 + q*17) % 12)) }
	start := time.Now()
	c := limit(t, m, 3)
	t.Logf("%d cells: share %.4f in %v", len(m.Grain), c.Share, time.Since(start))
	if c.Share <= 0 || c.Share >= 1 || time.Since(start) > 5*time.Second {
		t.Errorf("share %v after %v", c.Share, time.Since(start))
	}
	if f := trapped(t, m, 1e8, 1, 0.05); f.PeakT() <= 0 {
		t.Error("the same map traps nothing")
	}
}
