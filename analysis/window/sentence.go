package window

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// percent is a chance for people, rounded down, with as many digits as it takes to tell it from 100 %.
func percent(p float64) string { return rounded(p, 10) }

// rough is a chance that was counted or has an interval: more than one digit behind the point would say too much.
func rough(p float64) string { return rounded(p, 1) }

func rounded(p float64, most int) string {
	switch {
	case math.IsNaN(p):
		return "unknown"
	case p >= 1:
		return "100 %"
	case p > 0 && p < 0.001 && most > 1:
		return fmt.Sprintf("%.1e", p)
	}
	digits := min(most, max(0, int(math.Ceil(-math.Log10(1-p)-1e-9))-1)) // 0.95: one nine needs no digit behind the point
	if p < 0.1 {
		digits = 1
	}
	scale := math.Pow(10, float64(digits))
	return strconv.FormatFloat(math.Floor(100*p*scale+1e-6)/scale, 'f', -1, 64) + " %"
}

// phrase is a range in words.
func (a Axis) phrase(r Range) string {
	if a.Levels != nil {
		return a.Label + " " + a.number(r.From)
	}
	first, last := a.ends()
	switch {
	case r.From == r.To && len(a.Values) > 1:
		return fmt.Sprintf("%s at %s", a.Label, a.number(r.From))
	case r.From == r.To:
		return fmt.Sprintf("%s at %s (all that was explored)", a.Label, a.number(r.From))
	case r.FromEdge && r.ToEdge:
		return fmt.Sprintf("%s anywhere from %s to %s (all that was explored)", a.Label, figure(first), a.number(last))
	case r.FromEdge:
		return fmt.Sprintf("%s at or below %s (explored from %s)", a.Label, a.number(inward(r.To, false)), figure(first))
	case r.ToEdge:
		return fmt.Sprintf("%s at or above %s (explored to %s)", a.Label, a.number(inward(r.From, true)), figure(last))
	}
	return fmt.Sprintf("%s between %s and %s", a.Label, figure(inward(r.From, true)), a.number(inward(r.To, false)))
}

// inward rounds to four digits, as figure does, but never out of the range.
func inward(x float64, up bool) float64 {
	y, _ := strconv.ParseFloat(figure(x), 64)
	step := math.Pow(10, math.Floor(math.Log10(math.Abs(x)))-3)
	switch {
	case up && y < x && x-y > 1e-9*math.Abs(x):
		y += step
	case !up && y > x && y-x > 1e-9*math.Abs(x):
		y -= step
	}
	return y
}

// where a point stands, in words.
func (v *view) where(p Point) string {
	var all []string
	if v.x != nil {
		all = append(all, v.x.Label+" "+v.x.number(float64(p.X)))
	}
	if v.y != nil {
		all = append(all, v.y.Label+" "+v.y.number(float64(p.Y)))
	}
	if len(all) == 0 {
		return ""
	}
	return " at " + strings.Join(all, " and ")
}

// sentence says what the slice shows, and no more.
func (v *view) sentence(out Slice) string {
	known, sure := 0, 0
	for _, p := range v.points {
		if p.Verdict != unknown {
			known++
		}
		if p.sure(v.wanted) {
			sure++
		}
	}
	text := ""
	switch {
	case len(v.points) == 0:
		text = "No case was computed, so nothing can be said."
	case known == 0:
		text = fmt.Sprintf("None of the %s has a result, so nothing can be said: see which failed and why in failures.jsonl, or run the study on.", v.s.cases(len(v.points)))
	case len(v.points) == 1 && len(v.s.Axes) == 0 && v.s.Over != nil:
		text = v.yield()
	case len(v.points) == 1:
		text = v.single()
	case sure == 0:
		text = v.none()
	case sure == len(v.points):
		text = v.all(out)
	case len(out.Safe) == 0:
		text = fmt.Sprintf("%d of %s reach at least %s, but no range of what was varied holds such cases alone.", sure, v.s.cases(len(v.points)), percent(v.wanted))
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

// cases counts cases, or where they are averages the settings.
func (s *Study) cases(n int) string {
	if s.Over != nil {
		return plural(n, "setting", "settings")
	}
	return plural(n, "case", "cases")
}

// single is what one case shows.
func (v *view) single() string {
	p := v.points[0]
	text := fmt.Sprintf("The one case%s gives a single grain with a chance of %s (%s)", v.where(p), v.belief(p), map[string]string{yes: "at least the wanted " + percent(v.wanted),
		no: "less than the wanted " + percent(v.wanted), never: "less than the wanted " + percent(v.wanted), open: "too few runs to tell whether it reaches " + percent(v.wanted)}[p.Verdict])
	return text + "; one case makes no window: vary something."
}

// belief in a point, in words.
func (v *view) belief(p Point) string {
	switch {
	case p.Verdict == never:
		return "0, since " + Reason(p.Because)
	case p.Source == fromExact:
		return percent(float64(p.Chance))
	case p.Source == fromMean && p.Over > 0:
		return fmt.Sprintf("%s (%s to %s by its %d points)", rough(float64(p.Chance)), rough(float64(p.Interval.Low)), rough(float64(p.Interval.High)), p.Over)
	case p.Source == fromMean:
		return fmt.Sprintf("%s (%s to %s over its placings)", rough(float64(p.Chance)), rough(float64(p.Interval.Low)), rough(float64(p.Interval.High)))
	}
	return fmt.Sprintf("%s (%d of %d counted, %s to %s)", rough(float64(p.Chance)), p.Hits, p.Runs, rough(float64(p.Interval.Low)), rough(float64(p.Interval.High)))
}

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
		return fmt.Sprintf("No case is shown to reach %s: %s too few runs to tell, the best%s with %s. Even if every run ends as a single grain it takes %d runs of a case to show it; or let the exact odds decide.",
			percent(v.wanted), plural(undecided, "case has", "cases have"), v.where(p), v.belief(p), need)
	}
	text := fmt.Sprintf("None of the %s reaches %s: the best%s has %s.", v.s.cases(len(v.points)), percent(v.wanted), v.where(p), v.belief(p))
	if p.Verdict == never || p.Chance == 0 {
		return text
	}
	if edge := v.edgeOf(p); edge != "" {
		text += " It lies at the edge of what was explored (" + edge + "): look further there."
	}
	return text
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// edgeOf names the edges at which a point lies.
func (v *view) edgeOf(p Point) string {
	var all []string
	for k, a := range []*Axis{v.x, v.y} {
		if a == nil || len(a.Values) < 2 {
			continue
		}
		x := []float64{float64(p.X), float64(p.Y)}[k]
		switch x {
		case a.Values[0]:
			all = append(all, "lowest "+a.Label)
		case a.Values[len(a.Values)-1]:
			all = append(all, "highest "+a.Label)
		}
	}
	return strings.Join(all, ", ")
}

// all is what cases show that all reach the wanted chance.
func (v *view) all(out Slice) string {
	text := fmt.Sprintf("All %s reach at least %s", v.s.cases(len(v.points)), percent(v.wanted))
	if v.x != nil && v.x.Levels == nil {
		text += ": " + v.x.phrase(v.whole(v.x, v.columns[0], v.columns[len(v.columns)-1]))
		if v.y != nil {
			text += " and " + v.y.phrase(v.whole(v.y, v.rows[0], v.rows[len(v.rows)-1]))
		}
	}
	lowest := v.points[0].Chance
	for _, p := range v.points {
		lowest = min(lowest, p.Chance)
	}
	return text + fmt.Sprintf("; the lowest has %s. The limit lies outside of what was explored.", percent(float64(lowest))) + v.pick(out.Safe)
}

// advice names the box to stay in. What no furnace sets is a condition and no advice.
func (v *view) advice(out Slice) string {
	var ways []string
	n, lowest, asks := 0, 1.0, false
	for _, b := range out.Safe {
		way, given := []string{}, []string{}
		for k, r := range []*Range{&b.X, b.Y} {
			if r == nil {
				continue
			}
			if a := []*Axis{v.x, v.y}[k]; a.Melt {
				given = append(given, a.phrase(*r))
			} else {
				way = append(way, a.phrase(*r))
			}
		}
		asks = asks || len(way) > 0
		text := strings.Join(way, " and ")
		if len(given) > 0 {
			text = strings.TrimSpace(text + " if the body has " + strings.Join(given, " and "))
		}
		ways = append(ways, text)
		n, lowest = n+b.Cases, min(lowest, float64(b.Lowest))
	}
	text := fmt.Sprintf("A single grain comes in at least %s of runs ", percent(v.wanted))
	switch {
	case asks && v.x.Levels != nil:
		text = fmt.Sprintf("For a single grain in at least %s of runs take ", percent(v.wanted))
	case asks:
		text = fmt.Sprintf("For a single grain in at least %s of runs keep ", percent(v.wanted))
	}
	text += strings.Join(ways, ", or ") + ": "
	if n == 1 {
		text += fmt.Sprintf("the one %s there has %s", strings.TrimPrefix(v.s.cases(1), "1 "), percent(lowest))
	} else {
		text += fmt.Sprintf("all %s there reach it, the lowest with %s", v.s.cases(n), percent(lowest))
	}
	if len(v.p.through) > 0 {
		text += ", whatever else was varied"
	}
	if v.means != "" {
		text += "; by " + v.means
	}
	return text + "." + v.limits(out) + v.pick(out.Safe)
}

// limits names the places between cases where the chance crosses the wanted one.
func (v *view) limits(out Slice) string {
	var all []string
	for _, c := range out.Crossings {
		text := "at " + v.x.number(float64(c.At))
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
