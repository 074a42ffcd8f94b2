package furnace

import (
	"math"
	"slices"
	"sort"
)

// Programme is the undercooling over time: straight between its knots, which number at least two
// and are in order of time. Two knots at the same time are a jump. It stays at its last value after
// the end.
type Programme struct{ Knots []Knot }

// Knot is one corner of a programme: hours from its start, and the undercooling in K at the
// reference point, negative above the peritectic temperature.
type Knot struct{ TimeH, UndercoolingK float64 }

// Undercooling is ΔT in K at the reference point; at a jump the value after it.
func (p Programme) Undercooling(timeH float64) float64 {
	n := len(p.Knots)
	i := sort.Search(n, func(i int) bool { return p.Knots[i].TimeH > timeH })
	switch {
	case n == 0:
		return 0
	case i == 0:
		return p.Knots[0].UndercoolingK
	case i == n:
		return p.Knots[n-1].UndercoolingK
	}
	return p.Knots[i-1].Towards(p.Knots[i], timeH).UndercoolingK
}

// Deeper is the programme with so many kelvin more of undercooling everywhere.
func (p Programme) Deeper(byK float64) Programme {
	knots := slices.Clone(p.Knots)
	for i := range knots {
		knots[i].UndercoolingK += byK
	}
	return Programme{knots}
}

// EndH is the time of the last knot.
func (p Programme) EndH() float64 {
	if len(p.Knots) == 0 {
		return 0
	}
	return p.Knots[len(p.Knots)-1].TimeH
}

// FirstAtOrBelow is the first time at which ΔT ≤ levelK; +Inf if there is none. With the lowest
// offset of a body as the level it is the time at which the body is molten everywhere.
func (p Programme) FirstAtOrBelow(levelK float64) float64 {
	return p.first(math.Inf(-1), func(u float64) bool { return u <= levelK }, levelK)
}

// Seen is the programme as a place of the given offset sees it, from the moment the body is molten
// everywhere, the coldest place (lowestK) included: its first knot. Empty if that never comes.
func (p Programme) Seen(lowestK, offsetK float64) Programme {
	molten := p.FirstAtOrBelow(lowestK)
	if molten > p.EndH() {
		return Programme{}
	}
	seen := Programme{[]Knot{{molten, math.Min(lowestK, p.Undercooling(molten)) - offsetK}}}
	passed := false // the knot that is this moment, where it is a knot
	for _, k := range p.Knots {
		switch {
		case k.TimeH > molten || (k.TimeH == molten && passed):
			seen.Knots = append(seen.Knots, Knot{k.TimeH, k.UndercoolingK - offsetK})
		case k.TimeH == molten:
			passed = k.UndercoolingK <= lowestK
		}
	}
	return seen
}

// GrowthStartH is when ΔT first exceeds 0 after the body was molten (ΔT ≤ 0 at the reference
// point); +Inf if it never does.
func (p Programme) GrowthStartH() float64 {
	molten := p.FirstAtOrBelow(0)
	return p.first(molten, func(u float64) bool { return u > 0 }, 0)
}

// first finds the earliest time ≥ fromH of the programme at which `holds` is true, given that it
// changes at the level only.
func (p Programme) first(fromH float64, holds func(undercoolingK float64) bool, levelK float64) float64 {
	for i, b := range p.Knots {
		if b.TimeH < fromH {
			continue
		}
		if i > 0 && p.Knots[i-1].TimeH < b.TimeH {
			a := p.Knots[i-1]
			if a.TimeH < fromH {
				a = a.Towards(b, fromH)
			}
			if holds(a.UndercoolingK) {
				return a.TimeH
			}
			if holds(b.UndercoolingK) {
				return crossing(a, b, levelK)
			}
		}
		if holds(b.UndercoolingK) { // the first knot, or the far side of a jump
			return b.TimeH
		}
	}
	return math.Inf(1)
}

// GrowthKnots is the programme from GrowthStartH to its end, as knots with ΔT ≥ 0: zero crossings
// are inserted and what lies below is drawn at 0. Empty if nothing ever grows. Only jumps give two
// knots at one time.
func (p Programme) GrowthKnots() []Knot {
	start := p.GrowthStartH()
	if start > p.EndH() {
		return nil
	}
	last := Knot{start, math.Max(0, p.Undercooling(start))} // rounding may leave a crossing a hair below 0
	knots := []Knot{last}
	for _, k := range p.Knots {
		if k.TimeH <= start {
			continue
		}
		if float64(last.UndercoolingK*k.UndercoolingK) < 0 && k.TimeH > last.TimeH {
			knots = append(knots, Knot{crossing(last, k, 0), 0})
		}
		knots = append(knots, Knot{k.TimeH, math.Max(0, k.UndercoolingK)})
		last = k
	}
	return knots
}

// Towards is the programme at a time between two knots, a the earlier one.
func (a Knot) Towards(b Knot, timeH float64) Knot {
	f := (timeH - a.TimeH) / (b.TimeH - a.TimeH)
	return Knot{timeH, a.UndercoolingK + float64(f*(b.UndercoolingK-a.UndercoolingK))}
}

// crossing is the time at which the piece from a to b is at the level; a and b lie on different
// sides of it.
func crossing(a, b Knot, levelK float64) float64 {
	f := (levelK - a.UndercoolingK) / (b.UndercoolingK - a.UndercoolingK)
	return math.Min(b.TimeH, a.TimeH+float64(f*(b.TimeH-a.TimeH)))
}
