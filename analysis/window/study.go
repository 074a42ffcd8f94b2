package window

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"onegrain/analysis/tally"
)

// Axis is a varied column: numbers or words.
type Axis struct {
	Name   string    `json:"name"`             // of the column
	Label  string    `json:"label"`            // without its unit, for titles
	Unit   string    `json:"unit,omitempty"`   // as people write it
	Values []float64 `json:"values,omitempty"` // numbers that occur, rising
	Levels []string  `json:"levels,omitempty"` // words that occur, as they first do; a case has the index
	Log    bool      `json:"log,omitempty"`    // the values rise by ratios rather than by steps

	Unknown bool      `json:"unknown,omitempty"`    // merely not known: averaged over, never chosen
	Melt    bool      `json:"of_melt,omitempty"`    // a property of melt or seed, which no furnace sets
	Parts   []float64 `json:"part_edges,omitempty"` // of a sampled axis that was cut into parts; Values are their middles
}

// Numbers is the axis of a column of numbers; unit is its UCUM code.
func Numbers(name, unit string, column []float64) Axis {
	a := Axis{Name: name, Unit: plainUnit(unit), Values: slices.DeleteFunc(slices.Clone(column), math.IsNaN)}
	slices.Sort(a.Values)
	a.Values = slices.Compact(a.Values)
	a.Label = label(name)
	a.Log = byRatios(a.Values)
	return a
}

// Words is the axis of a column of words, and each word's index in Levels.
func Words(name string, column []string) (Axis, []float64) {
	a := Axis{Name: name, Label: label(name)}
	index := map[string]int{}
	at := make([]float64, len(column))
	for c, w := range column {
		i, known := index[w]
		if !known {
			i = len(a.Levels)
			index[w], a.Levels = i, append(a.Levels, w)
		}
		at[c] = float64(i)
	}
	return a, at
}

// Case is a row of the table of cases. What is not known is NaN.
type Case struct {
	ID         string
	At         []float64 // on each axis: the number, or the index of the word
	Runs, Hits int       // counted, and of those single grains
	Exact      float64   // chance of a single grain
	Strays     float64   // Λ, expected strays before the first
	DiameterMM float64   // median clear diameter
	P10, P90   float64   // of it
	FullH      float64   // median time to full
	ProgrammeH float64   // length of the programme
	Placings   int       // that Exact is the mean over, where seeds are placed with scatter; else 0
	Error      float64   // standard error of that mean
	Low, High  float64   // 95 % interval of the counted share; High 0 or NaN: worked out from Runs and Hits
	CellMM     float64   // edge of a cell, to which a clear piece is known
	Because    string    // why even without strays it can be no single grain; empty where it can or that is not told
	Over       []Case    // cases that are averaged in this one
}

// Study is what Find looks at.
type Study struct {
	Axes    []Axis
	Cases   []Case
	Common  bool // replicates share their nuclei between cases
	Sampled bool // the design spreads its points like sand, so that no two share a value

	Over  []string // of Averaged: labels of the axes that are averaged over
	Notes []string // of Averaged: what to know of the averages
}

// placings are the fewest and the most that an exact chance is the mean over; 0 where there is none.
func (s *Study) placings() (least, most int) {
	for _, c := range s.Cases {
		if c.Placings > 0 {
			most = max(most, c.Placings)
			if least == 0 || c.Placings < least {
				least = c.Placings
			}
		}
	}
	return least, most
}

// count is what a case has counted. An exact mean over other placings than those of its runs is no
// mean to compare them with.
func (c Case) count() tally.Count {
	k := tally.Count{Runs: c.Runs, Hits: c.Hits, Chance: c.Exact}
	switch {
	case c.Placings > 0 && c.Placings != c.Runs:
		k.Chance = math.NaN()
	case c.Error > 0:
		k.Error = c.Error
	}
	return k
}

// Options of Find.
type Options struct {
	Chance float64 // wanted, above 0 and below 1; 0 means 0.95
	X, Y   string  // names of the axes to look along; empty: chosen
}

// Setting is an axis held at one value.
type Setting struct {
	Axis  string `json:"axis"`
	Value string `json:"value"` // with its unit
}

func (o Options) chance() (float64, error) {
	if o.Chance == 0 {
		return 0.95, nil
	}
	if !(o.Chance > 0 && o.Chance < 1) {
		return 0, fmt.Errorf("window: Chance = %v: wanted a chance above 0 and below 1, such as 0.95", o.Chance)
	}
	return o.Chance, nil
}

// byRatios tells whether values rise by ratios: equal on the logarithmic scale to a tenth of what they are on the linear one, over a
// factor of 3 or more.
func byRatios(v []float64) bool {
	if len(v) < 3 || v[0] <= 0 || v[len(v)-1] < 3*v[0] {
		return false
	}
	uneven := func(f func(float64) float64) float64 {
		var most, least float64
		for i := range v[1:] {
			d := f(v[i+1]) - f(v[i])
			if i == 0 || d > most {
				most = d
			}
			if i == 0 || d < least {
				least = d
			}
		}
		return most / least
	}
	return uneven(math.Log) < uneven(func(x float64) float64 { return x })
}

func units() []string {
	return []string{"_K_per_h", "_K_per_mm", "_mm_per_h", "_per_mm3_h", "_per_mm2_h", "_per_mm3", "_per_mm2", "_K3", "_mm", "_deg", "_h", "_K", "_C"}
}

// label is a column's name for people.
func label(name string) string {
	for _, u := range units() {
		if s, ok := strings.CutSuffix(name, u); ok && s != "" {
			name = s
			break
		}
	}
	return strings.ReplaceAll(name, "_", " ")
}

// plainUnit turns the UCUM codes that the tables use into what people write.
func plainUnit(ucum string) string {
	if ucum == "1" {
		return ""
	}
	return strings.NewReplacer("deg", "°", "Cel", "°C", "mm3", "mm³", "mm2", "mm²", "K3", "K³", ".", " ").Replace(ucum)
}

// Text is a value of the axis for people: the word, or the number in four digits with its unit.
func (a Axis) Text(x float64) string { return a.number(x) }

// Bare is the same without the unit.
func (a Axis) Bare(x float64) string {
	a.Unit = ""
	return a.number(x)
}

// part are the ends of the part whose middle a value is; the value itself where the axis has no parts.
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

func (a Axis) number(x float64) string {
	if a.Levels != nil {
		if i := int(x); i >= 0 && i < len(a.Levels) {
			return a.Levels[i]
		}
		return "?"
	}
	if from, to := a.part(x); from < to {
		return figure(from) + " to " + Axis{Unit: a.Unit}.number(to)
	}
	if a.Unit == "°" {
		return figure(x) + a.Unit
	}
	return strings.TrimSpace(figure(x) + " " + a.Unit)
}

func figure(x float64) string { return fmt.Sprintf("%.4g", x) }

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

func real(x float64) tally.Real { return tally.Real(x) }
