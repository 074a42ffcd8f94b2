package furnace

import "math"

// ProblemKind says what is wrong with a schedule.
type ProblemKind uint8

const (
	NeverMelts      ProblemKind = iota // the coldest place never reaches the peritectic temperature; Margin = K lacking
	NeverSolidifies                    // once molten, ΔT never exceeds 0 at the reference point; Margin = K lacking
	MeltsGrain                         // a place that was undercooled after melting reaches the peritectic again; Margin = K above it
	DissolvesSeed                      // the seed's own peritectic temperature is reached; Margin = K above it
)

// Problem is one finding: the stage and the seed count from 1, 0 = none (for a stage: at the start).
type Problem struct {
	Stage   int
	Seed    int
	Kind    ProblemKind
	MarginK float64
}

// Check finds what cannot work in a schedule for a body of this peritectic temperature (°C) with seeds of theirs (°C, one a seed),
// when the offsets of the body's places lie between lowest and highest (K). No finding: nil.
//
// A body counts as molten once its coldest place is at the peritectic temperature or above. For a grain to melt it is enough that some
// offset in the range sees ΔT > 0 first and ΔT ≤ 0 later, so all offsets are judged, not the two ends alone.
func (s Schedule) Check(peritecticC float64, seedPeritecticC []float64, lowest, highest float64) []Problem {
	knots := s.corners(peritecticC)
	var found []Problem
	if melted := firstAtOrBelow(knots, lowest); melted < len(knots) {
		found = append(found, freezes(knots[melted:], melted)...)
		found = append(found, melts(knots[melted:], melted, lowest, highest)...)
	} else {
		at := lowestCorner(knots)
		found = append(found, Problem{Stage: at, Kind: NeverMelts, MarginK: knots[at].UndercoolingK - lowest})
	}
	at := lowestCorner(knots)
	hottest := peritecticC - knots[at].UndercoolingK + highest
	for i, own := range seedPeritecticC {
		if hottest >= own {
			found = append(found, Problem{Stage: at, Seed: i + 1, Kind: DissolvesSeed, MarginK: hottest - own})
		}
	}
	return found
}

// corners are the knots of all stages, those that take no time included: index = stage, 0 = start.
func (s Schedule) corners(peritecticC float64) []Knot {
	knots := []Knot{{0, peritecticC - s.StartC}}
	for i, stage := range s.Stages {
		knots = append(knots, stage.after(knots[i], peritecticC))
	}
	return knots
}

func firstAtOrBelow(knots []Knot, levelK float64) int {
	for i, k := range knots {
		if k.UndercoolingK <= levelK {
			return i
		}
	}
	return len(knots)
}

// lowestCorner is the first corner of the lowest undercooling, the hottest one.
func lowestCorner(knots []Knot) int {
	at := 0
	for i, k := range knots {
		if k.UndercoolingK < knots[at].UndercoolingK {
			at = i
		}
	}
	return at
}

// freezes reports a molten body whose reference point never becomes undercooled; the first knot is stage `first`.
func freezes(knots []Knot, first int) []Problem {
	at := 0
	for i, k := range knots {
		if k.UndercoolingK > knots[at].UndercoolingK {
			at = i
		}
	}
	if knots[at].UndercoolingK > 0 {
		return nil
	}
	return []Problem{{Stage: first + at, Kind: NeverSolidifies, MarginK: -knots[at].UndercoolingK}}
}

// melts reports the first stage that melts what had solidified: offsets o with ΔT(later) ≤ o < max ΔT(before).
func melts(knots []Knot, first int, lowest, highest float64) []Problem {
	peak := math.Inf(-1)
	for i, k := range knots {
		if peak > lowest && k.UndercoolingK < peak && k.UndercoolingK <= highest {
			return []Problem{{Stage: first + i, Kind: MeltsGrain, MarginK: math.Min(peak, highest) - k.UndercoolingK}}
		}
		peak = math.Max(peak, k.UndercoolingK)
	}
	return nil
}
