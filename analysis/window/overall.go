package window

import (
	"fmt"
	"math"
)

// overall is the sentence of the whole study: that of its only slice, or of the one with the largest box.
func (s *Study) overall(w *Window) string {
	switch {
	case len(w.Slices) == 0:
		return "No case was computed, so nothing can be said."
	case len(w.Slices) == 1:
		return w.Slices[0].Sentence
	}
	best, size, with := 0, 0, 0
	for i, sl := range w.Slices {
		n := 0
		for _, b := range sl.Safe {
			n += b.Cases
		}
		if n > 0 {
			with++
		}
		if n > size {
			best, size = i, n
		}
	}
	if with == 0 {
		high := func(i int) (top float64) {
			for _, p := range w.Slices[i].Points {
				top = math.Max(top, float64(p.Chance))
			}
			return top
		}
		for i := range w.Slices {
			if high(i) > high(best) {
				best = i
			}
		}
		return fmt.Sprintf("At none of the %d settings shown is a chance of %s reached for sure. %s", len(w.Slices), percent(w.Wanted), w.Slices[best].Sentence)
	}
	return fmt.Sprintf("%d of the %d settings shown have a range that reaches %s. The widest: %s", with, len(w.Slices), percent(w.Wanted), w.Slices[best].Sentence)
}
