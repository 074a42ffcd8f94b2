package nucleation

import (
	"testing"

	"onegrain/sim/crystal"
)

// Parallel crystals leave nothing to chance, in space and in both planes; others do.
func TestParallel(t *testing.T) {
	for _, flat := range []int{-1, 1, 2} {
		if o := (Parallel{}).Orientation(flat, [3]float64{0.3, 0.2, 0.9}); o != crystal.Turned(0, 0, 0) {
			t.Errorf("flat axis %d: parallel crystals are turned: %+v", flat, o)
		}
		if o := (Random{}).Orientation(flat, [3]float64{0.3, 0.2, 0.9}); o == crystal.Turned(0, 0, 0) {
			t.Errorf("flat axis %d: random crystals stand parallel", flat)
		}
	}
}
