package graph

import (
	"fmt"
	"io"
	"math"
	"sort"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/scale"
)

// Programme is what the furnace does: temperature and undercooling against time.
type Programme struct {
	Title, Note   string
	TimeH         []float64 // h, ascending; two at one time are a jump
	UndercoolingK []float64 // K at the reference point, one for each time; negative above the peritectic temperature
	PeritecticC   float64   // °C; NaN leaves the temperature out
	SolidH        float64   // when the body is solid, soon after which the chart ends; NaN or 0 where it is not
	Marks         []Mark    // hours worth a word, such as that of the first stray
}

// History is what became of a run.
type History struct {
	Title, Note   string
	TimeH         []float64 // h, ascending
	UndercoolingK []float64 // K; this and the following: one value for each time, or nil where not kept; NaN where not known
	ReachAMM      []float64 // mm, how far the first seed's grain has come along a, from the middle of the seed
	ReachCMM      []float64 // mm, and along c
	SolidFraction []float64 // of the body, 0 to 1
	Nuclei        []float64 // strays born so far
	Marks         []Mark    // hours worth a word
}

// track is one row of a course: some lines over the common time.
type track struct {
	y      Axis
	names  []string
	values [][]float64
	from   float64 // lowest value shown; NaN: that of the values
	to     float64
	level  float64 // a line across; NaN for none
	name   string  // of that line
	steps  bool
}

// Draw writes the chart and returns its text alternative; the error names a faulty value, or is that of w.
func (g Programme) Draw(w io.Writer, format paper.Format) (alt string, err error) {
	if err := checkTimes("Programme", g.TimeH, g.Marks, named{"UndercoolingK", g.UndercoolingK, true}); err != nil {
		return "", err
	}
	letters, err := paper.NewLetters()
	if err != nil {
		return "", err
	}
	s := &sheet{title: g.Title, note: g.Note}
	if len(g.TimeH) == 0 {
		s.words = "The programme has no stages: there is nothing to show."
		return s.write(w, format, letters)
	}
	g = g.whole()
	if end := g.TimeH[len(g.TimeH)-1]; scale.SoonAfter(g.SolidH, end) < end {
		s.remarks = []string{fmt.Sprintf("The body is solid after %s h; the programme goes on to %s h.",
			short(g.SolidH), short(end))}
		g = g.cut(scale.SoonAfter(g.SolidH, end))
	}
	nan := math.NaN()
	cold := make([]float64, len(g.TimeH))
	molten := g.molten()
	for i, k := range g.UndercoolingK {
		if cold[i] = k; k < 0 || i < molten {
			cold[i] = nan
		}
	}
	var tracks []track
	if !math.IsNaN(g.PeritecticC) {
		warm := make([]float64, len(g.TimeH))
		for i, k := range g.UndercoolingK {
			warm[i] = g.PeritecticC - k
		}
		tracks = append(tracks, track{Axis{Name: "Temperature", Unit: "°C"}, []string{"temperature"}, [][]float64{warm}, nan, nan, g.PeritecticC, "peritectic temperature, " + short(g.PeritecticC) + " °C", false})
	}
	tracks = append(tracks, track{Axis{Name: "Undercooling", Unit: "K"}, []string{"undercooling, where it is above 0"}, [][]float64{cold}, 0, nan, nan, "", false})
	compose(s, letters, g.TimeH, tracks, g.Marks)
	s.alt = g.seen()
	return s.write(w, format, letters)
}

// whole is the programme with a knot wherever the undercooling passes 0.
func (g Programme) whole() Programme {
	var hours, kelvin []float64
	for i, k := range g.UndercoolingK {
		if i > 0 {
			if before := g.UndercoolingK[i-1]; before*k < 0 {
				t := before / (before - k)
				hours, kelvin = append(hours, g.TimeH[i-1]+t*(g.TimeH[i]-g.TimeH[i-1])), append(kelvin, 0)
			}
		}
		hours, kelvin = append(hours, g.TimeH[i]), append(kelvin, k)
	}
	g.TimeH, g.UndercoolingK = hours, kelvin
	return g
}

// cut is the programme up to an hour within it.
func (g Programme) cut(endH float64) Programme {
	n := sort.SearchFloat64s(g.TimeH, endH)
	kelvin := g.UndercoolingK[n]
	if n > 0 {
		t := (endH - g.TimeH[n-1]) / (g.TimeH[n] - g.TimeH[n-1])
		kelvin = g.UndercoolingK[n-1] + t*(g.UndercoolingK[n]-g.UndercoolingK[n-1])
	}
	g.TimeH, g.UndercoolingK = append(g.TimeH[:n:n], endH), append(g.UndercoolingK[:n:n], kelvin)
	return g
}

// molten is the first knot at which the body is molten: before, it is cold but nothing grows. 0 where it never is.
func (g Programme) molten() int {
	for i, k := range g.UndercoolingK {
		if k <= 0 {
			return i
		}
	}
	return 0
}

func (g Programme) seen() string {
	most, at := math.Inf(-1), 0.0
	for i, k := range g.UndercoolingK {
		if k > most && i >= g.molten() {
			most, at = k, g.TimeH[i]
		}
	}
	text := fmt.Sprintf("Temperature and undercooling over %s h; the undercooling is largest, %s K, at %s h.", short(g.TimeH[len(g.TimeH)-1]-g.TimeH[0]), short(most), short(at))
	return text + markWords(g.Marks)
}

func markWords(marks []Mark) string {
	text := ""
	for i, m := range marks {
		if i == 0 {
			text = " Marked: "
		} else {
			text += ", "
		}
		text += fmt.Sprintf("%s at %s h", m.Text, short(m.At))
	}
	if text != "" {
		text += "."
	}
	return text
}

// Draw writes the chart and returns its text alternative; the error names a faulty value, or is that of w.
func (g History) Draw(w io.Writer, format paper.Format) (alt string, err error) {
	columns := []named{{"UndercoolingK", g.UndercoolingK, false}, {"ReachAMM", g.ReachAMM, false}, {"ReachCMM", g.ReachCMM, false},
		{"SolidFraction", g.SolidFraction, false}, {"Nuclei", g.Nuclei, false}}
	if err := checkTimes("History", g.TimeH, g.Marks, columns...); err != nil {
		return "", err
	}
	letters, err := paper.NewLetters()
	if err != nil {
		return "", err
	}
	s := &sheet{title: g.Title, note: g.Note}
	nan := math.NaN()
	tracks := []track{
		{Axis{Name: "Reach", Unit: "mm"}, []string{"reach along a", "reach along c"}, [][]float64{g.ReachAMM, g.ReachCMM}, 0, nan, nan, "", false},
		{Axis{Name: "Solid fraction", Unit: ""}, []string{"solid fraction"}, [][]float64{g.SolidFraction}, 0, 1, nan, "", false},
		{Axis{Name: "Undercooling", Unit: "K"}, []string{"undercooling"}, [][]float64{g.UndercoolingK}, nan, nan, nan, "", false},
		{Axis{Name: "Strays born", Unit: ""}, []string{"strays born"}, [][]float64{g.Nuclei}, 0, 1, nan, "", true},
	}
	var kept []track
	for _, t := range tracks {
		if t.known() {
			kept = append(kept, t)
		}
	}
	if len(g.TimeH) == 0 || len(kept) == 0 {
		s.words = "No history was kept for this run: write history = true under [keep] and run it again."
		return s.write(w, format, letters)
	}
	compose(s, letters, g.TimeH, kept, g.Marks)
	s.alt = g.seen()
	return s.write(w, format, letters)
}

func (t track) known() bool {
	for _, values := range t.values {
		for _, v := range values {
			if !math.IsNaN(v) {
				return true
			}
		}
	}
	return false
}

func (g History) seen() string {
	n := len(g.TimeH) - 1
	text := fmt.Sprintf("The course of a run from %s to %s h.", short(g.TimeH[0]), short(g.TimeH[n]))
	if len(g.SolidFraction) > 0 {
		text += fmt.Sprintf(" %s %% of the body is solid at the end", short(100*g.SolidFraction[n]))
		if len(g.Nuclei) > 0 {
			text += ", with " + count(int(g.Nuclei[n]), "stray") + " born"
		}
		text += "."
	}
	if len(g.ReachAMM) > 0 && finite(g.ReachAMM[n]) {
		text += fmt.Sprintf(" The first seed's grain reaches %s mm along a.", short(g.ReachAMM[n]))
	}
	return text + markWords(g.Marks)
}

// named is a column with its name, for errors.
type named struct {
	name   string
	values []float64
	whole  bool // must be there, and finite
}

func checkTimes(field string, hours []float64, marks []Mark, columns ...named) error {
	for i, t := range hours {
		if !finite(t) || i > 0 && t < hours[i-1] {
			return fmt.Errorf("graph: %s.TimeH[%d] = %v: wanted finite hours in ascending order", field, i, t)
		}
	}
	for _, c := range columns {
		if len(c.values) != len(hours) && (c.whole || c.values != nil) {
			return fmt.Errorf("graph: %s.%s has %d values for %d times: wanted one for each", field, c.name, len(c.values), len(hours))
		}
		for i, v := range c.values {
			if math.IsInf(v, 0) || c.whole && math.IsNaN(v) {
				return fmt.Errorf("graph: %s.%s[%d] = %v: wanted a finite number", field, c.name, i, v)
			}
		}
	}
	return checkMarks(field, marks)
}

// compose stacks the tracks over the common time; the numbers of marks stand above the first.
func compose(s *sheet, letters paper.Letters, hours []float64, tracks []track, at []Mark) {
	time := Axis{Name: "Time from the start of the programme", Unit: "h"}
	ex := nothing().with(hours...).padded(false)
	marks, top := newMarks(at, ex, sheetWidth-90)
	drawn := 0
	for i, t := range tracks {
		ey := nothing()
		lines := make([]Line, 0, len(t.values))
		for j, values := range t.values {
			l := Line{Name: t.names[j]}
			for n, v := range values {
				l.Points = append(l.Points, Point{hours[n], v, math.NaN(), math.NaN()})
				ey = ey.with(v)
			}
			lines = append(lines, l)
		}
		q := t.pane(letters, time, ex, ey, marks, i)
		if i == 0 {
			q.top = top
		}
		if i < len(tracks)-1 {
			q.plot.X.Label.Text = ""
		}
		for _, l := range lines {
			if len(l.Points) > 0 {
				k := curve{line: l, style: styleOf(drawn), steps: t.steps}
				q.plot.Add(bare{k})
				s.legend = append(s.legend, bare{k}.entry(l.Name))
				drawn++
			}
		}
		if !math.IsNaN(t.level) {
			q.plot.Add(reference{t.level})
			s.legend = append(s.legend, referenceEntry(t.name))
		}
		s.panes = append(s.panes, q)
	}
	s.legend = append(s.legend, marks.entries(Axis{Name: "time", Unit: "h"}, letters)...)
}

// pane is the empty plot of a track.
func (t track) pane(letters paper.Letters, time Axis, ex, ey extent, marks markRows, row int) *pane {
	ey = ey.with(t.from, t.to, t.level)
	ey = ey.padded(false)
	high := 118.0
	p := newPlot(letters, time, t.y, ex, ey, [2]float64{sheetWidth - 90, high - 30})
	marks.numbers = row == 0
	p.Add(marks)
	return &pane{plot: p, high: high}
}
