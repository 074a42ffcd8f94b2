package furnace

import (
	"cmp"
	"math"
	"slices"
)

type problemKind uint8

// What may be wrong with a schedule.
const (
	NeverMelts      problemKind = iota // no peritectic temperature at the coldest place; margin: K lacking
	NeverSolidifies                    // once molten, ΔT stays ≤ 0 where growth would begin; margin: K lacking
	MeltsGrain                         // a place that was undercooled after melting gets there again; margin: K above it
	DissolvesSeed                      // a seed gets to its own peritectic temperature; margin: K above it
)

// Problem is one finding: the stage and the seed count from 1, 0 = none (for a stage: at the
// start).
type Problem struct {
	Stage   int
	Seed    int
	Kind    problemKind
	MarginK float64
}

// Seat is where a seed lies, as far as the furnace matters.
type Seat struct {
	PeritecticC float64 // of the seed itself; +Inf where nobody knows
	HottestK    float64 // offset of the hottest place of its contact patch
	CentreK     float64 // offset of its centre, where it begins to grow
}

// MarginK is how far a seed stays from dissolving under a programme whose hottest moment is
// hottestC at the reference point.
func (s Seat) MarginK(hottestC float64) float64 { return s.PeritecticC - (hottestC + s.HottestK) }

// HottestC is the hottest moment of the schedule at the reference point.
func (s Schedule) HottestC(peritecticC float64) float64 {
	knots := s.corners(peritecticC)
	return peritecticC - knots[extreme(knots, -1)].UndercoolingK
}

// Check finds what cannot work in a schedule for a body of this peritectic temperature (°C) with
// its seeds, when the offsets of the body's places lie between lowest and highest (K). No finding:
// nil.
//
// A body counts as molten once its coldest place is at the peritectic temperature or above. Growth
// begins at the seeds, where there are none at the coldest place. Strays may be anywhere, and for
// one to melt it is enough that some offset in the range sees ΔT > 0 first and ΔT ≤ 0 later, so all
// offsets are judged, not the two ends alone.
func (s Schedule) Check(peritecticC float64, seeds []Seat, lowest, highest float64) []Problem {
	knots := s.corners(peritecticC)
	var found []Problem
	hottest := extreme(knots, -1)
	if melted := slices.IndexFunc(knots, func(k Knot) bool { return k.UndercoolingK <= lowest }); melted >= 0 {
		begins := lowest
		if len(seeds) > 0 {
			begins = slices.MinFunc(seeds, func(a, b Seat) int { return cmp.Compare(a.CentreK, b.CentreK) }).CentreK
		}
		if at := melted + extreme(knots[melted:], 1); knots[at].UndercoolingK <= begins {
			found = append(found, Problem{Stage: at, Kind: NeverSolidifies, MarginK: begins - knots[at].UndercoolingK})
		}
		found = append(found, s.melts(knots[melted:], melted, lowest, highest)...)
	} else {
		found = append(found, Problem{Stage: hottest, Kind: NeverMelts, MarginK: knots[hottest].UndercoolingK - lowest})
	}
	hottestC := peritecticC - knots[hottest].UndercoolingK
	for i, seat := range seeds {
		if m := seat.MarginK(hottestC); m <= 0 {
			found = append(found, Problem{Stage: hottest, Seed: i + 1, Kind: DissolvesSeed, MarginK: -m})
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

// extreme is the first corner of the highest undercooling for sign 1, the coldest one, and of the
// lowest for −1.
func extreme(knots []Knot, sign float64) int {
	at := 0
	for i, k := range knots {
		if sign*k.UndercoolingK > sign*knots[at].UndercoolingK {
			at = i
		}
	}
	return at
}

// melts reports the first stage that melts what had solidified: offsets o with ΔT(later) ≤ o < max
// ΔT(before).
func (s Schedule) melts(knots []Knot, first int, lowest, highest float64) []Problem {
	peak := math.Inf(-1)
	for i, k := range knots {
		margin := math.Min(peak, highest) - k.UndercoolingK
		if peak > lowest && k.UndercoolingK < peak && k.UndercoolingK <= highest && margin >= s.SlackK {
			return []Problem{{Stage: first + i, Kind: MeltsGrain, MarginK: margin}}
		}
		peak = math.Max(peak, k.UndercoolingK)
	}
	return nil
}
