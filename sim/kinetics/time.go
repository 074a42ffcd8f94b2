package kinetics

import "math"

// guesser is a law that can say at once near which undercooling its integral has a value.
type guesser interface {
	guess(integral float64) float64
}

// Time is how many hours a face needs to grow `length` (mm) when ΔT starts at `from` (K) and
// changes by slopeKPerH for ever; +Inf if it never does, 0 for a length ≤ 0. It is the inverse of
// Length.
func Time(l Law, from, slopeKPerH, length float64) float64 {
	switch {
	case !(length > 0):
		return 0
	case from <= 0 && slopeKPerH <= 0:
		return math.Inf(1)
	case slopeKPerH == 0:
		return length / l.Rate(from) // +Inf where nothing grows
	case from < 0:
		return -from/slopeKPerH + Time(l, 0, slopeKPerH, length)
	}
	last := bound(l, from, slopeKPerH, length)
	if last > math.MaxFloat64 {
		return last
	}
	return solve(l, from, slopeKPerH, length, last)
}

// bound is a time after which the length has certainly been grown, +Inf if there is none.
func bound(l Law, from, slope, length float64) float64 {
	if slope < 0 { // ends when ΔT reaches 0
		end := -from / slope
		if Length(l, from, 0, end) < float64(length*(1-1e-12)) { // a length read off at the very end is still reached
			return math.Inf(1)
		}
		return end
	}
	if r := l.Rate(from); r > 0 && length/r < float64(0.01*from)/slope { // hardly changes: growth law or not
		if h := float64(2 * length / r); Length(l, from, from+float64(slope*h), h) >= length {
			return h
		}
	}
	h := 1 / slope
	for Length(l, from, from+float64(slope*h), h) < length {
		if h *= 2; float64(slope*h) > 1e12 { // no furnace, no law: a rate that stays 0
			return math.Inf(1)
		}
	}
	return h
}

// solve is Newton's method on the length grown by hour h in [0, last], kept inside its bracket by
// halving.
func solve(l Law, from, slope, length, last float64) float64 {
	low, high := 0.0, last
	h := start(l, from, slope, length, last)
	for range 200 {
		u := from + float64(slope*h)
		miss := Length(l, from, u, h) - length
		if miss > 0 {
			high = h
		} else {
			low = h
		}
		next := h - miss/l.Rate(u)
		if math.Abs(next-h) <= float64(4e-16*h) { // before the bracket: a converged step may touch its end
			return h
		}
		if !(next > low && next < high) {
			next = float64(0.5 * (low + high))
		}
		if next == h {
			return h
		}
		h = next
	}
	return h
}

// start is a first guess inside (0, last).
func start(l Law, from, slope, length, last float64) float64 {
	h := float64(0.5 * last)
	if r := l.Rate(from); r > 0 && length/r < last {
		h = length / r
	}
	if g, ok := l.(guesser); ok {
		u := g.guess(l.Integral(from) + float64(slope*length))
		if t := (u - from) / slope; t > 0 && t < last && math.Abs(u-from) > float64(1e-3*from) {
			h = t
		}
	}
	return h
}
