package measure

import (
	"slices"
	"testing"
)

// A cell counts under the first hour that is not before its time, in whatever order cells come.
func TestCalendar(t *testing.T) {
	k := calendar{edges: []float64{1, 2, 3}, cells: make([]int, 4)}
	for _, timeH := range []float64{3, 2, 0.5, 2.5, 9, 1, 1.5} {
		k.add(timeH)
	}
	if want := []int{2, 2, 2, 1}; !slices.Equal(k.cells, want) {
		t.Errorf("cells %v, want %v", k.cells, want)
	}
}
