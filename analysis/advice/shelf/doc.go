// Package shelf chooses a furnace programme, the next run, and how many pieces to start, where the
// laws of a melt are not known: where there are many, each as likely as the other.
//
//  1. A programme cools quickly to a start, then slowly at one rate, not deeper than a limit
//     ([Programme]). What becomes of it by one law, a function says that is handed over ([Follow]).
//  2. Its chance is the mean over the laws of exp(−Λ), counted where the body is full by the end of
//     the programme; a programme ends when that is the wanted chance. Or the wanted chance has to
//     hold in most laws, of each family (choose.go).
//  3. A shelf is a grid of programmes by half of the laws. The quickest of it is improved by the
//     simplex method and rounded to what a controller holds. What is said of it comes from the
//     other half; where that half finds less than was wanted, more is asked of the first
//     (choose.go).
//  4. The number of pieces to start is the least with which enough are good: all pieces share the
//     law, so one that is bad for one is bad for all (pieces.go).
//  5. A further run is worth the hours that its outcome saves: outcomes are drawn from the laws,
//     each weighs the laws anew, and a shelf gives the best programme then (next.go).
//
// Units: h, K, K/h; hours count from where a programme passes the peritectic temperature.
package shelf

import (
	"math"

	"onegrain/analysis/advice"
)

// Programme cools at the first rate to StartK, then at RateKPerH, at the deepest held.
type Programme struct {
	StartK    float64 `json:"start_undercooling_K"`
	RateKPerH float64 `json:"rate_K_per_h"`
}

// Shift is by how much a body is cooler than its programme besides what its law says.
type Shift struct {
	OtherK float64 // K
	RunSD  float64 // scatter of this run in standard deviations of the law's; NaN for the law's own
}

// Own is a run as its law draws it.
func Own() Shift { return Shift{RunSD: math.NaN()} }

// Follow says what becomes of a programme by a law, counted from 0; the programme ends at its last
// point.
type Follow func(points []advice.Point, law int, by Shift) advice.Outcome

// Task is what is wanted.
type Task struct {
	Laws     []string // the family of each law
	Follow   Follow
	DeepestK float64 // undercooling that is never passed
	// rate from the peritectic temperature down to the start
	FirstKPerH float64
	Chance     float64 // wanted, above 0 and below 1
	Sure       float64 // share of the laws that shall have it; 0: the mean shall
	ToleranceK float64 // by which all of it may be cooler and the chance still hold
	// what a controller holds: starts are multiples of StepK, rates of StepKPerH
	StepK, StepKPerH float64
}

// long is a hold in which every body with a growth law becomes full, h.
const long = 1e5

// points are a programme until an hour, +Inf for as long as it may take.
func (t *Task) points(p Programme, untilH float64) []advice.Point {
	first := p.StartK / t.FirstKPerH
	at := []advice.Point{{}, {TimeH: first, UndercoolingK: p.StartK}}
	end := math.Min(untilH, first+long)
	if p.RateKPerH > 0 && t.DeepestK > p.StartK {
		last := advice.Point{TimeH: first + (t.DeepestK-p.StartK)/p.RateKPerH, UndercoolingK: t.DeepestK}
		if last.TimeH > end {
			last = advice.Point{TimeH: end, UndercoolingK: p.StartK + (end-first)*p.RateKPerH}
		}
		at = append(at, last)
	}
	if last := at[len(at)-1]; last.TimeH < end {
		at = append(at, advice.Point{TimeH: end, UndercoolingK: last.UndercoolingK})
	}
	return at
}
