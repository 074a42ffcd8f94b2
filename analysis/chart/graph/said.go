package graph

import (
	"cmp"
	"embed"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"text/template"

	"onegrain/analysis/chart/scale"
	"onegrain/analysis/tally"
)

//go:embed words.txt
var prose embed.FS

// kind is the name of a chart or of a part of one.
func kind(of any) string { return strings.TrimPrefix(fmt.Sprintf("%T", of), "graph.") }

// said are the paragraphs of words.txt on a chart, or on a part of one: "seen" or "remarks".
func said(of any, what string) (paragraphs []string) {
	var filled strings.Builder
	t := template.Must(template.New("").Funcs(functions()).Funcs(ofWindows()).ParseFS(prose, "words.txt"))
	if err := t.ExecuteTemplate(&filled, kind(of)+" "+what, of); err != nil {
		panic(err) // words.txt is wrong
	}
	space := regexp.MustCompile(`\s+`)
	for text := range strings.SplitSeq(filled.String(), "\n\n") {
		if text = strings.TrimSpace(space.ReplaceAllString(text, " ")); text != "" {
			paragraphs = append(paragraphs, text)
		}
	}
	return paragraphs
}

// nothing says why there is nothing to show; empty where there is something.
func nothing(of any) string {
	if m, several := of.(Multiples); several {
		return m.nothing()
	}
	return strings.Join(said(of, "nothing"), " ")
}

// describe says what is seen, and what is to be remarked.
func (s *sheet) describe(of any) {
	s.seen, s.remarks = strings.Join(said(of, "seen"), " "), append(s.remarks, said(of, "remarks")...)
}

// functions of words.txt: numbers in words, and what is found in the values.
func functions() template.FuncMap {
	return template.FuncMap{
		"capital": scale.Capital, "finite": finite, "inWords": chanceText, "percent": percent, "plural": scale.Plural,
		"short": short, "lower": Axis.lower, "of": Axis.of, "value": Axis.value,
		"next": func(n int) int { return n + 1 }, "most": func(a, b int) int { return max(a, b) },
		"whole": func(x float64) int { return int(x) }, "hundredfold": func(x float64) float64 { return 100 * x },
		"less":   func(a, b float64) float64 { return a - b },
		"length": func(n int, step float64) float64 { return float64(n) * step },
		"last":   func(values []float64) float64 { return values[len(values)-1] },
		// span is the range of values, nil where none is known
		"span": func(values []float64) []float64 {
			if e := extentOf(values...); !e.empty() {
				return []float64{e.low, e.high}
			}
			return nil
		},
		"median":   func(values []float64) float64 { return tally.Quantile(slices.Sorted(slices.Values(values)), 0.5) },
		"interval": Point.interval,
		"known":    func(lines []Line) []Point { return known(lines...) },
		"single":   func(l Line) bool { return len(known(l)) == 1 },
		"extremes": func(l Line) []Point { return ends(known(l), func(p Point) float64 { return p.Y }) },
		"places": func(lines []Line) (all []float64) {
			for _, l := range lines {
				all = append(all, each(l.Points, func(p Point) float64 { return p.X })...)
			}
			return all
		},
		// largest is the point of the largest size, the first of equals; -1 where none is known
		"largest": func(l Line) int {
			size := each(l.Points, func(p Point) float64 { return math.Abs(p.Y) })
			if at := extentOf(size...); !at.empty() {
				return slices.Index(size, at.high)
			}
			return -1
		},
		"constant": Sample.constant, "coldest": Programme.coldest,
		"grows": func(g History) bool {
			return slices.ContainsFunc(g.tracks(), func(t track) bool { return len(known(t.lines...)) > 0 })
		},
		"grains": func(t Strip) []int {
			seeded, strays := t.counts()
			return []int{seeded, strays}
		},
	}
}

// ofWindows are functions of words.txt for windows and their cells.
func ofWindows() template.FuncMap {
	count := func(holds func(Window, Cell) bool) func(Window) int {
		return func(n Window) (number int) {
			for _, c := range n.Cells {
				if holds(n, c) {
					number++
				}
			}
			return number
		}
	}
	return template.FuncMap{
		"apart":    count(func(_ Window, c Cell) bool { return c.apart() }),
		"both":     count(func(_ Window, c Cell) bool { return c.both() }),
		"computed": count(func(_ Window, c Cell) bool { return c.known() }),
		"failed":   count(func(_ Window, c Cell) bool { return c.Failed }),
		"reached":  count(func(n Window, c Cell) bool { return c.chance() >= n.Wanted }),
		"byChance": func(cells int) float64 { return math.Round(10*(0.05*float64(cells))) / 10 },
		"chance":   Cell.chance,
		"xs":       func(cells []Cell) []float64 { return each(cells, func(c Cell) float64 { return c.X }) },
		"ys":       func(cells []Cell) []float64 { return each(cells, func(c Cell) float64 { return c.Y }) },
		"ends": func(cells []Cell) []Cell {
			return ends(slices.DeleteFunc(slices.Clone(cells), func(c Cell) bool { return !c.known() }), Cell.chance)
		},
	}
}

// each are the numbers of some things.
func each[T any](all []T, of func(T) float64) (values []float64) {
	for _, one := range all {
		values = append(values, of(one))
	}
	return values
}

// ends are the lowest and the highest of some things, the first of equals; nil without any.
func ends[T any](all []T, of func(T) float64) []T {
	if len(all) == 0 {
		return nil
	}
	by := func(a, b T) int { return cmp.Compare(of(a), of(b)) }
	return []T{slices.MinFunc(all, by), slices.MaxFunc(all, by)}
}
