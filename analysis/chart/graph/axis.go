package graph

import (
	"math"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"

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

// extent is a range of values that grows with what it is shown.
type extent struct{ low, high float64 }

// extentOf is the range of the finite ones of some values.
func extentOf(values ...float64) extent { return extent{math.Inf(1), math.Inf(-1)}.with(values...) }

// with takes values in; those that are not finite do not count.
func (e extent) with(values ...float64) extent {
	for _, x := range values {
		if finite(x) {
			e.low, e.high = math.Min(e.low, x), math.Max(e.high, x)
		}
	}
	return e
}

// across is a line across a plot at a value, such as the wanted chance.
func (e extent) across(at float64) [][][2]float64 { return [][][2]float64{{{e.low, at}, {e.high, at}}} }

func (e extent) empty() bool { return e.low > e.high }

// padded is the range with some air, so that nothing sits on the frame; a single value gets a range
// around it.
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

// plot is a plot with its axes; room is their length in points, by which marks are spaced.
func (s *sheet) plot(x, y Axis, ex, ey extent, room [2]float64) *plot.Plot {
	p := paper.NewPlot(s.letters)
	s.scale(&p.X, x, ex, room[0]/42)
	s.scale(&p.Y, y, ey, room[1]/20)
	pale := pen(tint.Tint{Lightness: 0.91, Chroma: 0.004, HueDeg: 270}, 0.6)
	p.Add(&plotter.Grid{Vertical: pale, Horizontal: pale})
	return p
}

func (s *sheet) scale(a *plot.Axis, of Axis, e extent, marks float64) {
	a.Label.Text, a.Min, a.Max = s.letters.Known(of.label()), e.low, e.high
	log := of.Log && e.low > 0 && len(of.Levels) == 0
	if log {
		a.Scale = plot.LogScale{}
	}
	a.Tick.Marker = plot.TickerFunc(func(low, high float64) (list []plot.Tick) {
		for i, word := range of.Levels {
			list = append(list, plot.Tick{Value: float64(i), Label: word})
		}
		if list == nil {
			list = ticks(low, high, marks, log)
		}
		return list
	})
}

// ticks are about so many round values with their numbers.
func ticks(low, high, wanted float64, log bool) (list []plot.Tick) {
	if log {
		if list = logTicks(low, high, wanted); len(list) > 1 {
			return list
		}
	}
	values, decimals := scale.RoundSteps(low, high, max(2, int(wanted)))
	if len(values) < 2 && wanted > 1.5 {
		values, decimals = scale.RoundSteps(low, high, 4)
	}
	list = nil
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

// logTicks are 1, 2 and 5 times powers of ten; where these are many, the powers alone have numbers.
func logTicks(low, high, wanted float64) (list []plot.Tick) {
	decades := math.Log10(high / low)
	step := int(math.Max(1, math.Ceil(decades/math.Max(wanted, 2))))
	for n := int(math.Floor(math.Log10(low))); n <= int(math.Ceil(math.Log10(high))); n++ {
		for _, f := range []float64{1, 2, 5} {
			v, label := f*math.Pow(10, float64(n)), ""
			if f == 1 && n%step == 0 || decades*3 <= wanted {
				label = short(v)
			}
			if v >= low*(1-1e-9) && v <= high*(1+1e-9) {
				list = append(list, plot.Tick{Value: v, Label: label})
			}
		}
	}
	return list
}
