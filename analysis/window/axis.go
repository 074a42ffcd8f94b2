package window

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"onegrain/studies/unit"
)

// Axis is a varied column: numbers or words.
type Axis struct {
	Name   string    `json:"name"`             // of the column
	Label  string    `json:"label"`            // without its unit, for titles
	Unit   string    `json:"unit,omitempty"`   // as people write it
	Values []float64 `json:"values,omitempty"` // numbers that occur, rising
	Levels []string  `json:"levels,omitempty"` // words, as they first occur; a case has the index
	Log    bool      `json:"log,omitempty"`    // the values rise by ratios rather than by steps

	Unknown bool `json:"unknown,omitempty"` // merely not known: averaged over, never chosen
	Melt    bool `json:"of_melt,omitempty"` // a property of melt or seed, which no furnace sets
	// Parts are the edges of a sampled axis that was cut into parts; Values are their middles.
	Parts []float64 `json:"part_edges,omitempty"`
}

// Numbers is the axis of a column of numbers; code is the UCUM code of its unit.
func Numbers(name, code string, column []float64) Axis {
	a := Axis{Name: name, Label: label(name), Unit: unit.Text(code)}
	a.Values = slices.DeleteFunc(slices.Clone(column), math.IsNaN)
	slices.Sort(a.Values)
	a.Values = slices.Compact(a.Values)
	a.Log = byRatios(a.Values)
	return a
}

// Words is the axis of a column of words, and each word's index in Levels.
func Words(name string, column []string) (Axis, []float64) {
	a := Axis{Name: name, Label: label(name)}
	at := make([]float64, len(column))
	for c, word := range column {
		i := slices.Index(a.Levels, word)
		if i < 0 {
			i, a.Levels = len(a.Levels), append(a.Levels, word)
		}
		at[c] = float64(i)
	}
	return a, at
}

// byRatios tells whether values are more even on the logarithmic scale than on the linear one, over
// a factor of 3 or more.
func byRatios(v []float64) bool {
	if len(v) < 3 || v[0] <= 0 || v[len(v)-1] < 3*v[0] {
		return false
	}
	uneven := func(scale func(float64) float64) float64 {
		most, least := math.Inf(-1), math.Inf(1)
		for i := range v[1:] {
			step := scale(v[i+1]) - scale(v[i])
			most, least = max(most, step), min(least, step)
		}
		return most / least
	}
	return uneven(math.Log) < uneven(func(x float64) float64 { return x })
}

// label is a column's name for people.
func label(name string) string {
	return strings.ReplaceAll(strings.TrimSuffix(name, unit.Of(name).Ending), "_", " ")
}

// Text is a value of the axis for people: the word, or the number in four digits with its unit.
func (a Axis) Text(x float64) string {
	if a.Levels != nil {
		if i := int(x); i >= 0 && i < len(a.Levels) {
			return a.Levels[i]
		}
		return "?"
	}
	text := figure(x)
	if from, to := a.part(x); from < to {
		text = figure(from) + " to " + figure(to)
	}
	if a.Unit == "" || a.Unit == "°" {
		return text + a.Unit
	}
	return text + " " + a.Unit
}

// Bare is the same without the unit.
func (a Axis) Bare(x float64) string {
	a.Unit = ""
	return a.Text(x)
}

func figure(x float64) string { return fmt.Sprintf("%.4g", x) }

// part are the ends of the part whose middle a value is; the value itself where the axis has no
// parts.
func (a Axis) part(x float64) (from, to float64) {
	if i := slices.Index(a.Values, x); len(a.Parts) > 0 && i >= 0 {
		return a.Parts[i], a.Parts[i+1]
	}
	return x, x
}

// ends are the least and the largest value that was explored.
func (a Axis) ends() (from, to float64) {
	from, _ = a.part(a.Values[0])
	_, to = a.part(a.Values[len(a.Values)-1])
	return from, to
}

func (a Axis) levels() int { return max(len(a.Values), len(a.Levels)) }

// scaled is a number on the axis' own scale, and back.
func (a Axis) scaled(x float64) float64 {
	if a.Log {
		return math.Log(x)
	}
	return x
}

func (a Axis) unscaled(u float64) float64 {
	if a.Log {
		return math.Exp(u)
	}
	return u
}

// between is the value at a share of the way from one value to another.
func (a Axis) between(from, to, share float64) float64 {
	if from == to {
		return from
	}
	return a.unscaled(a.scaled(from) + share*(a.scaled(to)-a.scaled(from)))
}

// edges name the ends of what was explored at which a range ends.
func (a Axis) edges(r Range) (all []string) {
	if len(a.Values) < 2 {
		return nil
	}
	if r.FromEdge {
		all = append(all, "lowest "+a.Label)
	}
	if r.ToEdge {
		all = append(all, "highest "+a.Label)
	}
	return all
}
