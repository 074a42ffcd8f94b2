package advice

import (
	"errors"
	"fmt"
	"math"
)

// Point is a corner of a programme: hours since it passed the peritectic temperature on its way
// down, and the undercooling in K.
type Point struct{ TimeH, UndercoolingK float64 }

// Task is what is wanted and what it is wanted of.
type Task struct {
	Chance float64 // wanted, of no stray: above 0, below 1
	// the chance is to hold even if the true undercooling is so much deeper than the programme's; 0 or
	// more
	ToleranceK float64
	DeepestK   float64 // undercooling that is never passed
	FirstKPerH float64 // rate from the peritectic temperature down to the first stage; no stage is steeper

	// Follow foretells what becomes of a programme, whose last undercooling is held until the body is
	// full.
	Follow func(programme []Point) Outcome
	// Try finds it, by a run where Follow is a guess, which then learns from it.
	Try func(programme []Point) Outcome
}

// Outcome is what becomes of a programme without strays.
type Outcome struct {
	ExpectedStrays float64 // Λ
	FullH          float64 // when no liquid was left; +Inf if some stays
}

// errNeverFull is a body that stays partly liquid however long it is held: the seeds do not reach
// all of it.
var errNeverFull = errors.New("the body never becomes solid, however long it is held: its seeds do not reach all of it")

func (t *Task) check() error {
	switch {
	case !(t.Chance > 0 && t.Chance < 1):
		return fmt.Errorf("chance %g: wanted above 0 and below 1", t.Chance)
	case !(t.ToleranceK >= 0 && t.ToleranceK < t.DeepestK):
		return fmt.Errorf("tolerance %g K: wanted 0 or more, and less than the deepest undercooling of %.4g K", t.ToleranceK,
			t.DeepestK)
	case !(t.FirstKPerH > 0) || math.IsInf(t.FirstKPerH, 0):
		return fmt.Errorf("rate of cooling to the first stage %g K/h: wanted above 0", t.FirstKPerH)
	}
	return nil
}

// mostStages of slow cooling are tried.
const mostStages = 6

// mostStrays is Λ at the wanted chance.
func (t *Task) mostStrays() float64 { return -math.Log(t.Chance) }
