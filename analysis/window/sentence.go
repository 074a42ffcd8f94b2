package window

import (
	_ "embed" // the sentences
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"text/template"
)

//go:embed words.txt
var words string

const nothingComputed = "No case was computed, so nothing can be said."

// values fill in a part of words.txt.
type values map[string]any

// say fills in a part of words.txt.
func (v *view) say(part string, with values) string {
	t := template.Must(template.New("").Funcs(template.FuncMap{
		"where": v.where, "explored": v.explored, "edges": v.edges, "limits": v.limits, "cases": v.s.cases,
		"one": func() string { return strings.TrimPrefix(v.s.cases(1), "1 ") }, "plural": plural, "shown": Point.shown,
		"rough":   func(x real) string { return rough(float64(x)) },
		"percent": func(x real) string { return percent(float64(x)) },
		"spread":  func(p Point) string { return p.spread(v.wanted) },
		"lowest":  func(points []Point) real { return v.box(points, Range{}).Lowest },
	}).Parse(strings.ReplaceAll(words, "\n", " ")))
	var text strings.Builder
	if err := t.ExecuteTemplate(&text, part, with); err != nil {
		panic(err) // words.txt is wrong
	}
	return text.String()
}

// sentence says what the slice shows, and no more.
func (v *view) sentence(out Slice) string {
	if len(v.points) == 0 {
		return nothingComputed
	}
	are := func(is ...string) (n int) {
		for _, p := range v.points {
			if slices.Contains(is, p.Verdict) {
				n++
			}
		}
		return n
	}
	with := values{"N": len(v.points), "Known": len(v.points) - are(unknown), "Reach": are(yes), "Open": are(open),
		"All": v.points, "Crossings": out.Crossings, "Best": v.points[max(0, Best(v.points, v.wanted))],
		"Wanted": percent(v.wanted),
		"Yield":  len(v.s.Axes) == 0 && v.s.Over != nil, "Over": strings.Join(v.s.Over, ", "), "Choice": nil,
		"Need": int(math.Ceil(math.Log(0.025) / math.Log(v.wanted))), "Through": v.p.through != nil}
	v.advice(out, with)
	text := v.say("slice", with)
	var fixed []string
	for _, f := range out.Fixed {
		fixed = append(fixed, label(f.Axis)+" "+f.Value)
	}
	if len(fixed) > 0 {
		return "With " + strings.Join(fixed, ", ") + ": " + strings.ToLower(text[:1]) + text[1:]
	}
	return text
}

// advice names the boxes to stay in, and their best case. What no furnace sets is a condition and
// no advice.
func (v *view) advice(out Slice, with values) {
	var boxes []string
	var within []Point
	with["Verb"] = "keep"
	if len(v.axes) > 0 && v.axes[0].Levels != nil {
		with["Verb"] = "take"
	}
	for _, b := range out.Safe {
		var set, given []string
		for k, r := range b.ranges() {
			if a := v.axes[k]; a.Melt {
				given = append(given, a.phrase(r))
			} else {
				set = append(set, a.phrase(r))
			}
		}
		way := strings.Join(set, " and ")
		if len(given) > 0 {
			way = strings.TrimSpace(way + " if the body has " + strings.Join(given, " and "))
		}
		if len(set) > 0 {
			with["Set"] = true
		}
		boxes, within = append(boxes, way), append(within, b.points...)
	}
	with["Boxes"], with["Within"] = strings.Join(boxes, ", or "), within
	if i := Best(within, v.wanted); i >= 0 {
		with["Choice"] = within[i]
	}
}

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

// edges are the ends of what was explored at which a point lies; none where its chance is 0.
func (v *view) edges(p Point) string {
	var all []string
	for k, a := range v.axes {
		if at := p.place(k); len(a.Values) > 0 && p.Verdict != never && p.Chance != 0 {
			all = append(all, a.edges(Range{FromEdge: at == a.Values[0], ToEdge: at == a.Values[len(a.Values)-1]})...)
		}
	}
	return strings.Join(all, ", ")
}

// explored are the ranges of the slice along its axes of numbers.
func (v *view) explored() string {
	var all []string
	for k, places := range [][]float64{v.columns, v.rows}[:len(v.axes)] {
		if a := v.axes[k]; a.Levels == nil {
			all = append(all, a.phrase(a.span(places[0], places[len(places)-1])))
		}
	}
	return strings.Join(all, " and ")
}

// limits names the places between cases where the chance crosses the wanted one.
func (v *view) limits(crossings []limit) string {
	var all []string
	for _, c := range crossings {
		text := "at " + v.axes[0].Text(float64(c.At))
		if c.Interval.Low.Known() && c.Interval.High.Known() {
			text += fmt.Sprintf(" (%s to %s)", figure(float64(c.Interval.Low)), figure(float64(c.Interval.High)))
		}
		all = append(all, text)
	}
	if len(all) > 4 {
		return ""
	}
	return strings.Join(all, " and ")
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

// percent is a chance for people, rounded down, with as many digits as it takes to tell it from 100
// %.
func percent(p float64) string { return rounded(p, 10) }

// rough is a chance that was counted or has an interval: more than one digit behind the point would
// say too much.
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

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// phrase is a range in words.
func (a *Axis) phrase(r Range) string {
	if a.Levels != nil {
		return a.Label + " " + a.Text(r.From)
	}
	first, last := a.ends()
	switch {
	case r.From == r.To && len(a.Values) > 1:
		return fmt.Sprintf("%s at %s", a.Label, a.Text(r.From))
	case r.From == r.To:
		return fmt.Sprintf("%s at %s (all that was explored)", a.Label, a.Text(r.From))
	case r.FromEdge && r.ToEdge:
		return fmt.Sprintf("%s anywhere from %s to %s (all that was explored)", a.Label, figure(first), a.Text(last))
	case r.FromEdge:
		return fmt.Sprintf("%s at or below %s (explored from %s)", a.Label, a.Text(inward(r.To, false)), figure(first))
	case r.ToEdge:
		return fmt.Sprintf("%s at or above %s (explored to %s)", a.Label, a.Text(inward(r.From, true)), figure(last))
	}
	return fmt.Sprintf("%s between %s and %s", a.Label, figure(inward(r.From, true)), a.Text(inward(r.To, false)))
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
