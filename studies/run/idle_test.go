package run

import (
	"testing"
	"time"

	"onegrain/sim"
	"onegrain/studies"
)

// Between two runs a worker may be idle for a tenth of a second at most, 5 % of a run of 2 s:
// measured with runs that only wait, so that the processors' load does not count. The run without
// strays of each case, a few milliseconds, is among what is not waiting. Canary: one worker in
// place of two.
func TestWorkersAreKeptBusy(t *testing.T) {
	const each = 20 * time.Millisecond
	idle := func(workers int) time.Duration {
		s := load(t, small)
		wait := func(seeded *sim.Outcome, _ studies.Planned, _ int) *sim.Outcome {
			time.Sleep(each)
			return seeded
		}
		f := folder(t, t.TempDir(), s)
		start := time.Now()
		done := run(t, &Runner{Study: s, Folder: f, Workers: workers, Engine: wait})
		return 2*time.Since(start)/time.Duration(done.Runs) - each
	}
	two := idle(2)
	t.Logf("two workers are idle for %v a run: efficiency %.3f for runs of 2 s", two, 2/(2+two.Seconds()))
	if two > 100*time.Millisecond {
		t.Errorf("two workers are idle for %v a run, wanted 0.1 s at most", two)
	}
	if one := idle(1); one < two+each/2 {
		t.Errorf("the canary passes: one worker counts as idle for %v only", one)
	}
}
