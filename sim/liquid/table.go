package liquid

import (
	"errors"
	"slices"
	"sort"
	"sync"

	"onegrain/sim"
	"onegrain/sim/body"
	"onegrain/sim/nucleation"
)

// origins is how many values nucleation.Origin has; that of the seeds stays empty.
const origins = int(nucleation.Bottom) + 1

// Origin is that of a name: melt, top, side or bottom.
func Origin(name string) (o nucleation.Origin) {
	for o.String() != name && o < nucleation.Bottom {
		o++
	}
	return o
}

// Table is the liquid of a body as a function of the lengths its seeds' faces have grown. It never
// changes, so many may use it at once.
type Table struct {
	a, c   []float64            // lengths of a and of c faces, mm, ascending: the points of the table
	weight [origins][]float64   // mm³ or mm² that turn solid at a point, by c and then a; may be negative
	rows   [origins][][]float64 // the weights by c: nil where there are none, one slice for rows that are alike
	solid  [origins][]float64   // their sums over all points up to one
	whole  [origins]float64     // mm³ or mm²
	last   []Lengths            // with any of them all of the body is solid
	exact  bool
	rooms  sync.Pool // for courses
}

// Lengths are what a and c faces have grown, mm.
type Lengths struct{ A, C float64 }

// New is the table of a body with its seeds where they were placed (sim.Case.Placed). An error says
// why a body has none.
func New(c *sim.Case, seeds []sim.Grain) (*Table, error) {
	switch {
	case len(seeds) == 0:
		return nil, errors.New("it has no seed")
	case !c.Uniform():
		return nil, errors.New("under a gradient each place has its own undercooling")
	case c.Grid.Periodic:
		return nil, errors.New("it is periodic")
	}
	return newTable(c, seeds), nil
}

func newTable(c *sim.Case, seeds []sim.Grain) *Table {
	p := newPlaces(c, seeds)
	t := &Table{exact: Exact(c, seeds)}
	t.a, t.c = p.points()
	for o := range t.weight {
		t.weight[o] = make([]float64, len(t.a)*len(t.c))
	}
	t.fill(p)
	for o, whole := range t.whole {
		if whole == 0 {
			t.weight[o] = nil
		}
	}
	t.sum()
	t.last = p.last()
	return t
}

// Along is a guess learnt from one run: of each origin what was left (mm³ or mm², nil for nothing)
// when the faces that fill the body last, a or c, had grown so far (mm, ascending). That the other
// faces came along as they did in that run is taken for granted.
func Along(grown []float64, ofC bool, left [origins][]float64) *Table {
	t := &Table{a: []float64{0}, c: []float64{0}}
	var points []float64
	for i := 1; i < len(grown); i++ {
		points = append(points, float64(0.5*(grown[i-1]+grown[i])))
	}
	last := Lengths{A: grown[len(grown)-1]}
	if t.a = points; ofC {
		t.a, t.c, last = t.c, points, Lengths{C: last.A}
	}
	t.last = []Lengths{last}
	for o, liquid := range left {
		if liquid == nil {
			continue
		}
		t.whole[o] = liquid[0]
		for i := 1; i < len(liquid); i++ {
			t.weight[o] = append(t.weight[o], liquid[i-1]-liquid[i])
		}
	}
	t.sum()
	return t
}

// Exact tells whether a table is what the engine would find, cell by cell: one temperature, nothing
// to grow round, and all seeds alike.
func Exact(c *sim.Case, seeds []sim.Grain) bool {
	for _, s := range seeds {
		if s.Orientation != seeds[0].Orientation { // else one may stand in another's way
			return false
		}
	}
	return len(seeds) > 0 && c.Uniform() && !c.Grid.Periodic && !obstructed(c.Grid)
}

// obstructed tells whether growth has to go round something.
func obstructed(g *body.Grid) bool {
	for k := range g.N[2] {
		for j := range g.N[1] {
			for i := range g.N[0] {
				if g.State(i, j, k) == body.Obstacle {
					return true
				}
			}
		}
		if g.Flat != 1 {
			return false // all layers are alike
		}
	}
	return false
}

// add puts a weight on the points around two lengths so that its centre stays where it is.
func (t *Table) add(origin int, at Lengths, w float64) {
	i, f := between(t.a, at.A)
	j, g := between(t.c, at.C)
	n := len(t.a)
	for _, q := range [4]struct {
		point int
		part  float64
	}{{j*n + i, (1 - f) * (1 - g)}, {j*n + i + 1, f * (1 - g)}, {j*n + n + i, (1 - f) * g}, {j*n + n + i + 1, f * g}} {
		if q.part != 0 {
			t.weight[origin][q.point] += float64(w * q.part)
		}
	}
}

// same is a distance in mm at which two lengths are one.
const same = 1e-6

// between is the point at or before a length, and which part of the way to the next it lies.
func between(points []float64, x float64) (i int, part float64) {
	i = sort.SearchFloat64s(points, x+same) - 1
	if i < 0 || i+1 >= len(points) || x-points[i] <= same {
		return max(i, 0), 0
	}
	return i, (x - points[i]) / (points[i+1] - points[i])
}

// sum adds the weights up.
func (t *Table) sum() {
	n := len(t.a)
	for o, weight := range t.weight {
		if weight == nil {
			continue
		}
		t.rows[o] = alike(weight, n)
		solid := slices.Clone(weight)
		for u := range solid {
			if u%n > 0 {
				solid[u] += solid[u-1]
			}
		}
		for u := n; u < len(solid); u++ {
			solid[u] += solid[u-n]
		}
		t.solid[o] = solid
	}
}

// Exact tells whether the table is what the engine would find; else it has to be compared with a
// run.
func (t *Table) Exact() bool { return t.exact }

// Whole is all of a place: mm³ of melt, or mm² of a surface.
func (t *Table) Whole(o nucleation.Origin) float64 { return t.whole[o] }

// Left is what is liquid of it, mm³ or mm². What turns solid at a point of the table does so evenly
// between the middles to the points beside it, as a cell does whose centre it is of.
func (t *Table) Left(o nucleation.Origin, at Lengths) float64 {
	solid := t.solid[o]
	if solid == nil {
		return 0
	}
	i, f := reached(t.a, at.A)
	j, g := reached(t.c, at.C)
	value := func(i, j int) float64 { // with so many points of a and of c
		if i < 1 || j < 1 {
			return 0
		}
		return solid[(min(j, len(t.c))-1)*len(t.a)+min(i, len(t.a))-1]
	}
	low := value(i, j) + float64(f*(value(i+1, j)-value(i, j)))
	high := low
	if g > 0 {
		high = value(i, j+1) + float64(f*(value(i+1, j+1)-value(i, j+1)))
	}
	return max(0, t.whole[o]-low-float64(g*(high-low)))
}

// Full tells whether nothing is liquid.
func (t *Table) Full(at Lengths) bool {
	for _, need := range t.last {
		if at.A >= need.A && at.C >= need.C {
			return true
		}
	}
	return false
}

// Last are the least lengths with each of which all of the body is solid.
func (t *Table) Last() []Lengths { return slices.Clone(t.last) }
