package liquid

import (
	"cmp"
	"math"
	"slices"

	"onegrain/sim"
	"onegrain/sim/body"
	"onegrain/sim/number"
)

// places are the cells of a body and the seeds that may take them.
type places struct {
	grid    *body.Grid
	seeds   []seed
	upright bool      // the c axes of all seeds are vertical: all need the same length of c faces
	corners []Lengths // scratch
}

// seed is a contact patch in its own axes.
type seed struct {
	axes [9]float64
	at   [3]float64 // mm, in the seed's axes
	half [3]float64 // mm; +Inf across a flat axis
}

func newPlaces(c *sim.Case, grains []sim.Grain) *places {
	p := &places{grid: c.Grid, upright: true}
	for _, g := range grains {
		patch := c.Seeds[g.Seed].SizeMM
		s := seed{axes: g.Orientation.Axes(), half: [3]float64{patch[0] / 2, patch[1] / 2, 0}}
		if f := c.Grid.Flat; f >= 0 {
			s.half[f] = math.Inf(1)
		}
		s.at = s.own(g.AtMM)
		p.upright = p.upright && s.axes[8] == 1
		p.seeds = append(p.seeds, s)
	}
	return p
}

// own are coordinates in the seed's axes.
func (s *seed) own(x [3]float64) (y [3]float64) {
	for i := range y {
		r := s.axes[3*i:]
		y[i] = float64(r[0]*x[0]) + float64(r[1]*x[1]) + float64(r[2]*x[2]) - s.at[i]
	}
	return y
}

// needs is what the faces must have grown to have taken a place.
func (s *seed) needs(at [3]float64) Lengths {
	y := s.own(at)
	return Lengths{max(math.Abs(y[0])-s.half[0], math.Abs(y[1])-s.half[1], 0), max(math.Abs(y[2])-s.half[2], 0)}
}

// needs are the least lengths with each of which some seed has taken a place, in order of A; valid
// until the next call.
func (p *places) needs(at [3]float64) []Lengths {
	all := p.corners[:0]
	for i := range p.seeds {
		all = append(all, p.seeds[i].needs(at))
	}
	p.corners = least(all)
	return p.corners
}

// least are those lengths of which no other has less of both, in order of A.
func least(all []Lengths) []Lengths {
	if len(all) < 2 {
		return all
	}
	slices.SortFunc(all, func(p, q Lengths) int { return cmp.Or(cmp.Compare(p.A, q.A), cmp.Compare(p.C, q.C)) })
	out := all[:1]
	for _, l := range all[1:] {
		if l.C < out[len(out)-1].C {
			out = append(out, l)
		}
	}
	return out
}

// sheets tells whether all layers of the body need the same lengths of a faces.
func (p *places) sheets() bool { return p.upright && p.grid.Flat != body.VerticalSection }

// layer visits the cells of a layer.
func (p *places) layer(k int, visit func(i, j, k int, corners []Lengths)) {
	for j := range p.grid.N[1] {
		for i := range p.grid.N[0] {
			if p.grid.State(i, j, k) == body.Inside {
				x, y, z := p.grid.Centre(i, j, k)
				visit(i, j, k, p.needs([3]float64{x, y, z}))
			}
		}
	}
}

// depth is what upright c faces need for the cells of a layer, mm.
func (p *places) depth(k int) float64 {
	x, y, z := p.grid.Centre(0, 0, k)
	return p.seeds[0].needs([3]float64{x, y, z}).C
}

const (
	fewPoints = 3    // times as many points as cells along the body are stored as they are
	step      = 0.25 // else points lie so many cells apart
)

// points are the lengths of a table: all that occur, or equal steps where they are too many.
func (p *places) points() (a, c []float64) {
	most := fewPoints * (p.grid.N[0] + p.grid.N[1] + p.grid.N[2])
	as, cs := distinct{most: most}, distinct{most: most}
	for k := range p.grid.N[2] {
		if p.sheets() {
			cs.add(p.depth(k))
			if k > 0 {
				continue
			}
		}
		p.layer(k, func(_, _, _ int, corners []Lengths) {
			for _, l := range corners {
				as.add(l.A)
				cs.add(l.C)
			}
		})
	}
	return as.points(p.grid.CellMM), cs.points(p.grid.CellMM)
}

// distinct gathers lengths that differ.
type distinct struct {
	most   int
	of     map[int64]float64
	lowest float64
	top    float64
}

func (d *distinct) add(x float64) {
	if d.of == nil {
		d.of, d.lowest, d.top = map[int64]float64{}, x, x
	}
	d.lowest, d.top = min(d.lowest, x), max(d.top, x)
	if len(d.of) <= d.most {
		key := int64(math.Round(x / same))
		if y, known := d.of[key]; !known || x < y {
			d.of[key] = x
		}
	}
}

func (d *distinct) points(cellMM float64) (all []float64) {
	if len(d.of) > d.most {
		n := math.Ceil((d.top - d.lowest) / float64(step*cellMM))
		for i := range int(n) + 1 {
			all = append(all, d.lowest+float64((d.top-d.lowest)*(float64(i)/n)))
		}
		return all
	}
	for _, x := range d.of { // in any order: sorted below
		all = append(all, x)
	}
	slices.Sort(all)
	return slices.CompactFunc(all, func(p, q float64) bool { return math.Abs(q-p) <= same })
}

// last are the least lengths with which every place of the body is solid, its corners and its rim
// included. A pair of lengths fills the body if it has both of a corner of every place.
func (p *places) last() []Lengths {
	var need []Lengths
	first := true
	p.ends(func(at [3]float64) {
		corners := p.needs(at)
		if first {
			need, first = slices.Clone(corners), false
			return
		}
		if len(need) == 1 && len(corners) == 1 { // as nearly always
			need[0] = Lengths{max(need[0].A, corners[0].A), max(need[0].C, corners[0].C)}
			return
		}
		for _, n := range need { // all that fill what came before do it
			if !slices.ContainsFunc(corners, func(l Lengths) bool { return n.A >= l.A && n.C >= l.C }) {
				need = both(need, corners)
				return
			}
		}
	})
	if len(p.seeds) > 1 && p.upright {
		need[0].A = p.meeting(need[0].A)
	}
	return need
}

// meeting looks closer, a tenth of a cell, where upright seeds may meet later than a length that
// was found.
func (p *places) meeting(last float64) float64 {
	g := p.grid
	about := last - g.CellMM
	p.layer(0, func(i, j, k int, corners []Lengths) {
		if !(corners[0].A > about) {
			return
		}
		x, y, z := g.Centre(i, j, k)
		for n := range 121 {
			dx, dy := float64(n%11-5)/10, float64(n/11-5)/10
			if g.Flat == body.VerticalSection {
				dy = 0
			}
			at := [3]float64{x + float64(dx*g.CellMM), y + float64(dy*g.CellMM), z}
			if p.within(at) {
				last = max(last, p.needs(at)[0].A)
			}
		}
	})
	return last
}

// both are the least lengths that have at least those of one of either list.
func both(p, q []Lengths) (all []Lengths) {
	for _, l := range p {
		for _, m := range q {
			all = append(all, Lengths{max(l.A, m.A), max(l.C, m.C)})
		}
	}
	return slices.Clone(least(all))
}

// ends visits places of which one is solid last: corners, edges and centres of the cells at the end
// of the body, points of a round rim a fifth of a cell apart, and where several seeds may meet
// within the body a corner and the centre of every cell. Under upright seeds the lowest layer is
// last.
func (p *places) ends(visit func(at [3]float64)) {
	g := p.grid
	look := func(i, j, k int, _ []Lengths) {
		x, y, z := g.Centre(i, j, k)
		end := p.atEnd(i, j, k)
		for n := range 27 {
			d := [3]float64{float64(n%3-1) / 2, float64(n/3%3-1) / 2, float64(n/9-1) / 2}
			if f := g.Flat; f >= 0 && d[f] != 0 || !end && (len(p.seeds) == 1 || n != 13 && n != 26) {
				continue
			}
			at := [3]float64{x + float64(d[0]*g.CellMM), y + float64(d[1]*g.CellMM), z + float64(d[2]*g.CellMM)}
			if p.within(at) {
				visit(at)
			}
		}
	}
	for k := range g.N[2] {
		if p.layer(k, look); p.sheets() {
			break
		}
	}
	for _, radius := range []float64{g.Rim().OuterMM, g.Rim().InnerMM} {
		if radius == 0 || g.Flat == body.VerticalSection {
			continue
		}
		n := math.Ceil(float64(2*math.Pi*radius) / float64(0.2*g.CellMM))
		for i := range int(n) {
			sin, cos := number.Sincos(2 * math.Pi * (float64(i) / n))
			for k := range g.N[2] + 1 {
				at := [3]float64{float64(radius * cos), float64(radius * sin), g.Origin[2] + float64(g.CellMM*(float64(k)-0.5))}
				if g.Flat == body.FromAbove {
					at[2] = g.Origin[2]
				}
				if visit(at); p.sheets() {
					break
				}
			}
		}
	}
}

// atEnd tells whether a neighbour of a cell is not of the body.
func (p *places) atEnd(i, j, k int) bool {
	for a, n := range p.grid.N {
		for d := -1; d <= 1 && n > 1; d += 2 {
			at := [3]int{i, j, k}
			at[a] += d
			if p.grid.State(at[0], at[1], at[2]) != body.Inside {
				return true
			}
		}
	}
	return false
}

// within tells whether a place lies inside a round rim.
func (p *places) within(at [3]float64) bool {
	rim := p.grid.Rim()
	r := math.Sqrt(float64(at[0]*at[0]) + float64(at[1]*at[1]))
	if p.grid.Flat == body.VerticalSection {
		r = math.Abs(at[0])
	}
	return rim.OuterMM == 0 || r <= rim.OuterMM+same && r >= rim.InnerMM-same
}
