package nucleation

import (
	"onegrain/sim/nucleation/rate"

	"fmt"
	"math"
	"sort"
	"testing"

	"onegrain/sim/body"
	"onegrain/sim/draw"
	"onegrain/sim/furnace"
)

// Counts over many keys are Poisson with the expected number of the odds: the total within 4
// standard errors √(KΛ), the ratio of variance to mean within 4√(2/K) of 1, and within 4.5 standard
// errors in every half of time and of the body. Canary: odds of a place 0.5 K colder.
func TestCountsArePoisson(t *testing.T) {
	const keys = 400
	for _, s := range scenes() {
		odds := s.odds()
		end := s.p.EndH()
		want := sum(odds, s.grid, end)
		colder := furnace.Programme{}
		for _, k := range s.p.Knots {
			if k.UndercoolingK > 0 {
				k.UndercoolingK += 0.5
			}
			colder.Knots = append(colder.Knots, k)
		}
		wrong := sum(NewOdds(s.model, s.grid, furnace.Cooling{Programme: colder, Gradient: s.grad}), s.grid, end)
		n, squares, early, low := 0.0, 0.0, 0.0, 0.0
		split := 0.8 * end
		for k := range keys {
			list := every(odds.Events(draw.NewKey("poisson", s.name, fmt.Sprint(k))))
			c := float64(len(list))
			n, squares = n+c, squares+c*c
			for _, e := range list {
				if e.TimeH <= split {
					early++
				}
				if e.Cell[0] < 5 {
					low++
				}
			}
		}
		if math.Abs(n-keys*want) > 4*math.Sqrt(keys*want) {
			t.Errorf("%s: %v events in all, want %v ± %v", s.name, n, keys*want, math.Sqrt(keys*want))
		}
		if math.Abs(n-keys*wrong) < 4*math.Sqrt(keys*wrong) {
			t.Errorf("%s: the odds of 0.5 K more pass", s.name)
		}
		ratio := (squares/keys - n*n/keys/keys) / (n / keys)
		if math.Abs(ratio-1) > 4*math.Sqrt(2.0/keys)+4/math.Sqrt(keys*want) {
			t.Errorf("%s: variance to mean %v", s.name, ratio)
		}
		wantEarly, wantLow := sum(odds, s.grid, split), 0.0
		for i := range 5 {
			for j := range s.grid.N[1] {
				for k := range s.grid.N[2] {
					wantLow += expected(odds, i, j, k, end)
				}
			}
		}
		if math.Abs(early-keys*wantEarly) > 4.5*math.Sqrt(keys*wantEarly)+1e-9 ||
			math.Abs(low-keys*wantLow) > 4.5*math.Sqrt(keys*wantLow) {
			t.Errorf("%s: %v early, want %v; %v on one side, want %v", s.name, early, keys*wantEarly, low, keys*wantLow)
		}
	}
}

// Every event lies in time order, inside its cell or on a face of it that belongs to its origin,
// and knows its own undercooling.
func TestEventsAreWhereTheySay(t *testing.T) {
	for _, s := range scenes() {
		last := 0.0
		seen := map[Origin]bool{}
		for n := range 5 {
			last = 0
			for _, e := range every(s.odds().Events(draw.NewKey(s.name, fmt.Sprint(n)))) {
				seen[e.Origin] = true
				if e.TimeH < last || e.TimeH > s.p.EndH() {
					t.Fatalf("%s: event at %v h after one at %v h", s.name, e.TimeH, last)
				}
				last = e.TimeH
				c := e.Cell
				if s.grid.State(c[0], c[1], c[2]) != body.Inside {
					t.Fatalf("%s: event outside the body at %v", s.name, c)
				}
				x, y, z := s.grid.Centre(c[0], c[1], c[2])
				off := [3]float64{(e.AtMM[0] - x) / s.grid.CellMM, (e.AtMM[1] - y) / s.grid.CellMM, (e.AtMM[2] - z) / s.grid.CellMM}
				checkPlace(t, s, e, off)
				below := 0.0
				if s.grid.Flat != 2 {
					below = top(s.grid) - z
				}
				if want := s.p.Undercooling(e.TimeH) - s.grad.Offset(x, y, below); math.Abs(e.UndercoolingK-want) > 1e-9 {
					t.Fatalf("%s: undercooling %v, want %v", s.name, e.UndercoolingK, want)
				}
				checkTurn(t, s, e)
			}
		}
		for o := Melt; o <= Bottom; o++ {
			if want := s.model.Law(o) != nil && weigh(s.grid, o) > 0; seen[o] != want {
				t.Errorf("%s: origin %v seen: %v", s.name, o, seen[o])
			}
		}
	}
}

func checkPlace(t *testing.T, s scene, e Event, off [3]float64) {
	t.Helper()
	good := true
	for axis, v := range off {
		good = good && math.Abs(v) <= 0.5+1e-12 && (axis != s.grid.Flat || v == 0)
	}
	onFace := func(axis int, side float64) bool { return math.Abs(off[axis]-0.5*side) < 1e-12 }
	switch e.Origin {
	case Top:
		good = good && onFace(2, 1) && e.Cell[2] == s.grid.N[2]-1
	case Bottom:
		good = good && onFace(2, -1) && e.Cell[2] == 0
	case Side:
		exposed := false
		for axis := range 2 {
			for _, side := range []int{-1, 1} {
				next := e.Cell
				next[axis] += side
				exposed = exposed || (onFace(axis, float64(side)) && s.grid.State(next[0], next[1], next[2]) != body.Inside)
			}
		}
		good = good && exposed
	}
	if !good {
		t.Fatalf("%s: %v event in cell %v at %v cells from its centre", s.name, e.Origin, e.Cell, off)
	}
}

func checkTurn(t *testing.T, s scene, e Event) {
	t.Helper()
	axes := e.Orientation.Axes()
	switch {
	case s.grid.Flat == 2 || s.model.Texture == Texture(Fibre{}):
		if math.Abs(axes[8]-1) > 1e-12 {
			t.Fatalf("%s: c axis %v, want upright", s.name, axes[6:])
		}
	case s.grid.Flat == 1:
		if math.Abs(axes[4]-1) > 1e-12 {
			t.Fatalf("%s: b axis %v, want along the flat axis", s.name, axes[3:6])
		}
	}
}

// The times of first events follow 1 − exp(−Λ(t)): Kolmogorov–Smirnov distance below 1.95/√n (1
// chance in 1000) on the transformed times, which are uniform. Canary: Λ 15 % larger.
func TestFirstEventFollowsSurvival(t *testing.T) {
	const keys = 3000
	for _, s := range scenes()[:3] {
		odds := s.odds()
		type step struct{ t, n float64 }
		var table []step
		for i := 0; i <= 600; i++ { // Λ over time, close enough for a distance of 0.035
			at := s.p.EndH() * float64(i) / 600
			table = append(table, step{at, quick(odds, at)})
		}
		for _, factor := range []float64{1, 1.15} {
			u := make([]float64, 0, keys)
			for k := range keys {
				n := table[600].n
				if e, ok := odds.Events(draw.NewKey("first", s.name, fmt.Sprint(k))).Next(); ok {
					i := max(1, sort.Search(601, func(i int) bool { return table[i].t >= e.TimeH }))
					f := (e.TimeH - table[i-1].t) / (table[i].t - table[i-1].t)
					n = table[i-1].n + f*(table[i].n-table[i-1].n)
				}
				u = append(u, 1-math.Exp(-factor*n))
			}
			sort.Float64s(u)
			worst := 0.0
			for i, v := range u {
				if v < 1-math.Exp(-table[600].n)-1e-9 {
					worst = math.Max(worst, math.Abs(v-float64(i+1)/keys))
				}
			}
			if good := worst < 1.95/math.Sqrt(keys); good != (factor == 1) {
				t.Errorf("%s, factor %v: distance %v", s.name, factor, worst)
			}
		}
	}
}

// Places are uniform: chi-square over the eight octants of the cell below the 0.9999 quantile of 7
// degrees of freedom, 29.9 (table).
func TestPlacesAreUniform(t *testing.T) {
	law, _ := rate.NewTable([]float64{0}, []float64{1})
	g := block(6, 5, 4, 0.5, -1)
	list := every(NewOdds(Model{Melt: law}, g, furnace.Cooling{Programme: ramp(1, 1000)}).Events(draw.NewKey("places")))
	n := float64(len(list))
	if math.Abs(n-15000) > 4*math.Sqrt(15000) {
		t.Fatalf("%v events", n)
	}
	chi := func(power float64) float64 {
		var octant, cells [8]float64
		for _, e := range list {
			x, y, z := g.Centre(e.Cell[0], e.Cell[1], e.Cell[2])
			at := 0
			for axis, c := range [3]float64{x, y, z} {
				if u := (e.AtMM[axis]-c)/0.5 + 0.5; math.Pow(u, power) > 0.5 {
					at |= 1 << axis
				}
			}
			octant[at]++
			cells[(e.Cell[0]/3)*4+(e.Cell[2]/2)*2]++
		}
		worst := 0.0
		for i := range octant {
			worst += (octant[i] - n/8) * (octant[i] - n/8) / (n / 8)
			if i%2 == 0 {
				worst = math.Max(worst, math.Abs(cells[i]-n/4)/math.Sqrt(n/4)) // four blocks of cells, each a quarter
			}
		}
		return worst
	}
	if c := chi(1); c > 29.9 {
		t.Errorf("chi-square %v", c)
	}
	if c := chi(1.1); c < 29.9 {
		t.Error("places drawn towards a corner pass")
	}
}

// The n-th event of an origin meets the same dice whatever the case: same cell and orientation
// under another law and programme.
func TestSameDiceInEveryCase(t *testing.T) {
	g := disc(12, 5, 0.5, 0, -1)
	a := every(NewOdds(Model{Melt: barrierOf(2, 2e6, 1283.15)}, g,
		furnace.Cooling{Programme: ramp(1, 25)}).Events(draw.NewKey("pair")))
	b := every(NewOdds(Model{Melt: sitesOf(1, 15, 2), Top: sitesOf(1, 12, 2)}, g,
		furnace.Cooling{Programme: ramp(0.4, 70)}).Events(draw.NewKey("pair")))
	other := every(NewOdds(Model{Melt: barrierOf(2, 2e6, 1283.15)}, g,
		furnace.Cooling{Programme: ramp(1, 25)}).Events(draw.NewKey("another")))
	n, differ := 0, 0
	for _, e := range b {
		if e.Origin == Melt && n < len(a) {
			if e.AtMM != a[n].AtMM || e.Orientation != a[n].Orientation {
				t.Fatalf("event %d: %v, want %v", n, e, a[n])
			}
			if n < len(other) && other[n].AtMM != a[n].AtMM {
				differ++
			}
			n++
		}
	}
	if n < 5 || differ < 4 {
		t.Errorf("%d events compared, %d differ under another key", n, differ)
	}
}

// A body that is colder at the bottom gets its first strays there, in the share the hazards give;
// and the list stays lazy: a programme that ends in a flood of 1e9 events gives its first ones at
// once.
func TestFloodIsDrawnLazily(t *testing.T) {
	flood := furnace.Programme{Knots: []furnace.Knot{{TimeH: 0, UndercoolingK: -5}, {TimeH: 20, UndercoolingK: 20},
		{TimeH: 30, UndercoolingK: 600}}}
	odds := NewOdds(Model{Melt: barrierOf(1e6, 2e6, 1283.15)}, disc(12, 5, 0.5, 0, -1),
		furnace.Cooling{Programme: flood, Gradient: furnace.Gradient{VerticalKPerMM: 0.5}})
	if total := sum(odds, odds.grid, 30); total < 1e7 {
		t.Fatalf("no flood: %v", total)
	}
	e := odds.Events(draw.NewKey("flood"))
	last := 0.0
	for range 5000 {
		v, ok := e.Next()
		if !ok || v.TimeH < last {
			t.Fatal("the list ended or went back in time")
		}
		last = v.TimeH
	}
}
