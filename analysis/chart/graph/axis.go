package graph

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"onegrain/analysis/chart/paper"
	"onegrain/analysis/chart/scale"
	"onegrain/analysis/chart/tint"
)

// Axis is what runs along an axis.
type Axis struct {
	Name   string   // such as "Cooling rate"
	Unit   string   // such as "K/h"; empty for a plain number
	Log    bool     // logarithmic, where all values are above 0
	Levels []string // for an axis of words: what the values 0, 1, 2 … stand for
}

// label is the title of the axis.
func (a Axis) label() string {
	if a.Unit == "" {
		return a.Name
	}
	return a.Name + " (" + a.Unit + ")"
}

// of is a value with its unit.
func (a Axis) of(x float64) string { return strings.TrimSpace(a.value(x) + " " + a.Unit) }

// value is a value without its unit: a word or a number.
func (a Axis) value(x float64) string {
	if i := int(x); len(a.Levels) > 0 && float64(i) == x && i >= 0 && i < len(a.Levels) {
		return a.Levels[i]
	}
	return short(x)
}

// lower is the name within a sentence: without its capital, unless that belongs to a sign.
func (a Axis) lower() string {
	r := []rune(a.Name)
	if len(r) > 1 && strings.ToLower(string(r[1])) == string(r[1]) && r[1] != ' ' && r[1] != '_' {
		return strings.ToLower(string(r[0])) + string(r[1:])
	}
	return a.Name
}

func (a Axis) check(field string) error {
	if strings.TrimSpace(a.Name) == "" {
		return fmt.Errorf("graph: %s.Name is empty: wanted what runs along the axis", field)
	}
	return nil
}

// short writes a value with at most four digits and a true minus sign.
func short(x float64) string {
	switch {
	case math.IsNaN(x):
		return "unknown"
	case x == 0:
		return "0"
	}
	s := strconv.FormatFloat(math.Abs(x), 'g', 4, 64)
	if mantissa, power, found := strings.Cut(s, "e"); found {
		n, _ := strconv.Atoi(power)
		s = mantissa + " · 10" + raised(n)
	}
	if x < 0 {
		return "−" + s
	}
	return s
}

// raised writes a whole number as an exponent.
func raised(n int) string {
	return strings.NewReplacer("-", "⁻", "0", "⁰", "1", "¹", "2", "²", "3", "³", "4", "⁴", "5", "⁵", "6", "⁶", "7", "⁷", "8", "⁸", "9", "⁹").Replace(strconv.Itoa(n))
}

// extent is a range of values that grows with what it is shown.
type extent struct{ low, high float64 }

func nothing() extent { return extent{math.Inf(1), math.Inf(-1)} }

// with takes values in; those that are not finite do not count.
func (e extent) with(values ...float64) extent {
	for _, x := range values {
		if finite(x) {
			e.low, e.high = math.Min(e.low, x), math.Max(e.high, x)
		}
	}
	return e
}

func (e extent) empty() bool { return e.low > e.high }

// padded is the range with some air, so that nothing sits on the frame; a single value gets a range around it.
func (e extent) padded(log bool) extent {
	if e.empty() {
		return extent{0, 1}
	}
	if log && e.low > 0 {
		f := math.Max(1.06, math.Pow(e.high/e.low, 0.04))
		return extent{e.low / f, e.high * f}
	}
	air := 0.04 * (e.high - e.low)
	if air == 0 {
		air = math.Max(0.5*math.Abs(e.high), 0.5)
		if e.low >= 0 {
			return extent{math.Max(0, e.low-air), e.high + air}
		}
	}
	return extent{e.low - air, e.high + air}
}

// newPlot is a plot with its axes; room is the length of the axes in points, by which marks are spaced.
func newPlot(l paper.Letters, x, y Axis, ex, ey extent, room [2]float64) *plot.Plot {
	p := paper.NewPlot(l)
	p.X.Label.Text, p.Y.Label.Text = l.Known(x.label()), l.Known(y.label())
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = ex.low, ex.high, ey.low, ey.high
	scaled(&p.X, x, x.Log && ex.low > 0, room[0]/42)
	scaled(&p.Y, y, y.Log && ey.low > 0, room[1]/20)
	p.Add(grid{})
	return p
}

func scaled(a *plot.Axis, of Axis, log bool, marks float64) {
	if len(of.Levels) > 0 {
		a.Tick.Marker = of.words()
		return
	}
	if log {
		a.Scale = plot.LogScale{}
	}
	a.Tick.Marker = plot.TickerFunc(func(low, high float64) []plot.Tick {
		if log {
			return logTicks(low, high, marks)
		}
		return ticks(low, high, marks)
	})
}

// words are the marks of an axis of words.
func (a Axis) words() (list plot.ConstantTicks) {
	for i, word := range a.Levels {
		list = append(list, plot.Tick{Value: float64(i), Label: word})
	}
	return list
}

// ticks are round values with their numbers.
func ticks(low, high, wanted float64) (list []plot.Tick) {
	values, decimals := scale.RoundSteps(low, high, max(2, int(wanted)))
	if len(values) < 2 && wanted > 1.5 {
		values, decimals = scale.RoundSteps(low, high, 4)
	}
	for _, v := range values {
		list = append(list, plot.Tick{Value: v, Label: written(v, decimals)})
	}
	return list
}

// written is the number of a mark; very large and very small ones as powers.
func written(v float64, decimals int) string {
	if decimals > 4 || math.Abs(v) >= 1e6 {
		return short(v)
	}
	return scale.Number(v, decimals)
}

// logTicks are 1, 2 and 5 times powers of ten, or the powers alone where these are many.
func logTicks(low, high, wanted float64) (list []plot.Tick) {
	decades := math.Log10(high / low)
	step := int(math.Max(1, math.Ceil(decades/math.Max(wanted, 2))))
	for n := int(math.Floor(math.Log10(low))); n <= int(math.Ceil(math.Log10(high))); n++ {
		for _, f := range []float64{1, 2, 5} {
			v := f * math.Pow(10, float64(n))
			if v < low*(1-1e-9) || v > high*(1+1e-9) {
				continue
			}
			label := ""
			if f == 1 && n%step == 0 || decades*3 <= wanted {
				label = short(v)
			}
			list = append(list, plot.Tick{Value: v, Label: label})
		}
	}
	if len(list) < 2 {
		return ticks(low, high, wanted)
	}
	return list
}

// grid draws pale lines at the marks of both axes.
type grid struct{}

// Plot draws the lines.
func (grid) Plot(c draw.Canvas, p *plot.Plot) {
	style := draw.LineStyle{Color: tint.Tint{Lightness: 0.91, Chroma: 0.004, HueDeg: 270}.Color(), Width: vg.Points(0.6)}
	x, y := p.Transforms(&c)
	for _, t := range p.X.Tick.Marker.Ticks(p.X.Min, p.X.Max) {
		c.StrokeLine2(style, x(t.Value), c.Min.Y, x(t.Value), c.Max.Y)
	}
	for _, t := range p.Y.Tick.Marker.Ticks(p.Y.Min, p.Y.Max) {
		c.StrokeLine2(style, c.Min.X, y(t.Value), c.Max.X, y(t.Value))
	}
}
