package window

import (
	"fmt"
	"slices"
	"strings"
)

// overall is the sentence of the whole study: that of its only slice, or of the one in which the best case lies.
func (s *Study) overall(w *Window) string {
	switch {
	case len(w.Slices) == 0:
		return "No case was computed, so nothing can be said."
	case len(w.Slices) == 1:
		return w.Slices[0].Sentence
	}
	best, size, with := 0, -1, 0
	for i, sl := range w.Slices {
		n := 0
		for _, b := range sl.Safe {
			n += b.Cases
		}
		if n > 0 {
			with++
		}
		if w.Best != nil && slices.ContainsFunc(sl.Points, func(p Point) bool { return p.ID == w.Best.ID }) {
			n = len(s.Cases) + 1 // it and the range are told together
		}
		if n > size {
			best, size = i, n
		}
	}
	if with == 0 {
		return fmt.Sprintf("At none of the %d settings shown is a chance of %s reached for sure. %s", len(w.Slices), percent(w.Wanted), w.Slices[best].Sentence)
	}
	return fmt.Sprintf("%d of the %d settings shown have a range that reaches %s. %s", with, len(w.Slices), percent(w.Wanted), w.Slices[best].Sentence)
}

// yield is the answer of a study that varies nothing but what is not known.
func (v *view) yield() string {
	return fmt.Sprintf("The yield over what is not known (%s): %s of runs give a single grain; %s.", strings.Join(v.s.Over, ", "), v.belief(v.points[0]), v.points[0].spread(v.wanted))
}

// pick names the best case of the boxes, where there is a choice, and how its average spreads.
func (v *view) pick(boxes []Box) string {
	var all []Point
	for _, b := range boxes {
		all = append(all, b.points...)
	}
	i := Best(all, v.wanted)
	if i < 0 || v.where(all[i]) == "" {
		return ""
	}
	text := ""
	if len(all) > 1 {
		text = " The best case there is" + v.where(all[i])
		if all[i].FullH.Known() {
			text += fmt.Sprintf(", solid after %.3g h", float64(all[i].FullH))
		}
		text += "."
	}
	if all[i].Over > 0 {
		text += fmt.Sprintf(" It has %s over what is not known (%s); %s.", rough(float64(all[i].Chance)), strings.Join(v.s.Over, ", "), all[i].spread(v.wanted))
	}
	return text
}
