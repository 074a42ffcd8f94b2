package graph

import (
	"fmt"
	"io"
	"math"
	"slices"

	"gonum.org/v1/plot/vg/draw"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/scale"
)

// Programme is what the furnace does: temperature and undercooling against time.
type Programme struct {
	Title, Note   string
	TimeH         []float64 // h, ascending; two at one time are a jump
	UndercoolingK []float64 // K at the reference point, one for each time; negative above the peritectic temperature
	PeritecticC   float64   `nan:"unknown"` // °C; NaN leaves the temperature out
	SolidH        float64   `nan:"unknown"` // when the body is solid, soon after which the chart ends; 0 or NaN: never
	Marks         []Mark    // hours worth a word, such as that of the first stray
}

// History is what became of a run.
type History struct {
	Title, Note   string
	TimeH         []float64 // h, ascending
	UndercoolingK []float64 `nan:"unknown"` // K; this and the following: one value for each time, or nil
	ReachAMM      []float64 `nan:"unknown"` // mm, how far the first seed's grain has come along a, from its seed's middle
	ReachCMM      []float64 `nan:"unknown"` // mm, and along c
	SolidFraction []float64 `nan:"unknown"` // of the body, 0 to 1
	Nuclei        []float64 `nan:"unknown"` // strays born so far
	Marks         []Mark    // hours worth a word
}

// track is one row of a course: some lines over the common time.
type track struct {
	y     Axis
	shown []float64 // values that the range holds at least
	lines []Line
	level float64 // a line across; NaN for none
	name  string  // of that line
	steps bool
}

// over is a line over time.
func over(hours, values []float64, name string) Line {
	l := Line{Name: name}
	for i, v := range values {
		l.Points = append(l.Points, Point{hours[i], v, math.NaN(), math.NaN()})
	}
	return l
}

// Draw writes the chart as all charts are written, see write.
func (g Programme) Draw(w io.Writer, as paper.Format) (string, error) { return write(g, w, as) }

func (g Programme) head() (title, note string) { return g.Title, g.Note }

func (g Programme) compose(s *sheet) {
	end := g.TimeH[len(g.TimeH)-1]
	soon := scale.SoonAfter(g.SolidH, end)
	if soon < end {
		s.remarks = []string{fmt.Sprintf("The body is solid after %s h; the programme goes on to %s h.",
			short(g.SolidH), short(end))}
	}
	g = g.knots(soon)
	molten := g.molten()
	warm, cold := slices.Clone(g.UndercoolingK), slices.Clone(g.UndercoolingK)
	for i, k := range g.UndercoolingK {
		if warm[i] = g.PeritecticC - k; k < 0 || i < molten {
			cold[i] = math.NaN()
		}
	}
	course(s, g.TimeH, g.Marks, []track{
		{y: Axis{Name: "Temperature", Unit: "°C"}, lines: []Line{over(g.TimeH, warm, "temperature")},
			level: g.PeritecticC, name: "peritectic temperature, " + short(g.PeritecticC) + " °C"},
		{y: Axis{Name: "Undercooling", Unit: "K"}, shown: []float64{0}, level: math.NaN(),
			lines: []Line{over(g.TimeH, cold, "undercooling, where it is above 0")}},
	})
	s.describe(g)
}

// knots are the programme up to an hour, with one wherever the undercooling passes 0.
func (g Programme) knots(endH float64) Programme {
	hours, kelvin := []float64{}, []float64{}
	for i, k := range g.UndercoolingK {
		if i > 0 {
			t0, k0, t := g.TimeH[i-1], g.UndercoolingK[i-1], g.TimeH[i]
			if zero := t0 + k0/(k0-k)*(t-t0); k0*k < 0 && zero < endH {
				hours, kelvin = append(hours, zero), append(kelvin, 0)
			}
			if t > endH {
				hours, kelvin = append(hours, endH), append(kelvin, k0+(endH-t0)/(t-t0)*(k-k0))
				break
			}
		}
		hours, kelvin = append(hours, g.TimeH[i]), append(kelvin, k)
	}
	g.TimeH, g.UndercoolingK = hours, kelvin
	return g
}

// molten is the first knot at which the body is molten: before, it is cold but nothing grows. 0
// where it never is.
func (g Programme) molten() int {
	return max(0, slices.IndexFunc(g.UndercoolingK, func(k float64) bool { return k <= 0 }))
}

// coldest is the knot of the melt with the largest undercooling.
func (g Programme) coldest() (at int) {
	at = g.molten()
	for i, k := range g.UndercoolingK {
		if i > at && k > g.UndercoolingK[at] {
			at = i
		}
	}
	return at
}

// Draw writes the chart as all charts are written, see write.
func (g History) Draw(w io.Writer, as paper.Format) (string, error) { return write(g, w, as) }

func (g History) head() (title, note string) { return g.Title, g.Note }

func (g History) tracks() []track {
	nan, line := math.NaN(), func(values []float64, name string) Line { return over(g.TimeH, values, name) }
	return []track{
		{y: Axis{Name: "Reach", Unit: "mm"}, shown: []float64{0}, level: nan,
			lines: []Line{line(g.ReachAMM, "reach along a"), line(g.ReachCMM, "reach along c")}},
		{y: Axis{Name: "Solid fraction"}, shown: []float64{0, 1}, level: nan,
			lines: []Line{line(g.SolidFraction, "solid fraction")}},
		{y: Axis{Name: "Undercooling", Unit: "K"}, level: nan, lines: []Line{line(g.UndercoolingK, "undercooling")}},
		{y: Axis{Name: "Strays born"}, shown: []float64{0, 1}, level: nan, steps: true,
			lines: []Line{line(g.Nuclei, "strays")}},
	}
}

func (g History) compose(s *sheet) {
	course(s, g.TimeH, g.Marks, g.tracks())
	s.describe(g)
}

// course stacks the tracks of which something is known over the common time; the numbers of marks
// stand above the first.
func course(s *sheet, hours []float64, at []Mark, tracks []track) {
	const high = 118.0
	ex := extentOf(hours...).padded(false)
	marks, top := newMarks(at, ex)
	drawn := 0
	for _, t := range tracks {
		points := known(t.lines...)
		if len(points) == 0 {
			continue
		}
		ey := extentOf(append(t.shown, t.level)...)
		for _, q := range points {
			ey = ey.with(q.Y)
		}
		p := s.plot(Axis{}, t.y, ex, ey.padded(false), [2]float64{dataWidth, high - 30})
		p.Add(marks)
		for _, l := range t.lines {
			if len(l.Points) > 0 {
				k := curve{Line: l, style: styleOf(drawn), steps: t.steps, plain: true}
				p.Add(k)
				s.explain(l.Name, k.sample)
				drawn++
			}
		}
		if !math.IsNaN(t.level) {
			p.Add(path{ex.across(t.level), []draw.LineStyle{dotted()}})
			s.explain(t.name, across(dotted()))
		}
		s.panes = append(s.panes, &pane{plot: p, high: high, top: top})
		marks.numbers, top = false, 0
	}
	s.panes[len(s.panes)-1].plot.X.Label.Text = "Time from the start of the programme (h)"
	marks.explain(s, Axis{Unit: "h"})
}
