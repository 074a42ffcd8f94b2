package liquid

import (
	"fmt"
	"sync"

	"onegrain/sim"
	"onegrain/sim/body"
)

// Tables are those of bodies that stay the same from case to case; the zero value knows none. It
// may be used from several goroutines.
type Tables struct {
	mu    sync.Mutex
	known map[placed]*Table
}

// placed is a body with its seeds where they lie.
type placed struct {
	grid  *body.Grid
	seeds string
}

// mostTables are remembered: a study seldom varies what they are made of.
const mostTables = 64

// Course is what becomes of a case with its seeds where they were placed, without strays and
// without a run; ok is false where only a run can say it.
func (t *Tables) Course(c *sim.Case, seeds []sim.Grain) (course Course, ok bool) {
	on := t.Of(c, seeds)
	if on == nil {
		return Course{}, false
	}
	return on.Course(c.Programme, Laws{GrowthA: c.GrowthA, GrowthC: c.GrowthC, Nuclei: c.Nuclei}, Fine), true
}

// Of is the table of a case with its seeds where they were placed, whatever its laws and programme;
// nil where only a run can say what is liquid.
func (t *Tables) Of(c *sim.Case, seeds []sim.Grain) *Table {
	if !Exact(c, seeds) {
		return nil
	}
	at := placed{c.Grid, fmt.Sprint(c.Seeds, seeds)}
	t.mu.Lock()
	on := t.known[at]
	t.mu.Unlock()
	if on != nil {
		return on
	}
	on = newTable(c, seeds)
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.known == nil || len(t.known) >= mostTables {
		t.known = map[placed]*Table{}
	}
	t.known[at] = on
	return on
}
