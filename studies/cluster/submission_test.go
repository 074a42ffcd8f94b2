package cluster

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"onegrain/studies"
)

// A task is given three times the estimate of its work, and asked to do half of its time at most.
func TestAPlanLeavesRoomForSlowProcessors(t *testing.T) {
	path := filepath.Join("..", "catalog", "puck-window.toml")
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	study, err := studies.Load(path, text, nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	e, err := study.Explain(0)
	if err != nil {
		t.Fatal(err)
	}
	for _, oddsOnly := range []bool{false, true} {
		work := e.CoreHours
		if oddsOnly {
			work = e.OddsHours
		}
		s := &Submission{Path: path, Results: "r", CPUs: 1, Time: "0-0:0:10", OddsOnly: oddsOnly}
		if _, err := s.Check(); err != nil {
			t.Fatal(err)
		}
		if err := s.Plan(study, 1000); err != nil {
			t.Fatal(err)
		}
		wanted := int(min(math.Ceil(3*work/(10./3600/2)), float64(e.Cases)))
		estimate, most, late := s.TaskHours()
		sums := math.Abs(most-3*estimate) < 1e-12 && math.Abs(estimate*float64(s.Planned())-work) < 1e-12
		if s.Planned() != max(1, wanted) || !sums {
			t.Errorf("%d tasks of %g to %g h for %g h of work, wanted %d tasks", s.Planned(), estimate, most, work, wanted)
		}
		if late != (most > 10./3600) {
			t.Errorf("late: %v, of %g h", late, most)
		}
	}
}
