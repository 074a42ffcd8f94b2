package window

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// where a point stands, in words.
func (v *view) where(p Point) string {
	var all []string
	for k, a := range v.axes {
		all = append(all, a.Label+" "+a.Text(p.place(k)))
	}
	if len(all) == 0 {
		return ""
	}
	return " at " + strings.Join(all, " and ")
}

const (
	nothingComputed = "No case was computed, so nothing can be said."
	noResult        = "None of the %s has a result, so nothing can be said: see which failed and why in failures.jsonl, " +
		"or run the study on."
	noRange = "%d of %s reach at least %s, but no range of what was varied holds such cases alone."
)

// sentence says what the slice shows, and no more.
func (v *view) sentence(out Slice) string {
	known, reach, n := 0, 0, len(v.points)
	for _, p := range v.points {
		if p.Verdict != unknown {
			known++
		}
		if p.reaches() {
			reach++
		}
	}
	text := ""
	switch {
	case n == 0:
		text = nothingComputed
	case known == 0:
		text = fmt.Sprintf(noResult, v.s.cases(n))
	case n == 1 && len(v.s.Axes) == 0 && v.s.Over != nil:
		text = fmt.Sprintf("The yield over what is not known (%s): %s of runs give a single grain; %s.",
			strings.Join(v.s.Over, ", "), v.belief(v.points[0]), v.points[0].spread(v.wanted))
	case n == 1:
		text = v.single()
	case reach == 0:
		text = v.none()
	case reach == n:
		text = v.all(out)
	case len(out.Safe) == 0:
		text = fmt.Sprintf(noRange, reach, v.s.cases(n), percent(v.wanted))
	default:
		text = v.advice(out)
	}
	var fixed []string
	for _, f := range out.Fixed {
		fixed = append(fixed, label(f.Axis)+" "+f.Value)
	}
	if len(fixed) > 0 {
		return "With " + strings.Join(fixed, ", ") + ": " + strings.ToLower(text[:1]) + text[1:]
	}
	return text
}

// single is what one case shows.
func (v *view) single() string {
	p, wanted := v.points[0], percent(v.wanted)
	verdict := "less than the wanted " + wanted
	switch p.Verdict {
	case yes:
		verdict = "at least the wanted " + wanted
	case open:
		verdict = "too few runs to tell whether it reaches " + wanted
	}
	text := fmt.Sprintf("The one case%s gives a single grain with a chance of %s (%s)", v.where(p), v.belief(p), verdict)
	return text + "; one case makes no window: vary something."
}

// belief in a point, in words.
func (v *view) belief(p Point) string {
	between := rough(float64(p.Interval.Low)) + " to " + rough(float64(p.Interval.High))
	switch {
	case p.Verdict == never:
		return "0, since " + p.Reason()
	case p.Source == fromExact:
		return p.shown()
	case p.Source == fromMean && p.Over > 0:
		return fmt.Sprintf("%s (%s by its %d points)", p.shown(), between, p.Over)
	case p.Source == fromMean:
		return fmt.Sprintf("%s (%s over its placings)", p.shown(), between)
	}
	return fmt.Sprintf("%s (%d of %d counted, %s)", p.shown(), p.Hits, p.Runs, between)
}

const noneShown = "No case is shown to reach %s: %s too few runs to tell, the best%s with %s. Even if every " +
	"run ends as a single grain it takes %d runs of a case to show it; or let the exact odds decide."

// none is what cases show of which none reaches the wanted chance.
func (v *view) none() string {
	undecided := 0
	for _, p := range v.points {
		if p.Verdict == open {
			undecided++
		}
	}
	p := v.points[max(0, Best(v.points, v.wanted))]
	if undecided > 0 {
		need := int(math.Ceil(math.Log(0.025) / math.Log(v.wanted)))
		have := plural(undecided, "case has", "cases have")
		return fmt.Sprintf(noneShown, percent(v.wanted), have, v.where(p), v.belief(p), need)
	}
	n := v.s.cases(len(v.points))
	text := fmt.Sprintf("None of the %s reaches %s: the best%s has %s.", n, percent(v.wanted), v.where(p), v.belief(p))
	if p.Verdict == never || p.Chance == 0 {
		return text
	}
	var edges []string
	for k, a := range v.axes {
		if at := p.place(k); len(a.Values) > 0 {
			edges = append(edges, a.edges(Range{FromEdge: at == a.Values[0], ToEdge: at == a.Values[len(a.Values)-1]})...)
		}
	}
	if len(edges) > 0 {
		text += " It lies at the edge of what was explored (" + strings.Join(edges, ", ") + "): look further there."
	}
	return text
}

// all is what cases show that all reach the wanted chance.
func (v *view) all(out Slice) string {
	text := fmt.Sprintf("All %s reach at least %s", v.s.cases(len(v.points)), percent(v.wanted))
	var ranges []string
	for k, places := range [][]float64{v.columns, v.rows}[:len(v.axes)] {
		if a := v.axes[k]; a.Levels == nil {
			ranges = append(ranges, a.phrase(a.span(places[0], places[len(places)-1])))
		}
	}
	if len(ranges) > 0 {
		text += ": " + strings.Join(ranges, " and ")
	}
	lowest := percent(float64(v.box(v.points, Range{}).Lowest))
	return text + fmt.Sprintf("; the lowest has %s. The limit lies outside of what was explored.", lowest) +
		v.bestOf(out.Safe)
}

// advice names the box to stay in. What no furnace sets is a condition and no advice.
func (v *view) advice(out Slice) string {
	var boxes []string
	n, lowest := 0, 1.0
	text := fmt.Sprintf("A single grain comes in at least %s of runs ", percent(v.wanted))
	for _, b := range out.Safe {
		var set, given []string
		for k, r := range b.ranges() {
			if a := v.axes[k]; a.Melt {
				given = append(given, a.phrase(r))
			} else {
				set = append(set, a.phrase(r))
			}
		}
		if len(set) > 0 {
			verb := "keep"
			if v.axes[0].Levels != nil {
				verb = "take"
			}
			text = fmt.Sprintf("For a single grain in at least %s of runs %s ", percent(v.wanted), verb)
		}
		way := strings.Join(set, " and ")
		if len(given) > 0 {
			way = strings.TrimSpace(way + " if the body has " + strings.Join(given, " and "))
		}
		boxes = append(boxes, way)
		n, lowest = n+b.Cases, min(lowest, float64(b.Lowest))
	}
	text += strings.Join(boxes, ", or ") + ": "
	if n == 1 {
		text += fmt.Sprintf("the one %s there has %s", strings.TrimPrefix(v.s.cases(1), "1 "), percent(lowest))
	} else {
		text += fmt.Sprintf("all %s there reach it, the lowest with %s", v.s.cases(n), percent(lowest))
	}
	if len(v.p.through) > 0 {
		text += ", whatever else was varied"
	}
	return text + "." + v.limits(out) + v.bestOf(out.Safe)
}

// limits names the places between cases where the chance crosses the wanted one.
func (v *view) limits(out Slice) string {
	var all []string
	for _, c := range out.Crossings {
		text := "at " + v.axes[0].Text(float64(c.At))
		if c.Interval.Low.Known() && c.Interval.High.Known() {
			text += fmt.Sprintf(" (%s to %s)", figure(float64(c.Interval.Low)), figure(float64(c.Interval.High)))
		}
		all = append(all, text)
	}
	if len(all) == 0 || len(all) > 4 {
		return ""
	}
	return " The limit itself lies " + strings.Join(all, " and ") + "."
}

// bestOf names the best case of the boxes, where there is a choice, and how its average spreads.
func (v *view) bestOf(boxes []Box) (text string) {
	var all []Point
	for _, b := range boxes {
		all = append(all, b.points...)
	}
	i := Best(all, v.wanted)
	if i < 0 || len(v.axes) == 0 {
		return ""
	}
	p := all[i]
	if len(all) > 1 {
		text = " The best case there is" + v.where(p)
		if p.FullH.Known() {
			text += fmt.Sprintf(", solid after %.3g h", float64(p.FullH))
		}
		text += "."
	}
	if p.Over > 0 {
		text += fmt.Sprintf(" It has %s over what is not known (%s); %s.",
			rough(float64(p.Chance)), strings.Join(v.s.Over, ", "), p.spread(v.wanted))
	}
	return text
}

// overall is the sentence of the whole study: that of its only slice, or of the one in which the
// best case lies, else of the one whose boxes hold the most cases.
func (w *Window) overall(cases int) string {
	switch len(w.Slices) {
	case 0:
		return nothingComputed
	case 1:
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
			n = cases + 1 // it and the range are told together
		}
		if n > size {
			best, size = i, n
		}
	}
	of, wanted, text := len(w.Slices), percent(w.Wanted), w.Slices[best].Sentence
	if with == 0 {
		return fmt.Sprintf("At none of the %d settings shown is a chance of %s reached for sure. %s", of, wanted, text)
	}
	return fmt.Sprintf("%d of the %d settings shown have a range that reaches %s. %s", with, of, wanted, text)
}
