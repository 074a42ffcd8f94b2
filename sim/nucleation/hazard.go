package nucleation

import (
	"math"
	"sort"

	"onegrain/sim/furnace"
	"onegrain/sim/nucleation/rate"
)

// path is the programme from the moment the body is molten everywhere, cut into steps short enough
// for one look at a law.
type path struct {
	knots []furnace.Knot // at least one
	peak  []float64      // highest ΔT of knots 0 … i, at the reference point
}

// newPath is nil when no place with the lowest offset ever melts.
func newPath(p furnace.Programme, lowestOffsetK float64) *path {
	var w *path
	for i, k := range p.Seen(lowestOffsetK, 0).Knots {
		if i == 0 {
			w = &path{knots: []furnace.Knot{k}, peak: []float64{k.UndercoolingK}}
			continue
		}
		w.reach(k)
	}
	return w
}

// reach adds knots up to k, no further apart than 1 K or 5 % of ΔT: a barrier law then needs one
// piece where it matters.
func (w *path) reach(k furnace.Knot) {
	from := w.knots[len(w.knots)-1]
	rise, hours := k.UndercoolingK-from.UndercoolingK, k.TimeH-from.TimeH
	for u := from.UndercoolingK; hours > 0; {
		u += math.Copysign(math.Max(1, float64(0.05*math.Abs(u))), rise)
		f := (u - from.UndercoolingK) / rise
		if !(f < 1) {
			break
		}
		w.add(furnace.Knot{TimeH: from.TimeH + float64(f*hours), UndercoolingK: u})
	}
	w.add(k)
}

func (w *path) add(k furnace.Knot) {
	w.knots, w.peak = append(w.knots, k), append(w.peak, math.Max(k.UndercoolingK, w.peak[len(w.peak)-1]))
}

// hazard is the cumulative expected number of events per mm³ or mm² along a programme at one place.
// Safe for concurrent use.
type hazard struct {
	law    rate.Law
	path   *path // nil: nothing ever happens
	offset float64
	total  []float64 // until each knot of the path
}

// newHazard adds a law up along a path at a place that is offsetK hotter than the reference point.
// A nil law never nucleates.
func newHazard(l rate.Law, w *path, offsetK float64) *hazard {
	if l == nil || w == nil {
		return &hazard{}
	}
	h := &hazard{law: l, path: w, offset: offsetK, total: make([]float64, len(w.knots))}
	for i := 1; i < len(w.knots); i++ {
		h.total[i] = h.total[i-1] + h.step(i-1, w.knots[i])
	}
	return h
}

// step is what happens between knot i and a later point before or at the next knot.
func (h *hazard) step(i int, until furnace.Knot) float64 {
	from := h.path.knots[i]
	return h.law.Expected(from.UndercoolingK-h.offset, until.UndercoolingK-h.offset, until.TimeH-from.TimeH,
		h.path.peak[i]-h.offset)
}

// at is the expected number of events per unit until timeH; at a jump those of the jump are
// counted.
func (h *hazard) at(timeH float64) float64 {
	if h.path == nil || timeH != timeH {
		return 0
	}
	k := h.path.knots
	i := sort.Search(len(k), func(i int) bool { return k[i].TimeH > timeH }) - 1
	switch {
	case i < 0:
		return 0
	case i == len(k)-1:
		return h.total[i]
	}
	return h.total[i] + h.step(i, k[i].Towards(k[i+1], timeH))
}

// time is when at first reaches `expected` events per unit; +Inf if it never does before the
// programme ends.
func (h *hazard) time(expected float64) float64 {
	if h.path == nil || !(expected <= h.total[len(h.total)-1]) {
		return math.Inf(1)
	}
	i := sort.SearchFloat64s(h.total, expected)
	if i == 0 {
		return h.path.knots[0].TimeH
	}
	return h.solve(i-1, expected-h.total[i-1])
}

// solve finds the time at which step i has brought `wanted` events: false position, halving the
// weight of an end kept twice (Illinois; M. Dowell & P. Jarratt, BIT 11 (1971) 168), every fourth
// time a plain halving so that a steep law cannot stall it.
func (h *hazard) solve(i int, wanted float64) float64 {
	from, to := h.path.knots[i], h.path.knots[i+1]
	a, b := from.TimeH, to.TimeH // the same at a jump: the loop is passed over
	fa, fb := -wanted, h.total[i+1]-h.total[i]-wanted
	for n, last := 1, 0; b-a > float64(1e-15*b) && n < 200; n++ {
		t := b - float64(fb*((b-a)/(fb-fa)))
		if n%4 == 0 || !(t > a && t < b) {
			t = float64(0.5 * (a + b))
		}
		f := h.step(i, from.Towards(to, t)) - wanted
		switch {
		case f == 0 || t == a || t == b:
			return t
		case f < 0:
			if a, fa = t, f; last < 0 {
				fb *= 0.5
			}
			last = -1
		default:
			if b, fb = t, f; last > 0 {
				fa *= 0.5
			}
			last = 1
		}
	}
	return b
}
