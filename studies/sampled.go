package studies

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"sync"

	"onegrain/sim/draw"
	"onegrain/sim/number"
	"onegrain/studies/sample"
	"onegrain/studies/strict"
)

// spread is a design whose cases are points of a cube, spread over the ranges of the axes. Points are made when they are asked for.
//
// In a Saltelli design (A. Saltelli et al., Comput. Phys. Commun. 181 (2010) 259) every row i of two samples A and B makes k + 2
// cases, k the number of axes: A_i, B_i, and for each axis j in the order of [[vary]] AB_ij, which is A_i with the value of
// axis j from B_i. They follow one another, so that more rows keep the cases of the first.
type spread struct {
	kind   string
	points int                     // of a Saltelli design: rows of A
	axes   int                     //
	point  func(i int) []float64   // of the cube; of a Saltelli design row i of A and, behind it, of B
	twins  func() map[string][]int // by their values, the cases of which others are the same
}

// sampled tells whether a kind of design is a spread.
func sampled(kind string) bool { return kind == "latin" || kind == "sobol" || kind == "saltelli" }

// spreadOut checks a sampled design and makes its points.
func (g *design) spreadOut(d *strict.Document) strict.Problems {
	bad := func(key, wanted, hint string) strict.Problems { return strict.Problems{d.Problem(key, wanted, hint)} }
	s := &spread{kind: g.kind, points: int(d.Whole("design.points")), axes: len(g.axes)}
	most := map[string]int{"latin": math.MaxInt, "sobol": sample.MostAxes, "saltelli": sample.MostAxes / 2}[g.kind]
	switch {
	case s.axes == 0:
		return bad("design.kind", "it spreads its points over the ranges of [[vary]], and there is none", "key = …, from = …, to = …")
	case s.axes > most:
		return bad("design.kind", fmt.Sprintf("there are %d [[vary]], and it has at most %d", s.axes, most), "vary fewer keys, or take \"latin\"")
	case g.kind == "saltelli" && s.points == 1:
		return bad("design.points", "one row tells nothing of how much a value matters", "take 64 at least, better 1024")
	}
	key := draw.NewKey("onegrain design", g.kind, strconv.FormatInt(d.Whole("random.seed"), 10))
	if s.points > 0 {
		s.point = points(s, g.keys(), key)
	}
	s.twins = sync.OnceValue(g.findTwins)
	g.spread = s
	return nil
}

// points makes the points once they are wanted: those of a Latin hypercube take some memory.
func points(s *spread, keys []string, key draw.Key) func(int) []float64 {
	labels := append([]string(nil), keys...)
	if s.kind == "latin" {
		latin := sync.OnceValue(func() *sample.Latin { return sample.NewLatin(s.points, labels, key) })
		return func(i int) []float64 { return latin().Point(i) }
	}
	if s.kind == "saltelli" {
		for _, k := range keys {
			labels = append(labels, "B "+k)
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

// name is the place of case i in its design: its number from 1, or A1, B1, AB1.2 for row 1 of A with the second axis from B.
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

// places names every place of the design at which the case with these values stands; empty for a design that has no points.
func (g *design) places(i int) string {
	if g.spread == nil {
		return ""
	}
	same := g.spread.twins()[fmt.Sprint(g.values(i))]
	if len(same) == 0 {
		return g.spread.name(i)
	}
	names := make([]string, len(same))
	for k, j := range same {
		names[k] = g.spread.name(j)
	}
	return strings.Join(names, " ")
}

// findTwins finds the cases that have the same values. No two points of a range are the same, so they come of lists and whole numbers:
// of all axes, or in a Saltelli design of the one axis in which A and AB differ.
func (g *design) findTwins() map[string][]int {
	listed := 0
	for _, a := range g.axes {
		if len(a.values) > 0 || holds[int64](a.field) {
			listed++
		}
	}
	if listed == 0 || listed < len(g.axes) && g.kind != "saltelli" {
		return nil
	}
	all := map[string][]int{}
	for i := range g.cases() {
		key := fmt.Sprint(g.values(i))
		all[key] = append(all[key], i)
	}
	return all
}

// ranged reads the range of an axis of a sampled design, or its list of values.
func ranged(d *strict.Document, a *axis) (found strict.Problems) {
	bad := func(key, wanted, hint string) strict.Problems {
		return strict.Problems{d.Problem(a.at+key, wanted, hint)}
	}
	kind := d.Text("design.kind")
	if d.Has(a.at + ".values") {
		a.values, found = listed(d, *a)
		return found
	}
	if d.Line(a.at+".values") != d.Line(a.at) {
		return nil // values are there and were refused
	}
	if d.Has(a.at + ".count") {
		return bad(".count", fmt.Sprintf("has no meaning with design.kind = %q", kind), "design.points says how many cases there are")
	}
	for _, key := range []string{".from", ".to"} {
		if d.Has(a.at + key) {
			continue
		}
		if d.Line(a.at+key) != d.Line(a.at) {
			return nil // there and refused
		}
		return bad("", fmt.Sprintf("with design.kind = %q wanted from and to, or values = […]", kind), strings.TrimPrefix(key, ".")+" is missing")
	}
	a.from, a.to, a.log = d.Number(a.at+".from"), d.Number(a.at+".to"), d.Text(a.at+".spacing") == "log"
	if found := badRange(d, a); found != nil {
		return found
	}
	for key, x := range map[string]float64{".from": a.from, ".to": a.to} {
		if _, wanted, hint := a.field.Take(a.key, whole(a.field, x)); wanted != "" {
			found = append(found, bad(key, wanted, hint)...)
		}
	}
	return found
}

// along is the value at u of the way along an axis of a sampled design, 0 ≤ u < 1; each value of a list, and each whole number, has an
// equal part of the way.
func (a *axis) along(u float64) any {
	if n := len(a.values); n > 0 {
		return a.values[min(n-1, int(u*float64(n)))]
	}
	from, to := a.from, a.to
	if holds[int64](a.field) {
		from, to = min(from, to), max(from, to)+1
	}
	x := from + float64((to-from)*u)
	if a.log {
		x = from * number.Pow(to/from, u)
	}
	if holds[int64](a.field) {
		return int64(min(math.Floor(x), to-1))
	}
	return decimal(x)
}
