package graph

import (
	"fmt"
	"io"
	"math"
	"strings"

	"gonum.org/v1/plot/vg"

	"onegrain/analysis/chart/paper"
)

// Curves are lines over one axis, each point with its interval where that is known.
type Curves struct {
	Title, Note string
	X, Y        Axis
	Lines       []Line
	From, To    float64 // range of Y; both 0: that of the values. A chance is best shown from 0 to 1
	Wanted      float64 // a level drawn across the chart, such as the wanted chance; 0 or NaN for none
	Marks       []Mark  // places on the X axis
	Failed      int     // cases without a value, told in a remark
}

// Draw writes the chart and returns its text alternative; the error names a faulty value, or is that of w.
func (c Curves) Draw(w io.Writer, format paper.Format) (alt string, err error) {
	if err := c.check("Curves"); err != nil {
		return "", err
	}
	letters, err := paper.NewLetters()
	if err != nil {
		return "", err
	}
	ex, ey := c.extents()
	s := &sheet{title: c.Title, note: c.Note, words: c.nothing()}
	if s.words == "" {
		q, legend := c.pane(letters, ex.padded(c.X.Log), c.rangeOf(ey), sheetWidth-90, 270)
		s.panes, s.legend, s.alt = []*pane{q}, legend, c.seen()
		s.remarks = c.remarks()
	}
	return s.write(w, format, letters)
}

func (c Curves) check(field string) error {
	if err := c.X.check(field + ".X"); err != nil {
		return err
	}
	if err := c.Y.check(field + ".Y"); err != nil {
		return err
	}
	if c.To < c.From || math.IsNaN(c.From) || math.IsNaN(c.To) {
		return fmt.Errorf("graph: %s.From = %v, %s.To = %v: wanted the range of Y, from below to above, or 0 and 0", field, c.From, field, c.To)
	}
	for i, l := range c.Lines {
		for j, p := range l.Points {
			at := fmt.Sprintf("%s.Lines[%d].Points[%d]", field, i, j)
			if !finite(p.X) {
				return fmt.Errorf("graph: %s.X = %v: wanted a finite number", at, p.X)
			}
			for _, v := range []float64{p.Y, p.Low, p.High} {
				if math.IsInf(v, 0) {
					return fmt.Errorf("graph: %s has the value %v: wanted a finite number, or NaN where it is not known", at, v)
				}
			}
			if p.Low > p.High {
				return fmt.Errorf("graph: %s has an interval from %v to %v: wanted Low ≤ High", at, p.Low, p.High)
			}
		}
	}
	return checkMarks(field, c.Marks)
}

func checkMarks(field string, marks []Mark) error {
	for i, m := range marks {
		if !finite(m.At) {
			return fmt.Errorf("graph: %s.Marks[%d].At = %v: wanted a finite number", field, i, m.At)
		}
	}
	return nil
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// known counts the points that have a value.
func (c Curves) known() (n int) {
	for _, l := range c.Lines {
		for _, p := range l.Points {
			if !math.IsNaN(p.Y) {
				n++
			}
		}
	}
	return n
}

// nothing tells in words why there is nothing to draw; empty where there is something.
func (c Curves) nothing() string {
	switch {
	case c.known() > 0:
		return ""
	case c.Failed > 0:
		return fmt.Sprintf("%s failed: no %s is known.", all(c.Failed, "case"), c.Y.lower())
	}
	return fmt.Sprintf("No case has a result: there is no %s to show.", c.Y.lower())
}

// all is "the only case", "both cases" or "all 5 cases", with a capital.
func all(n int, what string) string {
	switch n {
	case 1:
		return "The only " + what
	case 2:
		return "Both " + what + "s"
	}
	return fmt.Sprintf("All %d %ss", n, what)
}

func (c Curves) extents() (ex, ey extent) {
	ex, ey = nothing(), nothing()
	for _, l := range c.Lines {
		for _, p := range l.Points {
			ex, ey = ex.with(p.X), ey.with(p.Y, p.Low, p.High)
		}
	}
	if c.hasWanted() {
		ey = ey.with(c.Wanted)
	}
	return ex, ey
}

func (c Curves) hasWanted() bool { return c.Wanted != 0 && finite(c.Wanted) }

// rangeOf is the range of Y that is shown. What hits the frame of a fixed range stays whole: it gets a little air.
func (c Curves) rangeOf(ey extent) extent {
	if c.To > c.From {
		fixed := extent{c.From, c.To}.with(ey.low, ey.high)
		air := 0.03 * (fixed.high - fixed.low)
		return extent{fixed.low - air, fixed.high + air}
	}
	return ey.padded(c.Y.Log)
}

// pane is the plot of these curves in given ranges, width and height of the data in points.
func (c Curves) pane(letters paper.Letters, ex, ey extent, wide, high float64) (*pane, []entry) {
	p := newPlot(letters, c.X, c.Y, ex, ey, [2]float64{wide, high - 40})
	marks, top := newMarks(c.Marks, ex, wide)
	p.Add(marks)
	var legend []entry
	if c.hasWanted() {
		p.Add(reference{c.Wanted})
		legend = append(legend, referenceEntry("wanted: "+c.Y.of(c.Wanted)))
	}
	drawn := 0
	for i, l := range c.Lines {
		k := curve{line: l, style: styleOf(i)}
		if l.Dots {
			drawn++
			k.shift = vg.Points(4 * float64(drawn-1))
		}
		p.Add(k)
		legend = append(legend, k.entry(letters.Known(l.Name)))
	}
	return &pane{plot: p, high: high, top: top}, append(legend, marks.entries(c.X, letters)...)
}

func (c Curves) remarks() (list []string) {
	if c.known() == 1 {
		list = append(list, "One value only: how it depends on the "+c.X.lower()+" cannot be seen.")
	}
	if c.Failed > 0 && c.known() > 0 {
		list = append(list, fmt.Sprintf("%s without a value, because of failures: left out.", count(c.Failed, "case")))
	}
	return list
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// seen says what is to be seen: the axes, and for each line where it begins and ends and its highest point.
func (c Curves) seen() string {
	var parts []string
	for _, l := range c.Lines {
		if text := l.seen(c.X, c.Y); text != "" && len(parts) < 6 {
			parts = append(parts, text)
		}
	}
	ex, _ := c.extents()
	return fmt.Sprintf("%s over %s, %s to %s. %s.", capital(c.Y.Name), c.X.lower(), c.X.value(ex.low), c.X.of(ex.high), capital(strings.Join(parts, "; ")))
}

func capital(s string) string {
	r := []rune(s)
	if len(r) == 0 {
		return s
	}
	return strings.ToUpper(string(r[0])) + string(r[1:])
}

func (l Line) seen(x, y Axis) string {
	var known []Point
	for _, p := range l.Points {
		if !math.IsNaN(p.Y) {
			known = append(known, p)
		}
	}
	switch len(known) {
	case 0:
		return ""
	case 1:
		return fmt.Sprintf("%s: %s at %s", l.Name, y.of(known[0].Y), x.of(known[0].X))
	}
	low, high := known[0], known[0]
	for _, p := range known {
		if p.Y < low.Y {
			low = p
		}
		if p.Y > high.Y {
			high = p
		}
	}
	if low.Y == high.Y {
		return fmt.Sprintf("%s is %s throughout", l.Name, y.of(low.Y))
	}
	return fmt.Sprintf("%s is lowest at %s (%s) and highest at %s (%s)", l.Name, x.of(low.X), short(low.Y), x.of(high.X), y.of(high.Y))
}
