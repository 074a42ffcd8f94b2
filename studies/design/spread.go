package design

import (
	"fmt"
	"math"
	"math/bits"
	"strconv"
	"strings"
	"sync"

	"onegrain/sim/draw"
	"onegrain/studies/sample"
	"onegrain/studies/strict"
	"onegrain/studies/unit"
)

// The cases of a sampled design are points of a cube, spread over the ranges of the axes. Points
// are made when they are asked for.
//
// In a Saltelli design (A. Saltelli et al., Comput. Phys. Commun. 181 (2010) 259) every row i of
// two samples A and B makes k + 2 cases, k the number of axes: A_i, B_i, and for each axis j in the
// order of [[vary]] AB_ij, which is A_i with the value of axis j from B_i. They follow one another,
// so that more rows keep the cases of the first.
const saltelli = "saltelli"

// sampled tells whether a kind of design is a sample.
func sampled(kind string) bool { return kind == "latin" || kind == "sobol" || kind == saltelli }

// sample checks a sampled design and makes its points.
func (g *Design) sample(d *strict.Document) strict.Problems {
	g.points = int(d.Whole("design.points"))
	axes, labels := len(g.axes), g.Keys()
	most := map[string]int{"latin": math.MaxInt, "sobol": sample.MostAxes, saltelli: sample.MostAxes / 2}[g.kind]
	switch {
	case axes == 0:
		return d.Problem("design.kind", "it spreads its points over the ranges of [[vary]], and there is none",
			"key = …, from = …, to = …")
	case axes > most:
		return d.Problem("design.kind", fmt.Sprintf("there are %d [[vary]], and it has at most %d", axes, most),
			`vary fewer keys, or take "latin"`)
	case g.kind == saltelli && g.points == 1:
		return d.Problem("design.points", "one row does not show how much a value matters",
			"take 64 at least, better 1024")
	}
	key := draw.NewKey("onegrain design", g.kind, strconv.FormatInt(d.Whole("random.seed"), 10))
	if g.kind == "latin" { // which takes some memory
		latin := sync.OnceValue(func() *sample.Latin { return sample.NewLatin(g.points, labels, key) })
		g.point = func(i int) []float64 { return latin().Point(i) }
	} else {
		if g.kind == saltelli {
			for _, label := range g.Keys() {
				labels = append(labels, "B "+label)
			}
		}
		sobol, _ := sample.NewSobol(labels, key) // the number of axes was checked
		g.point = sobol.Point
	}
	if g.cases = g.points; g.kind == saltelli {
		g.cases *= axes + 2
	}
	g.twins = sync.OnceValue(g.findTwins)
	g.at = func(i int) []any {
		out := make([]any, axes)
		for k, u := range g.cube(i) {
			out[k] = g.axes[k].along(u)
		}
		return out
	}
	return nil
}

// cube is the place of case i in the cube.
func (g *Design) cube(i int) []float64 {
	if g.kind != saltelli {
		return g.point(i)
	}
	k := len(g.axes)
	x := g.point(i / (k + 2))
	a, b := x[:k], x[k:]
	if j := i%(k+2) - 2; j == -1 {
		return b
	} else if j >= 0 {
		a[j] = b[j]
	}
	return a
}

// place names the place of case i in its design: its number from 1, or A1, B1, AB1.2 for row 1 of A
// with the second axis from B.
func (g *Design) place(i int) string {
	block := len(g.axes) + 2
	switch row, j := i/block+1, i%block; {
	case g.kind != saltelli:
		return strconv.Itoa(i + 1)
	case j < 2:
		return fmt.Sprintf("%c%d", "AB"[j], row)
	default:
		return fmt.Sprintf("AB%d.%d", row, j-1)
	}
}

// Places names every place of the design at which the case with the values of case i is, as the
// column design_points does; empty for a design that has no points.
func (g *Design) Places(i int) string {
	if g.point == nil {
		return ""
	}
	same, names := g.twins()[fmt.Sprint(g.at(i))], []string(nil)
	if len(same) == 0 {
		same = []int{i}
	}
	for _, j := range same {
		names = append(names, g.place(j))
	}
	return strings.Join(names, " ")
}

// Uneven says of a Sobol sequence whose number of points is no power of two which ones would be
// better; empty where there is nothing to say.
func (g *Design) Uneven() string {
	if g.point == nil || g.kind == "latin" || bits.OnesCount(uint(g.points)) == 1 {
		return ""
	}
	below := 1 << (bits.Len(uint(g.points)) - 1)
	return fmt.Sprintf("a Sobol sequence is most even where the number of points is a power of two: "+
		"take points = %d or %d rather than %d", below, 2*below, g.points)
}

// findTwins finds the cases that have the same values. No two points of a range are the same, so
// they come of lists and whole numbers: of all axes, or in a Saltelli design of the one axis in
// which A and AB differ.
func (g *Design) findTwins() map[string][]int {
	listed := 0
	for _, a := range g.axes {
		if len(a.values) > 0 || a.whole() {
			listed++
		}
	}
	if listed == 0 || listed < len(g.axes) && g.kind != saltelli {
		return nil
	}
	all := map[string][]int{}
	for i := range g.cases {
		key := fmt.Sprint(g.at(i))
		all[key] = append(all[key], i)
	}
	return all
}

// along is the value at u of the way along an axis of a sampled design, 0 ≤ u < 1; each value of a
// list, and each whole number, has an equal part of the way.
func (a *axis) along(u float64) any {
	if n := len(a.values); n > 0 {
		return a.values[min(n-1, int(u*float64(n)))]
	}
	from, to := a.from, a.to
	if a.whole() {
		from, to = min(from, to), max(from, to)+1
	}
	x := a.between(from, to, u)
	if a.whole() {
		return int64(min(math.Floor(x), to-1))
	}
	return unit.Decimal(x)
}
