package magnet

import (
	"math"
	"math/rand/v2"
	"testing"
)

// slow is the stream function in half cells by Dijkstra's way over the complete graph of all
// places, where a straight way joins every cell and seam with every other: no source is handed on,
// no neighbourhood is searched.
func slow(m *Map) []float64 {
	l, _ := newLattice(m)
	step := func(u, v int) float64 {
		x, y, dx, dy := u%l.w, u/l.w, v%l.w-u%l.w, v/l.w-u/l.w
		far := math.Hypot(float64(dx), float64(dy))
		a, b := l.kind[u], l.kind[v]
		switch {
		case a == void && b == void && far == 2, a == void && b == seam && far == 1, a == seam && b == void && far == 1:
			return 0
		case a == void || b == void:
			return math.Inf(1)
		case a == seam && b == seam && (math.Abs(float64(dx*dy)) == 1 || far == 2 && (dx == 0) == (x%2 == 1) &&
			(dy == 0) == (y%2 == 1)):
			return far * float64(l.pass[u]+l.pass[v]) / 2
		}
		return far
	}
	done := make([]bool, len(l.cost))
	l.cost[0] = 0
	for {
		u := -1
		for v := range l.cost {
			if l.kind[v] != nothing && !done[v] && (u < 0 || l.cost[v] < l.cost[u]) {
				u = v
			}
		}
		if u < 0 {
			return l.read()
		}
		done[u] = true
		for v := range l.cost {
			if l.kind[v] != nothing && !done[v] {
				l.cost[v] = min(l.cost[v], l.cost[u]+step(u, v))
			}
		}
	}
}

// patches is a map of random grains, voids and places outside, in patches of a few cells.
func patches(r *rand.Rand, nx, ny int) *Map {
	m := &Map{NX: nx, NY: ny, CellMM: 1, Grain: make([]int32, nx*ny)}
	for u := range m.Grain {
		m.Grain[u] = Outside
	}
	for range 12 {
		g := int32(r.IntN(6)) - 1 + int32(r.IntN(2))
		x, y, w, h := r.IntN(nx)-1, r.IntN(ny)-1, 2+r.IntN(nx), 2+r.IntN(ny)
		for j := max(0, y); j < min(ny, y+h); j++ {
			for i := max(0, x); i < min(nx, x+w); i++ {
				m.Grain[j*nx+i] = g
			}
		}
	}
	m.Share = func(p, q int32) float64 { return []float64{0, 0.1, 0.7, 1}[(p*5+q*3)%4] }
	return m
}

// TestStreamAgainstAllWays allows a tenth of a cell, what handing on of sources may miss (I.
// Ragnemalm, Pattern Recognition 25 (1992) 883, from memory), and never less than the cheapest way.
func TestStreamAgainstAllWays(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 1))
	worst, changed := 0.0, false
	for range 60 {
		m := patches(r, 8+r.IntN(4), 7+r.IntN(4))
		got, err := m.stream()
		if err != nil {
			t.Fatal(err)
		}
		want := slow(m)
		for u := range got {
			if got[u] < want[u]-1e-9 || got[u] > want[u]+0.1 {
				t.Fatalf("cell %d of %+v: %v, wanted %v", u, m, got[u], want[u])
			}
			worst = max(worst, got[u]-want[u])
		}
		m.Share = func(p, q int32) float64 { return 1 }
		for u, g := range slow(m) {
			changed = changed || math.Abs(g-got[u]) > 0.1
		}
	}
	t.Logf("dearest by %v cells", worst)
	if !changed {
		t.Error("canary: boundaries that pass everything make no difference")
	}
}

// TestDomains: two squares side by side that pass nothing are two heaps of sand, so the cells know
// nothing of one another; one that passes everything is the whole; a share between gives a ridge
// between, and never less.
func TestDomains(t *testing.T) {
	const w = 6.0
	m := made(60, 2*w, func(x, y float64) int32 {
		if math.Abs(y) > w/2 {
			return Outside
		}
		if x < 0 {
			return 0
		}
		return 1
	})
	at := func(share, x, y float64) float64 {
		m.Share = func(p, q int32) float64 { return share }
		g, err := m.stream()
		if err != nil {
			t.Fatal(err)
		}
		i, j := int(math.Round((x-m.OriginMM[0])/m.CellMM)), int(math.Round((y-m.OriginMM[1])/m.CellMM))
		return g[j*m.NX+i]
	}
	// At x = 0.1 mm, 0.1 mm from the boundary, y = 0.1 mm, 2.9 mm from the edge: the share s times 2.9
	// mm + 0.1 mm, at most 2.9 mm.
	for _, share := range []float64{0, 0.25, 0.5, 1} {
		// Where the boundary ends at the edge the last half cell is cut short: 0.15 cell of 0.2 mm times
		// the share.
		want := min(2.9, share*2.9+0.1)
		if got := at(share, 0.1, 0.1); math.Abs(got-want) > 0.031*share+1e-9 {
			t.Errorf("share %v: %v mm, wanted %v", share, got, want)
		}
		if other := math.Abs(share - 0.1); math.Abs(at(other, 0.1, 0.1)-want) < 0.031*share+1e-9 && share < 1 {
			t.Errorf("canary: share %v passes for %v", other, share)
		}
	}
	m.Share = nil
	if f := trapped(t, m, 1e8, 5, 0.5); len(f.Peaks) != 2 || math.Abs(f.Peaks[0].AtMM[0]+f.Peaks[1].AtMM[0]) > 0.01 ||
		math.Abs(math.Abs(f.Peaks[0].AtMM[0])-3) > 0.3 {
		t.Errorf("two domains: peaks %v, wanted one in the middle of each", f.Peaks)
	}
	m.Share = func(p, q int32) float64 { return 1 }
	if f := trapped(t, m, 1e8, 5, 0.5); len(f.Peaks) != 1 || math.Abs(f.Peaks[0].AtMM[0]) > 3 {
		t.Errorf("one domain: peaks %v, wanted one on the ridge of the roof", f.Peaks)
	}
}

// TestEnclosed: a hole in the middle of a square does not stop currents around it: g is one value
// in it, its distance to the outside, and no current runs around the hole alone. A slit that
// reaches the outside makes it part of the outside.
func TestEnclosed(t *testing.T) {
	hollow := func(slit bool) *Map {
		return made(61, 6.1, func(x, y float64) int32 {
			switch {
			case math.Max(math.Abs(x), math.Abs(y)) < 0.96:
				return Outside
			case slit && math.Abs(y) < 0.06 && x > 0:
				return Void
			}
			return 0
		})
	}
	mid := 30*61 + 30
	whole, err := hollow(false).stream()
	if err != nil {
		t.Fatal(err)
	}
	cut, err := hollow(true).stream()
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(whole[mid]-2.1) > 1e-6 || cut[mid] > 1e-6 { // 3.05 − 0.95 mm
		t.Errorf("in the hole %v mm, with a slit %v: wanted 2.1 and 0", whole[mid], cut[mid])
	}
}

// TestHoleOfRing: with true outlines, radii 10 and 1 mm, a void of 0.3 mm along +x changes what the
// hole is worth: its distance to the outside, through the void where that is nearer. The void is a
// cell or two wide, and ends in a cell: ± 1 cell of 0.2 mm.
func TestHoleOfRing(t *testing.T) {
	for _, row := range []struct{ from, to, want float64 }{{0, 0, 9}, {0, 4, 6}, {4, 11, 3}, {0, 11, 0}, {3, 7, 5}} {
		m := round(100, 10, 1)
		for u := range m.Grain {
			if x, y := m.at(u); m.Grain[u] == 0 && math.Abs(y) < 0.15 && x > row.from && x < row.to {
				m.Grain[u] = Void
			}
		}
		g, err := m.stream()
		if err != nil {
			t.Fatal(err)
		}
		if got := g[(m.NY/2)*m.NX+m.NX/2]; math.Abs(got-row.want) > 0.2 {
			t.Errorf("void from %v to %v mm: %v mm in the hole, wanted %v", row.from, row.to, got, row.want)
		}
	}
}

// TestSlantingSeam: in the middle of a square of half width 6 mm, on a boundary of share 0.2 that
// slants by an angle through it, g is the share times the way along the boundary, 0.2 · 6 mm/cos;
// steps in 8 directions make that up to 8.2 % longer (1/cos 22.5° at most), and the ends are good
// to a cell of 60.
func TestSlantingSeam(t *testing.T) {
	worst := 0.0
	for deg := 0.0; deg <= 45; deg += 7.5 {
		slope := math.Tan(deg * math.Pi / 180)
		m := made(121, 12, func(x, y float64) int32 {
			if x <= slope*y+1e-9 {
				return 0
			}
			return 1
		})
		m.Share = func(p, q int32) float64 { return 0.2 }
		g, err := m.stream()
		if err != nil {
			t.Fatal(err)
		}
		// The cell beside the boundary is up to half a cell away from it.
		way := g[60*121+60] - m.CellMM/2
		long := way/(0.2*6/math.Cos(deg*math.Pi/180)) - 1
		worst = max(worst, long)
		if long < -0.05 || long > 0.083+0.02 {
			t.Errorf("%v°: %v mm, %.1f %% too long", deg, way, 100*long)
		}
	}
	if worst < 0.04 {
		t.Errorf("canary: no slant is seen at all, %v", worst)
	}
}

// TestBar: the field of one long thin grain has two maxima, above the ends of its ridge, by up to
// 15 % over the middle (in the limit of no thickness and no height; less here). They count as one
// peak, those of two halves that pass nothing as two.
func TestBar(t *testing.T) {
	bar := func(grains int32) *Field {
		m := &Map{NX: 240, NY: 41, CellMM: 0.1, Grain: make([]int32, 240*41)}
		for u := range m.Grain {
			m.Grain[u] = int32(u%240) * grains / 240
		}
		return trapped(t, m, 1e8, 0.1, 0.1)
	}
	one := bar(1)
	dip := 1 - one.BT[20*240+120]/one.PeakT()
	if len(one.Peaks) != 1 || dip < 0.05 || dip > 0.15 {
		t.Errorf("one grain: %v, %v %% lower in the middle", one.Peaks, 100*dip)
	}
	for _, n := range []int32{2, 3} {
		if got := bar(n).Peaks; len(got) != int(n) {
			t.Errorf("canary: %d grains have the peaks %v", n, got)
		}
	}
}

// TestOutlines: around one square grain, and between two, lines of the length of the edges less
// what the cut corners save; around a disc its true outline, 2πr less the sagitta of 180 pieces,
// and nothing but it.
func TestOutlines(t *testing.T) {
	length := func(m *Map) (sum float64) {
		for _, l := range m.Outlines() {
			sum += math.Hypot(l[1][0]-l[0][0], l[1][1]-l[0][1])
		}
		return sum
	}
	m := made(8, 8, func(x, y float64) int32 { return 0 })
	corner := 4 * (1 - math.Sqrt(0.5)) // each of four
	if got := length(m); math.Abs(got-(32-corner)) > 1e-9 {
		t.Errorf("a square of 8 mm has an outline of %v mm", got)
	}
	for u := range m.Grain {
		m.Grain[u] = int32(u % 8 / 4)
	}
	if got := length(m); math.Abs(got-(40-corner)) > 1e-9 {
		t.Errorf("with a line through it %v mm", got)
	}
	if got := length(round(20, 10, 5)); math.Abs(got/(30*math.Pi)-1) > 1e-4 {
		t.Errorf("a ring of radii 10 and 5 mm has outlines of %v mm", got)
	}
}
