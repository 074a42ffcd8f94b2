package nucleation

import (
	"fmt"
	"math"
	"sort"
	"testing"

	"onegrain/sim/body"
	"onegrain/sim/crystal"
	"onegrain/sim/draw"
	"onegrain/sim/furnace"
	"onegrain/sim/kinetics"
)

// ramp starts molten at the peritectic temperature.
func ramp(slope, hours float64) furnace.Programme {
	return furnace.Programme{Knots: []furnace.Knot{{TimeH: 0, UndercoolingK: 0}, {TimeH: hours, UndercoolingK: slope * hours}}}
}

func every(e *Events) []Event {
	var all []Event
	for v, ok := e.Next(); ok; v, ok = e.Next() {
		all = append(all, v)
	}
	return all
}

func sum(o *Odds, g *body.Grid, untilH float64) float64 {
	total := 0.0
	for k := range g.N[2] {
		for j := range g.N[1] {
			for i := range g.N[0] {
				total += o.Expected(i, j, k, untilH)
			}
		}
	}
	return total
}

// quick is the same sum by groups.
func quick(o *Odds, untilH float64) float64 {
	total := 0.0
	for _, s := range o.sources {
		for g, h := range s.hazards {
			if h != nil {
				total += s.pick.group[g] * h.At(untilH)
			}
		}
	}
	return total
}

// scene is a body, a model, a programme and a gradient.
type scene struct {
	name  string
	grid  *body.Grid
	model Model
	p     furnace.Programme
	grad  furnace.Gradient
}

func scenes() []scene {
	slow, _ := NewTable([]float64{5, 12, 23}, []float64{0.002, 0.008, 0.1})
	deep := furnace.Programme{Knots: []furnace.Knot{{TimeH: 0, UndercoolingK: -9}, {TimeH: 31, UndercoolingK: 22}}}
	jump := furnace.Programme{Knots: []furnace.Knot{{TimeH: 0, UndercoolingK: 0}, {TimeH: 0, UndercoolingK: 14}, {TimeH: 5, UndercoolingK: 14}, {TimeH: 30, UndercoolingK: 24}}}
	warm := furnace.Programme{Knots: []furnace.Knot{{TimeH: 0, UndercoolingK: -9}, {TimeH: 4, UndercoolingK: -9}, {TimeH: 4, UndercoolingK: 14}, {TimeH: 30, UndercoolingK: 24}}}
	barrier := Barrier{2, 2e6, 1283.15}
	return []scene{
		{"barrier, uniform", disc(12, 5, 0.5, 0, -1), Model{Melt: barrier}, ramp(1, 25), furnace.Gradient{}},
		{"all origins, uniform", disc(12, 5, 0.5, 5, -1), Model{Melt: barrier, Top: Sites{0.3, 15, 4}, Side: slow, Bottom: barrier, Fibre: true}, ramp(1, 22), furnace.Gradient{}},
		{"barrier, vertical", disc(12, 5, 0.5, 0, -1), Model{Melt: barrier}, deep, furnace.Gradient{VerticalKPerMM: 1.5}},
		{"all origins, both gradients", disc(12, 5, 0.5, 5, -1), Model{Melt: barrier, Top: Sites{0.3, 15, 4}, Side: slow, Bottom: Sites{0.2, 15, 4}}, warm, furnace.Gradient{VerticalKPerMM: 1.5, RadialKPerMM: 0.7}},
		{"sites, jump", disc(12, 5, 0.5, 0, -1), Model{Melt: Sites{0.8, 22, 4}}, jump, furnace.Gradient{}},
		{"section", block(14, 1, 9, 0.5, 1), Model{Melt: barrier, Top: barrier, Side: barrier, Bottom: slow}, warm, furnace.Gradient{VerticalKPerMM: 1, RadialKPerMM: 0.5}},
		{"from above", disc(14, 1, 0.5, 4, 2), Model{Melt: barrier, Top: barrier, Side: slow}, deep, furnace.Gradient{RadialKPerMM: -0.9}},
	}
}

// Counts over many keys are Poisson with the expected number of the odds: the total within 4 standard errors √(KΛ), the ratio of variance to
// mean within 4√(2/K) of 1, and within 4.5 standard errors in every half of time and of the body. Canary: odds of a place 0.5 K colder.
func TestCountsArePoisson(t *testing.T) {
	const keys = 400
	for _, s := range scenes() {
		odds := NewOdds(s.model, s.grid, s.p, s.grad)
		end := s.p.EndH()
		want := sum(odds, s.grid, end)
		colder := furnace.Programme{}
		for _, k := range s.p.Knots {
			if k.UndercoolingK > 0 {
				k.UndercoolingK += 0.5
			}
			colder.Knots = append(colder.Knots, k)
		}
		wrong := sum(NewOdds(s.model, s.grid, colder, s.grad), s.grid, end)
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
		if ratio := (squares/keys - n*n/keys/keys) / (n / keys); math.Abs(ratio-1) > 4*math.Sqrt(2.0/keys)+4/math.Sqrt(keys*want) {
			t.Errorf("%s: variance to mean %v", s.name, ratio)
		}
		wantEarly, wantLow := sum(odds, s.grid, split), 0.0
		for i := range 5 {
			for j := range s.grid.N[1] {
				for k := range s.grid.N[2] {
					wantLow += odds.Expected(i, j, k, end)
				}
			}
		}
		if math.Abs(early-keys*wantEarly) > 4.5*math.Sqrt(keys*wantEarly)+1e-9 || math.Abs(low-keys*wantLow) > 4.5*math.Sqrt(keys*wantLow) {
			t.Errorf("%s: %v early, want %v; %v on one side, want %v", s.name, early, keys*wantEarly, low, keys*wantLow)
		}
	}
}

// Every event lies in time order, inside its cell or on a face of it that belongs to its origin, and knows its own undercooling.
func TestEventsAreWhereTheySay(t *testing.T) {
	for _, s := range scenes() {
		last := 0.0
		seen := map[Origin]bool{}
		for n := range 5 {
			last = 0
			for _, e := range every(NewEvents(s.model, s.grid, s.p, s.grad, draw.NewKey(s.name, fmt.Sprint(n)))) {
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
			if want := s.model.law(o) != nil && weigh(s.grid, o) > 0; seen[o] != want {
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
	case s.grid.Flat == 2 || s.model.Fibre:
		if math.Abs(axes[8]-1) > 1e-12 {
			t.Fatalf("%s: c axis %v, want upright", s.name, axes[6:])
		}
	case s.grid.Flat == 1:
		if math.Abs(axes[4]-1) > 1e-12 {
			t.Fatalf("%s: b axis %v, want along the flat axis", s.name, axes[3:6])
		}
	}
}

// The times of first events follow 1 − exp(−Λ(t)): Kolmogorov–Smirnov distance below 1.95/√n (1 chance in 1000) on the transformed
// times, which are uniform. Canary: Λ 15 % larger.
func TestFirstEventFollowsSurvival(t *testing.T) {
	const keys = 3000
	for _, s := range scenes()[:3] {
		odds := NewOdds(s.model, s.grid, s.p, s.grad)
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

// One chance: a square of half width W with a growing square of half width h + R t in it, constant I: Λ = (4I/R)(W²(W−h) − (W³−h³)/3) = 3.82725
// for I = 1e-7, R = 2e-4, W = 15, h = 1.5 (mm, s). On a ramp with the reference a-kinetics and W = 15: Λ = 0.615052 (barrier 2e-5
// per mm² s, 1.5e6, T_p 1278.15 K, 1 K/h), 0.7767637 (sites 0.002, 12, 2; 0.5 K/h), 0.1190504 (the same at a hold of 9 K after a jump).
// Quadrature apart from this code. Cells of 0.1 mm, middle rule, the function kinked along two diagonals.
func TestSurvivalOfASquare(t *testing.T) {
	g := block(300, 300, 1, 0.1, 2)
	constant, _ := NewTable([]float64{0}, []float64{1e-7 * 3600})
	a := kinetics.Power{RateAt10K: 2.8e-6 * 3600 * math.Pow(10, 1.9), Exponent: 1.9}
	flat := kinetics.Power{RateAt10K: 2e-4 * 3600, Exponent: 1e-9}
	hold := furnace.Programme{Knots: []furnace.Knot{{TimeH: 0, UndercoolingK: 0}, {TimeH: 0, UndercoolingK: 9}, {TimeH: 60, UndercoolingK: 9}}}
	at10 := furnace.Programme{Knots: []furnace.Knot{{TimeH: 0, UndercoolingK: 0}, {TimeH: 0, UndercoolingK: 10}, {TimeH: 60, UndercoolingK: 10}}}
	for _, c := range []struct {
		name        string
		law         Law
		p           furnace.Programme
		grow        kinetics.Law
		from, slope float64
		want        float64
	}{
		{"constant rate", constant, at10, flat, 10, 0, 3.82725},
		{"barrier, 1 K/h", Barrier{2e-5 * 3600, 1.5e6, 1278.15}, ramp(1, 30), a, 0, 1, 0.615052},
		{"sites, 0.5 K/h", Sites{0.002, 12, 2}, ramp(0.5, 60), a, 0, 0.5, 0.7767637},
		{"sites, hold", Sites{0.002, 12, 2}, hold, a, 9, 0, 0.1190504},
		{"barrier, hold", Barrier{2e-5 * 3600, 1.5e6, 1278.15}, hold, a, 9, 0, 0.0003870947},
	} {
		lambda := func(m Model) float64 {
			odds := NewOdds(m, g, c.p, furnace.Gradient{})
			total := 0.0
			for j := range 150 {
				for i := range 150 {
					x, y, _ := g.Centre(i, j, 0)
					need := math.Max(math.Abs(x), math.Abs(y)) - 1.5
					if need > 0 { // cells under the seed are never liquid
						total += 4 * odds.Expected(i, j, 0, kinetics.Time(c.grow, c.from, c.slope, need))
					}
				}
			}
			return total
		}
		if got := lambda(Model{Melt: c.law}); !near(got, c.want, 5e-4) {
			t.Errorf("%s: Λ = %v, want %v", c.name, got, c.want)
		}
		if got := lambda(Model{Melt: more{c.law}}); near(got, c.want, 5e-4) {
			t.Errorf("%s: 0.2 %% more passes", c.name)
		}
	}
}

// more is a law 0.2 % too lively.
type more struct{ law Law }

func (m more) Expected(from, to, hours, peak float64) float64 {
	return 1.002 * m.law.Expected(from, to, hours, peak)
}

// Places are uniform: chi-square over the eight octants of the cell below the 0.9999 quantile of 7 degrees of freedom, 29.9 (table).
func TestPlacesAreUniform(t *testing.T) {
	law, _ := NewTable([]float64{0}, []float64{1})
	g := block(6, 5, 4, 0.5, -1)
	list := every(NewEvents(Model{Melt: law}, g, ramp(1, 1000), furnace.Gradient{}, draw.NewKey("places")))
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

// The n-th event of an origin meets the same dice whatever the case: same cell and orientation under another law and programme.
func TestSameDiceInEveryCase(t *testing.T) {
	g := disc(12, 5, 0.5, 0, -1)
	a := every(NewEvents(Model{Melt: Barrier{2, 2e6, 1283.15}}, g, ramp(1, 25), furnace.Gradient{}, draw.NewKey("pair")))
	b := every(NewEvents(Model{Melt: Sites{1, 15, 2}, Top: Sites{1, 12, 2}}, g, ramp(0.4, 70), furnace.Gradient{}, draw.NewKey("pair")))
	other := every(NewEvents(Model{Melt: Barrier{2, 2e6, 1283.15}}, g, ramp(1, 25), furnace.Gradient{}, draw.NewKey("another")))
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

// A body that is colder at the bottom gets its first strays there, in the share the hazards give; and the list stays lazy: a programme that
// ends in a flood of 1e9 events gives its first ones at once.
func TestFloodIsDrawnLazily(t *testing.T) {
	flood := furnace.Programme{Knots: []furnace.Knot{{TimeH: 0, UndercoolingK: -5}, {TimeH: 20, UndercoolingK: 20}, {TimeH: 30, UndercoolingK: 600}}}
	odds := NewOdds(Model{Melt: Barrier{1e6, 2e6, 1283.15}}, disc(12, 5, 0.5, 0, -1), flood, furnace.Gradient{VerticalKPerMM: 0.5})
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

func TestOrigins(t *testing.T) {
	if Seed.String() != "seed" || Bottom.String() != "bottom" || Origin(9).String() != "unknown" {
		t.Error("names of origins")
	}
	g := disc(12, 5, 0.5, 0, -1)
	odds := NewOdds(Model{Top: Sites{1, 12, 2}}, g, ramp(1, 25), furnace.Gradient{})
	if odds.Weight(Top, 6, 6, 4) != 0.25 || odds.Weight(Top, 6, 6, 3) != 0 || odds.Weight(Melt, 6, 6, 4) != 0 || odds.Weight(Top, 0, 0, 4) != 0 || odds.Expected(0, 0, 4, 25) != 0 {
		t.Error("weights of cells")
	}
	never := NewEvents(Model{Melt: Sites{1, 12, 2}}, g, furnace.Programme{Knots: []furnace.Knot{{TimeH: 0, UndercoolingK: 5}, {TimeH: 9, UndercoolingK: 20}}}, furnace.Gradient{VerticalKPerMM: 1}, draw.NewKey("never"))
	if _, ok := never.Next(); ok {
		t.Error("a body that was never molten nucleates")
	}
	full := NewEvents(Model{}, g, ramp(1, 20), furnace.Gradient{}, draw.NewKey("none"))
	if _, ok := full.Next(); ok {
		t.Error("no law nucleates")
	}
	random := Model{}.turned(-1, [3]float64{0.1, 0.2, 0.3})
	if random != crystal.Random(0.1, 0.2, 0.3) {
		t.Error("orientations in three dimensions are uniform on SO(3)")
	}
}
