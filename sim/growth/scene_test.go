package growth

import (
	"math"
	"math/rand/v2"

	"onegrain/sim/body"
	"onegrain/sim/crystal"
	"onegrain/sim/furnace"
	"onegrain/sim/kinetics"
)

// scene is an invented run for the tests and the benchmark: a body one thousand cells or less
// across in which growth takes about 900 h at undercoolings of 8 to 25 K, whatever the number of
// cells.
type scene struct {
	name   string
	space  description
	seeds  []Root
	nuclei []Root
}

// description is what a Space is made of.
type description struct {
	Grid *body.Grid
	A, C kinetics.Law
	furnace.Cooling
}

func programme(hours ...float64) furnace.Programme {
	var p furnace.Programme
	for i := 0; i < len(hours); i += 2 {
		p.Knots = append(p.Knots, furnace.Knot{TimeH: hours[i], UndercoolingK: hours[i+1]})
	}
	return p
}

// newScene is an empty scene of nx·ny·nz cells of 1 mm; nz = 1 is a plane seen from above whose c
// axis lies in the plane.
func newScene(name string, nx, ny, nz int, ratio float64) *scene {
	n := float64(max(nx, ny, nz))
	flat := -1
	if nz == 1 {
		flat = 2
	}
	rateA := n / 1000 * math.Pow(0.5, 1.8)
	rateC := ratio * n / 1000 * math.Pow(0.5, 2.2)
	return &scene{name: name, space: description{
		Grid:    body.NewOutline([3]int{nx, ny, nz}, 1, [3]float64{}, flat, make([]body.State, nx*ny)),
		A:       kinetics.Power{RateAt10K: rateA, Exponent: 1.8},
		C:       kinetics.Power{RateAt10K: rateC, Exponent: 2.2},
		Cooling: furnace.Cooling{Programme: programme(-1e-6, -1, 0, 8, 300, 20, 600, 20, 900, 25, 9000, 25)},
	}}
}

// inPlane turns a crystal in a plane: its a axis at deg from x, its b axis across the plane, its c
// axis in the plane.
func inPlane(deg float64) [9]float64 {
	s, c := math.Sincos(deg * math.Pi / 180)
	return [9]float64{c, s, 0, 0, 0, 1, -s, c, 0}
}

func (s *scene) seed(half float64, axes [9]float64, at ...float64) *scene {
	h := [3]float64{half, half, half}
	if s.space.Grid.Flat >= 0 {
		h[1] = math.Inf(1)
	}
	s.seeds = append(s.seeds, Root{At: [3]float64{at[0], at[1], at[2]}, Half: h, Axes: axes, Seed: true})
	return s
}

func (s *scene) middle() []float64 {
	n := s.space.Grid.N
	return []float64{float64(n[0]-1) / 2, float64(n[1]-1) / 2, float64(n[2]-1) / 2}
}

func (s *scene) random(r *rand.Rand) [9]float64 {
	if s.space.Grid.Flat >= 0 {
		return inPlane(r.Float64() * 180)
	}
	return crystal.Random(r.Float64(), r.Float64(), r.Float64()).Axes()
}

// spread adds n small seeds at random places and orientations, none overlapping.
func (s *scene) spread(n int, half float64) *scene {
	r := rand.New(rand.NewPCG(7, uint64(n)))
	for len(s.seeds) < n {
		at := s.somewhere(r)
		clear := true
		for _, q := range s.seeds {
			d := math.Pow(q.At[0]-at[0], 2) + math.Pow(q.At[1]-at[1], 2) + math.Pow(q.At[2]-at[2], 2)
			clear = clear && d >= 16*half*half
		}
		if clear {
			s.seed(half, s.random(r), at...)
		}
	}
	return s
}

func (s *scene) somewhere(r *rand.Rand) []float64 {
	n := s.space.Grid.N
	return []float64{math.Floor(r.Float64() * float64(n[0])), math.Floor(r.Float64() * float64(n[1])),
		math.Floor(r.Float64() * float64(n[2]))}
}

// strays adds n nuclei at random times within 900 h.
func (s *scene) strays(n int) *scene {
	r := rand.New(rand.NewPCG(11, uint64(n)))
	t, half := 0.0, [3]float64{}
	if s.space.Grid.Flat >= 0 {
		half[1] = math.Inf(1)
	}
	for range n {
		t += r.ExpFloat64() * 900 / float64(n)
		at := s.somewhere(r)
		s.nuclei = append(s.nuclei, Root{At: [3]float64{at[0], at[1], at[2]}, Half: half, Axes: s.random(r), BornH: t,
			Cell: [3]int{int(at[0]), int(at[1]), int(at[2])}})
	}
	return s
}

// carve makes every cell with centre in hole an obstacle and every cell with centre beyond rim
// outside.
func (s *scene) carve(hole, rim func(x, y float64) bool) *scene {
	g := s.space.Grid
	states := make([]body.State, g.N[0]*g.N[1])
	for y := range g.N[1] {
		for x := range g.N[0] {
			switch {
			case hole(float64(x), float64(y)):
				states[y*g.N[0]+x] = body.Obstacle
			case rim(float64(x), float64(y)):
				states[y*g.N[0]+x] = body.Outside
			}
		}
	}
	s.space.Grid = body.NewOutline(g.N, 1, [3]float64{}, g.Flat, states)
	return s
}

func (s *scene) ring() *scene {
	n := float64(s.space.Grid.N[0])
	at := func(x, y float64) float64 { return math.Hypot(x-n/2+0.5, y-n/2+0.5) }
	return s.carve(func(x, y float64) bool { return at(x, y) < 0.2*n },
		func(x, y float64) bool { return at(x, y) > 0.5*n })
}

func (s *scene) grow() (*Field, []int) { return s.growAs(options{certify: true, bucket: 0.03}) }

func (s *scene) growWith(certify bool) *Field {
	f, _ := s.growAs(options{certify: certify, bucket: 0.03})
	return f
}

func (s *scene) growAs(o options) (*Field, []int) {
	i := 0
	d := s.space
	return NewSpace(d.Grid, d.A, d.C, d.Cooling).grow(s.seeds, func() (Root, bool) {
		i++
		if i > len(s.nuclei) {
			return Root{}, false
		}
		return s.nuclei[i-1], true
	}, o)
}

var skew = crystal.Orientation{W: 0.35, X: 0.61, Y: -0.42, Z: 0.57}

func (s *scene) axes(name string) [9]float64 {
	turn := map[string]float64{"0": 0, "15": 15, "45": 45, "111": 30, "skew": 63.7}[name]
	if s.space.Grid.Flat >= 0 {
		return inPlane(turn)
	}
	switch name {
	case "111":
		a := math.Sin(15*math.Pi/180) / math.Sqrt(3)
		return crystal.Orientation{W: math.Cos(15 * math.Pi / 180), X: a, Y: a, Z: a}.Axes()
	case "skew":
		n := math.Sqrt(skew.W*skew.W + skew.X*skew.X + skew.Y*skew.Y + skew.Z*skew.Z)
		return crystal.Orientation{W: skew.W / n, X: skew.X / n, Y: skew.Y / n, Z: skew.Z / n}.Axes()
	}
	return crystal.Turned(turn, 0, 0).Axes()
}
