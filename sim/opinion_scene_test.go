package sim_test

import (
	"fmt"
	"math"
	"math/rand/v2"

	"onegrain/sim/body"
	"onegrain/sim/crystal"
	"onegrain/sim/furnace"
	"onegrain/sim/growth"
	"onegrain/sim/kinetics"
)

// scene is a body with grains, told to the engine and to the second opinion.
type scene struct {
	kind      string
	grid      *body.Grid
	a, c      kinetics.Power
	programme furnace.Programme
	gradient  furnace.Gradient
	grains    []sprout
}

func (s *scene) String() string {
	text := fmt.Sprintf("%s: flat %d, %v cells of %v mm, a %v, c %v, %v, gradient %+v", s.kind, s.grid.Flat, s.grid.N,
		s.grid.CellMM, s.a, s.c, s.programme.Knots, s.gradient)
	for _, g := range s.grains {
		text += fmt.Sprintf("; at %.3f half %.3g c %.3f born %.4g", g.at, g.half, g.axes[6:], g.born)
	}
	return text
}

// offset is the field of temperature as it is told to people: zero at the centre of the top face,
// hotter upwards and outwards where positive. Nil where all places are alike.
func (s *scene) offset() func([3]float64) float64 {
	if s.gradient == (furnace.Gradient{}) {
		return nil
	}
	top := s.top()
	return func(p [3]float64) float64 {
		return s.gradient.RadialKPerMM*math.Hypot(p[0], p[1]) + s.gradient.VerticalKPerMM*(p[2]-top)
	}
}

// top is z of the top face; of a plane seen from above that of the plane.
func (s *scene) top() float64 {
	if s.grid.Flat == 2 {
		return s.grid.Origin[2]
	}
	return s.grid.Origin[2] + (float64(s.grid.N[2])-0.5)*s.grid.CellMM
}

// opine asks for the second opinion.
func (s *scene) opine(fine, bends int) *opinion {
	return opine(newRoom(s.grid, fine, bends), newPace(s.a, s.c, s.programme, s.offset()), s.grains)
}

// engine grows the same. slower multiplies both laws: what a canary needs.
func (s *scene) engine(slower float64) (cells []growth.Cell, alive []int) {
	a, c := s.a, s.c
	a.RateAt10K, c.RateAt10K = a.RateAt10K*slower, c.RateAt10K*slower
	space := growth.NewSpace(s.grid, a, c, furnace.Cooling{Programme: s.programme, Gradient: s.gradient})
	var seeds, nuclei []growth.Root
	for i := range s.grains {
		g := &s.grains[i]
		r := growth.Root{Axes: g.axes, BornH: g.born, Seed: !g.nucleus}
		for x := range r.At {
			r.At[x], r.Half[x] = (g.at[x]-s.grid.Origin[x])/s.grid.CellMM, g.half[x]/s.grid.CellMM
		}
		if s.grid.Flat >= 0 {
			r.Half[s.grid.Flat] = math.Inf(1)
		}
		if g.nucleus {
			r.Cell = s.grid.Nearest(g.at)
			nuclei = append(nuclei, r)
			continue
		}
		seeds, alive = append(seeds, r), append(alive, i)
	}
	next := 0
	field, born := space.Grow(seeds, func() (growth.Root, bool) {
		if next++; next > len(nuclei) {
			return growth.Root{}, false
		}
		return nuclei[next-1], true
	})
	for i, n := range born {
		if n >= 0 {
			for len(alive) <= n {
				alive = append(alive, -1)
			}
			alive[n] = len(seeds) + i
		}
	}
	n := s.grid.N
	cells = make([]growth.Cell, n[0]*n[1]*n[2])
	for k := range n[2] {
		for j := range n[1] {
			u := (k*n[1] + j) * n[0]
			field.Row(j, k, cells[u:u+n[0]])
		}
	}
	return cells, alive
}

// dice draws scenes.
type dice struct{ *rand.Rand }

func (d dice) span(low, high float64) float64 { return low + (high-low)*d.Float64() }

// traits are what a kind of scene has.
type traits struct {
	kind                              string
	holes, gradient, tilt, many, ring bool
}

// draw makes a scene of some hundred cells.
func (d dice) draw(t traits) *scene {
	s := &scene{kind: t.kind, a: kinetics.Power{RateAt10K: d.span(0.1, 0.2), Exponent: d.span(1, 2)}}
	s.c = kinetics.Power{RateAt10K: s.a.RateAt10K * math.Exp(d.span(-0.7, 0.7)), Exponent: d.span(1, 2)}
	flat := [3]int{body.Solid, body.VerticalSection, body.FromAbove}[d.IntN(3)]
	if t.tilt && flat == body.FromAbove || t.ring && flat == body.VerticalSection {
		flat = body.Solid
	}
	s.grid = d.body(t, flat)
	s.programme = d.programme()
	if t.gradient {
		if r := d.span(-0.25, 0.25); flat == body.FromAbove || d.IntN(2) == 0 {
			s.gradient.RadialKPerMM = r
		}
		if flat != body.FromAbove {
			s.gradient.VerticalKPerMM = d.span(-0.25, 0.25)
		}
	}
	seeds, strays := 1, 0
	if t.many {
		seeds, strays = 1+d.IntN(2), 2+d.IntN(3)
	}
	for range seeds {
		s.grains = append(s.grains, d.seed(s, t, seeds))
	}
	for range strays {
		s.grains = append(s.grains, d.stray(s))
	}
	for i := 1; i < len(s.grains); i++ { // nuclei come in the order of their hours
		for j := i; j > 0 && s.grains[j].born < s.grains[j-1].born; j-- {
			s.grains[j], s.grains[j-1] = s.grains[j-1], s.grains[j]
		}
	}
	return s
}

// body is a block, disc, ring, or a picture with a slot or with pores.
func (d dice) body(t traits, flat int) *body.Grid {
	const cell = 0.5
	wide, deep, high := 9+d.IntN(2), 5+d.IntN(4), 2.5+0.5*float64(d.IntN(3))
	if flat == body.Solid {
		wide, deep = wide-5, deep-2
	}
	if flat == body.VerticalSection {
		high = float64(deep) - 1
	}
	var g *body.Grid
	var err error
	switch {
	case t.ring:
		g, err = body.Ring(float64(wide+2), float64(wide)*0.4, high, cell, flat)
	case t.holes:
		p := body.Picture{Columns: 2 * wide, Rows: 2 * (deep + 1), MMPerPixel: cell}
		p.Body = make([]bool, p.Columns*p.Rows)
		slot, left, down := d.IntN(2) == 0, 2+d.IntN(p.Columns-5), 2+d.IntN(p.Rows-6)
		for u := range p.Body {
			x, y := u%p.Columns, u/p.Columns
			p.Body[u] = x < left || x > left+1 || y > down+2 || !slot && y < down
		}
		g, err = body.Mask(p, high, cell, flat)
	case d.IntN(2) == 0:
		g, err = body.Disc(float64(wide), high, cell, flat)
	default:
		g, err = body.Block([3]float64{float64(wide), float64(deep), high}, cell, flat, false)
	}
	if err != nil {
		panic(err)
	}
	return g
}

func (d dice) programme() furnace.Programme {
	from := d.span(7, 14)
	p := furnace.Schedule{StartC: 1045, Stages: []furnace.Stage{
		{Kind: furnace.ToUndercooling, ToUndercoolingK: from, RateKPerH: 1e5},
		{Kind: furnace.Hold, HoldH: d.span(0, 20)},
		{Kind: furnace.ToUndercooling, ToUndercoolingK: from + d.span(2, 8), RateKPerH: d.span(0.1, 0.6)},
		{Kind: furnace.Hold, HoldH: 150},
	}}
	return p.Programme(1010)
}

// seed lies on the top face, above the body.
func (d dice) seed(s *scene, t traits, of int) sprout {
	g := sprout{born: s.programme.GrowthStartH(), half: [3]float64{d.span(0.5, 1), d.span(0.5, 1), 0}}
	turn, tilt, toward := d.span(0, 90), 0.0, 0.0
	if t.tilt {
		tilt, toward = d.span(2, 15), d.span(0, 360)
	}
	if !t.tilt && !t.many && d.IntN(3) == 0 {
		turn = 0
	}
	switch s.grid.Flat {
	case body.VerticalSection:
		turn, toward, g.half[1] = 0, 180*float64(d.IntN(2)), 0
		if t.many {
			tilt = d.span(0, 10)
		}
	case body.FromAbove:
		tilt = 0
	}
	for n := 0; ; n++ { // not beside one another, and not over a hole
		for x := range 2 {
			g.at[x] = s.grid.Origin[x] + d.Float64()*float64(s.grid.N[x]-1)*s.grid.CellMM
		}
		g.at[2] = s.top()
		if s.grid.Flat == body.VerticalSection {
			g.at[1] = 0
		}
		if !t.holes && of == 1 && d.IntN(2) == 0 {
			g.at[0], g.at[1] = 0, s.grid.Origin[1]+float64(s.grid.N[1]-1)/2*s.grid.CellMM
		}
		g.axes = crystal.Turned(turn, tilt, toward).Axes()
		near := s.grid.Nearest(g.at)
		ok := s.inside(near, max(0, 2-n/50))
		for _, o := range s.grains {
			ok = ok && math.Hypot(g.at[0]-o.at[0], g.at[1]-o.at[1]) > 2-float64(n)/100
		}
		if ok {
			return g
		}
	}
}

// inside tells whether the top cells around one are all of the body.
func (s *scene) inside(c [3]int, around int) bool {
	for dj := -around; dj <= around; dj++ {
		for di := -around; di <= around; di++ {
			i, j, k := c[0]+di, c[1]+dj, s.grid.N[2]-1
			if s.grid.Flat == body.VerticalSection {
				j = 0
			}
			if s.grid.State(i, j, k) == body.Obstacle {
				return false
			}
		}
	}
	return s.grid.State(c[0], c[1], s.grid.N[2]-1) == body.Inside
}

// stray is a nucleus somewhere in the melt at an early hour.
func (d dice) stray(s *scene) sprout {
	g := sprout{nucleus: true, born: s.programme.GrowthStartH() + d.span(0.5, 12)}
	for {
		c := [3]int{d.IntN(s.grid.N[0]), d.IntN(s.grid.N[1]), d.IntN(s.grid.N[2])}
		if s.grid.State(c[0], c[1], c[2]) != body.Inside {
			continue
		}
		g.at[0], g.at[1], g.at[2] = s.grid.Centre(c[0], c[1], c[2])
		for x := range g.at {
			if x != s.grid.Flat {
				g.at[x] += d.span(-0.49, 0.49) * s.grid.CellMM
			}
		}
		break
	}
	switch s.grid.Flat {
	case body.VerticalSection:
		g.axes = crystal.Turned(0, d.span(0, 360), 0).Axes()
	case body.FromAbove:
		g.axes = crystal.Turned(d.span(0, 360), 0, 0).Axes()
	default:
		g.axes = crystal.Random(d.Float64(), d.Float64(), d.Float64()).Axes()
	}
	return g
}
