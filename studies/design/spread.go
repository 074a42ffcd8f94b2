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
)

// spread is a design whose cases are points of a cube, spread over the ranges of the axes. Points
// are made when they are asked for.
//
// In a Saltelli design (A. Saltelli et al., Comput. Phys. Commun. 181 (2010) 259) every row i of
// two samples A and B makes k + 2 cases, k the number of axes: A_i, B_i, and for each axis j in the
// order of [[vary]] AB_ij, which is A_i with the value of axis j from B_i. They follow one another,
// so that more rows keep the cases of the first.
type spread struct {
	kind   string
	points int                     // of a Saltelli design: rows of A
	axes   int                     //
	point  func(i int) []float64   // of the cube; of a Saltelli design row i of A and, behind it, of B
	twins  func() map[string][]int // by their values, the cases of which others are the same
}

// isSpread tells whether a kind of design is a spread.
func isSpread(kind string) bool { return kind == "latin" || kind == "sobol" || kind == "saltelli" }

// spreadOut checks a sampled design and makes its points.
func (g *Design) spreadOut(d *strict.Document) strict.Problems {
	s := &spread{kind: g.kind, points: int(d.Whole("design.points")), axes: len(g.axes)}
	most := map[string]int{"latin": math.MaxInt, "sobol": sample.MostAxes, "saltelli": sample.MostAxes / 2}[g.kind]
	switch {
	case s.axes == 0:
		return d.Problem("design.kind", "it spreads its points over the ranges of [[vary]], and there is none",
			"key = …, from = …, to = …")
	case s.axes > most:
		return d.Problem("design.kind", fmt.Sprintf("there are %d [[vary]], and it has at most %d", s.axes, most),
			`vary fewer keys, or take "latin"`)
	case g.kind == "saltelli" && s.points == 1:
		return d.Problem("design.points", "one row tells nothing of how much a value matters",
			"take 64 at least, better 1024")
	}
	seed := strconv.FormatInt(d.Whole("random.seed"), 10)
	s.point = s.source(g.Keys(), draw.NewKey("onegrain design", g.kind, seed))
	s.twins = sync.OnceValue(g.findTwins)
	g.spread, g.cases = s, s.points*s.block()
	g.at = func(i int) []any {
		out := make([]any, len(g.axes))
		for k, u := range s.at(i) {
			out[k] = g.axes[k].along(u)
		}
		return out
	}
	return nil
}

// source makes points when they are asked for; those of a Latin hypercube take some memory.
func (s *spread) source(labels []string, key draw.Key) func(int) []float64 {
	if s.kind == "latin" {
		latin := sync.OnceValue(func() *sample.Latin { return sample.NewLatin(s.points, labels, key) })
		return func(i int) []float64 { return latin().Point(i) }
	}
	if s.kind == "saltelli" {
		for _, label := range labels {
			labels = append(labels, "B "+label)
		}
	}
	sobol, _ := sample.NewSobol(labels, key) // the number of axes was checked
	return sobol.Point
}

// block is how many cases a point makes.
func (s *spread) block() int {
	if s.kind == "saltelli" {
		return s.axes + 2
	}
	return 1
}

// at is the place of case i in the cube.
func (s *spread) at(i int) []float64 {
	x := s.point(i / s.block())
	if s.kind != "saltelli" {
		return x
	}
	a, b := x[:s.axes], x[s.axes:]
	switch j := i % s.block(); j {
	case 0:
	case 1:
		return b
	default:
		a[j-2] = b[j-2]
	}
	return a
}

// name is the place of case i in its design: its number from 1, or A1, B1, AB1.2 for row 1 of A
// with the second axis from B.
func (s *spread) name(i int) string {
	if s.kind != "saltelli" {
		return strconv.Itoa(i + 1)
	}
	row := i/s.block() + 1
	switch j := i % s.block(); j {
	case 0:
		return fmt.Sprintf("A%d", row)
	case 1:
		return fmt.Sprintf("B%d", row)
	default:
		return fmt.Sprintf("AB%d.%d", row, j-1)
	}
}

// Places names every place of the design at which the case with the values of case i is, as the
// column design_points does; empty for a design that has no points.
func (g *Design) Places(i int) string {
	if g.spread == nil {
		return ""
	}
	same := g.spread.twins()[fmt.Sprint(g.at(i))]
	if len(same) == 0 {
		return g.spread.name(i)
	}
	names := make([]string, len(same))
	for k, j := range same {
		names[k] = g.spread.name(j)
	}
	return strings.Join(names, " ")
}

// Uneven says of a Sobol sequence whose number of points is no power of two which ones would be
// better; empty where there is nothing to say.
func (g *Design) Uneven() string {
	if g.spread == nil || g.kind == "latin" || bits.OnesCount(uint(g.spread.points)) == 1 {
		return ""
	}
	below := 1 << (bits.Len(uint(g.spread.points)) - 1)
	return fmt.Sprintf("a Sobol sequence is most even where the number of points is a power of two: "+
		"take points = %d or %d rather than %d", below, 2*below, g.spread.points)
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
	if listed == 0 || listed < len(g.axes) && g.kind != "saltelli" {
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
	return decimal(x)
}
