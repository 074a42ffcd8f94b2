package nucleation

import (
	"math"
	"testing"

	"onegrain/sim/furnace"
	"onegrain/sim/nucleation/rate"
)

// cycle heats through the peritectic, cools, warms a little, and cools far down.
func cycle() furnace.Programme {
	return furnace.Programme{Knots: []furnace.Knot{{TimeH: 0, UndercoolingK: 985}, {TimeH: 10, UndercoolingK: -35},
		{TimeH: 11, UndercoolingK: -35}, {TimeH: 12, UndercoolingK: 10}, {TimeH: 32, UndercoolingK: 22},
		{TimeH: 34, UndercoolingK: 18}, {TimeH: 40, UndercoolingK: 24}, {TimeH: 45, UndercoolingK: 500}}}
}

// along is the hazard at a place from the moment that place is molten.
func along(l rate.Law, p furnace.Programme, offsetK float64) *hazard {
	return newHazard(l, newPath(p, offsetK), offsetK)
}

func near(got, want, relative float64) bool { return math.Abs(got-want) <= relative*math.Abs(want) }

func laws() map[string]rate.Law {
	table, _ := rate.NewTable([]float64{5, 12, 23}, []float64{0.1, 0.4, 5})
	return map[string]rate.Law{"barrier": barrierOf(1.1e4, 1.12e7, 1283.15), "sites": sitesOf(0.05, 19, 3), "table": table}
}

// By brute force: the middle rule in 400,000 equal steps, for a barrier and a table good to (step)²
// n²/24 ≈ 1e-8.
func TestHazardAgainstBruteForce(t *testing.T) {
	p := cycle()
	for name, l := range laws() {
		for _, offset := range []float64{0, 3.3, -4} {
			h := along(l, p, offset)
			sum, peak, t0 := 0.0, 0.0, 10.3
			const steps = 400000
			for n := range steps {
				a, b := t0+29.7*float64(n)/steps, t0+29.7*float64(n+1)/steps
				from, to := p.Undercooling(a)-offset, p.Undercooling(b)-offset
				if name == "sites" {
					sum += l.Expected(from, to, b-a, peak)
					peak = math.Max(peak, to)
				} else if mid := 0.5 * (from + to); mid > 0 {
					sum += l.Expected(mid, mid, b-a, peak)
				}
			}
			if got := h.at(40); !near(got, sum, 2e-7) {
				t.Errorf("%s, offset %v: %v, want %v", name, offset, got, sum)
			}
			if name != "sites" && near(along(l, p, offset+0.01).at(40), sum, 2e-7) {
				t.Errorf("%s: 0.01 K more passes", name)
			}
		}
	}
}

func TestHazardTimeInverts(t *testing.T) {
	for name, l := range laws() {
		h := along(l, cycle(), 1.5)
		last := 0.0
		for _, at := range []float64{12.5, 20, 31.9, 32.0, 33, 36, 40.01, 41, 44.99} {
			n := h.at(at)
			if n < last {
				t.Errorf("%s: falls to %v at %v h", name, n, at)
			}
			last = n
			if n < 1e-300 {
				continue
			}
			if back := h.at(h.time(n)); !near(back, n, 1e-9) {
				t.Errorf("%s at %v h: %v comes back as %v", name, at, n, back)
			}
			if n > h.at(at-0.01) && n < h.at(at+0.01) {
				if back := h.time(n); math.Abs(back-at) > 1e-6 {
					t.Errorf("%s: Time gives %v h, want %v", name, back, at)
				}
			}
		}
		end := h.at(45)
		if h.at(1000) != end || h.time(end) > 45 || h.time(1.001*end) != math.Inf(1) || h.at(9) != 0 ||
			h.at(math.NaN()) != 0 {
			t.Errorf("%s: ends of the programme", name)
		}
		if at := h.time(0); h.at(at) != 0 || at > 12 {
			t.Errorf("%s: nothing is expected at %v h", name, at)
		}
	}
}

// Before melting there is no nucleation, however cold the furnace; a place that never melts never
// nucleates.
func TestNothingBeforeMelting(t *testing.T) {
	table, _ := rate.NewTable([]float64{0}, []float64{1})
	cold := furnace.Programme{Knots: []furnace.Knot{{TimeH: 0, UndercoolingK: 30}, {TimeH: 10, UndercoolingK: -10},
		{TimeH: 20, UndercoolingK: 10}}}
	if got := along(table, cold, 0).at(20); !near(got, 5, 1e-12) {
		t.Errorf("%v events per unit in the 5 h after melting", got)
	}
	if got := along(table, cold, -20); got.at(20) != 0 || got.time(0) != math.Inf(1) {
		t.Error("a place that never melts nucleates")
	}
	if got := along(nil, cold, 0); got.at(20) != 0 || got.time(1) != math.Inf(1) {
		t.Error("no law nucleates")
	}
}

func TestJump(t *testing.T) {
	jump := furnace.Programme{Knots: []furnace.Knot{{TimeH: 0, UndercoolingK: 0}, {TimeH: 0, UndercoolingK: 9},
		{TimeH: 20, UndercoolingK: 9}}}
	h := along(sitesOf(0.002, 12, 2), jump, 0)
	// n(9 K) = N Φ(−1.5), all at once; the hold adds nothing
	if want := 0.002 * 0.066807200282270421; !near(h.at(0), want, 1e-12) || h.at(20) != h.at(0) || h.time(0.5*want) != 0 {
		t.Errorf("jump to 9 K: %v at once, %v at the end", h.at(0), h.at(20))
	}
	later := furnace.Programme{Knots: []furnace.Knot{{TimeH: 0, UndercoolingK: 5}, {TimeH: 0, UndercoolingK: -3},
		{TimeH: 4, UndercoolingK: -3}, {TimeH: 4, UndercoolingK: 9}, {TimeH: 20, UndercoolingK: 9}}}
	h = along(sitesOf(0.002, 12, 2), later, 0)
	if h.at(3.999) != 0 || h.at(4) == 0 || h.time(h.at(4)) != 4 {
		t.Errorf("later jump: %v, %v at %v h", h.at(3.999), h.at(4), h.time(h.at(4)))
	}
	constant, _ := rate.NewTable([]float64{0}, []float64{1})
	if got := along(constant, later, 0).at(20); !near(got, 16, 1e-12) {
		t.Errorf("a rate after the jump: %v", got)
	}
}

func BenchmarkAlong(b *testing.B) {
	l, p := laws()["barrier"], cycle()
	for b.Loop() {
		along(l, p, 0.5)
	}
}

func BenchmarkAt(b *testing.B) {
	h := along(laws()["barrier"], cycle(), 0.5)
	for b.Loop() {
		h.at(29.37)
	}
}

func BenchmarkTime(b *testing.B) {
	h := along(laws()["barrier"], cycle(), 0.5)
	n := h.at(29.37)
	for b.Loop() {
		h.time(n)
	}
}
