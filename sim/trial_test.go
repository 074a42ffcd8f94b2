package sim_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"onegrain/sim/body"
	"onegrain/sim/crystal"
	"onegrain/sim/furnace"
	"onegrain/sim/growth"
	"onegrain/sim/kinetics"
)

// trial is a random case made of plain values. A failing one is printed as Go that makes it again.
type trial struct {
	N        [3]int // cells of 1 mm; a flat axis has one
	Flat     int
	Round    bool // a disc instead of a block
	Periodic bool
	RateC    float64 // mm/h at 10 K; the a faces grow 1 mm/h
	ExpC     float64
	FromK    float64 // the programme jumps there and cools by Cool K/h for Hours
	Cool     float64
	Hours    float64
	Gradient float64 // vertical, K/mm
	Speed    float64 // growth laws times this, programme and births divided by it
	Grains   []start
}

// start is a seed (BornH = 0) or a nucleus.
type start struct {
	At    [3]float64 // cells
	Half  float64
	W     [4]float64 // orientation; in a plane the first is the turn in degrees
	BornH float64    // after the jump
}

const meltedH = 1.0 // the body is molten until then

// random makes trial n.
func random(n uint64) trial {
	r := rand.New(rand.NewPCG(20261125, n))
	t := trial{Flat: []int{-1, 2, 1}[n%3], RateC: 0.5 + 1.5*r.Float64(), ExpC: 1 + r.Float64(), FromK: 6 + 6*r.Float64(),
		Cool: 0.5 * r.Float64(), Speed: 1}
	t.Periodic = n%4 == 3
	t.Round = !t.Periodic && n%5 == 0 && t.Flat != 1
	size := 20.0
	if t.Flat >= 0 {
		size = 48
	}
	for a := range t.N {
		t.N[a] = 8 * int((0.6+0.4*r.Float64())*size/8)
	}
	if t.Round {
		t.N[1] = t.N[0]
	}
	if t.Flat >= 0 {
		t.N[t.Flat] = 1
	}
	t.Hours = 0.5 * size
	if n%6 == 1 && !t.Periodic && t.Flat != 2 {
		t.Gradient = 0.3 * (r.Float64() - 0.5)
	}
	born := 0.0
	for g := range 2 + r.IntN(6) {
		s := start{Half: 1 + 2*r.Float64()}
		if g >= 2 {
			born += 0.1 * size * r.ExpFloat64()
			s.Half, s.BornH = 0, born
		}
		for a := range s.At {
			s.At[a] = (0.1 + 0.8*r.Float64()) * float64(t.N[a]-1)
		}
		q := crystal.Random(r.Float64(), r.Float64(), r.Float64())
		s.W = [4]float64{q.W, q.X, q.Y, q.Z}
		if t.Flat >= 0 {
			s.At[t.Flat], s.W[0] = 0, 90*r.Float64()
		}
		t.Grains = append(t.Grains, s)
	}
	return t
}

func (t trial) grid(tb testing.TB) *body.Grid {
	size := [3]float64{float64(t.N[0]), float64(t.N[1]), float64(t.N[2])}
	var g *body.Grid
	var err error
	if t.Round {
		g, err = body.Disc(size[0], size[2], 1, t.Flat)
	} else {
		g, err = body.Block(size, 1, t.Flat, t.Periodic)
	}
	if err != nil {
		tb.Fatalf("%#v: %v", t, err)
	}
	return g
}

func (t trial) programme() furnace.Programme {
	jump := meltedH / t.Speed
	return furnace.Programme{Knots: []furnace.Knot{{TimeH: 0, UndercoolingK: -20}, {TimeH: jump, UndercoolingK: -20},
		{TimeH: jump, UndercoolingK: t.FromK},
		{TimeH: jump + t.Hours/t.Speed, UndercoolingK: t.FromK + t.Cool*t.Hours}}}
}

// roots are the grains as the engine takes them, moved by a symmetry.
func (t trial) roots(m motion) (seeds, nuclei []growth.Root) {
	for _, s := range t.Grains {
		axes := crystal.Orientation{W: s.W[0], X: s.W[1], Y: s.W[2], Z: s.W[3]}.Axes()
		switch t.Flat {
		case 1:
			axes = crystal.Turned(0, s.W[0], 0).Axes()
		case 2:
			axes = crystal.Turned(s.W[0], 0, 0).Axes()
		}
		r := growth.Root{At: m.place(t.N, s.At), Half: [3]float64{s.Half, s.Half, s.Half},
			BornH: (meltedH + s.BornH) / t.Speed, Seed: s.Half > 0}
		for i := range 3 {
			copy(r.Axes[3*i:], m.vector(axes[3*i:3*i+3]))
		}
		if t.Flat >= 0 {
			r.Half[t.Flat] = math.Inf(1)
		}
		for a := range r.Cell {
			r.Cell[a] = int(math.Round(r.At[a]))
		}
		if r.Seed {
			seeds = append(seeds, r)
		} else {
			nuclei = append(nuclei, r)
		}
	}
	return seeds, nuclei
}

// grow runs a trial moved by a symmetry; untilH cuts the programme short, 0 = not.
func (t trial) grow(tb testing.TB, m motion, untilH float64) *growth.Field {
	moved := t
	moved.N = m.size(t.N)
	p := t.programme()
	if untilH > 0 {
		p.Knots[len(p.Knots)-1] = furnace.Knot{TimeH: untilH, UndercoolingK: p.Undercooling(untilH)}
	}
	seeds, nuclei := t.roots(m)
	space := growth.NewSpace(moved.grid(tb), kinetics.Power{RateAt10K: t.Speed, Exponent: 1.4},
		kinetics.Power{RateAt10K: t.RateC * t.Speed, Exponent: t.ExpC},
		furnace.Cooling{Programme: p, Gradient: furnace.Gradient{VerticalKPerMM: t.Gradient}})
	next := 0
	f, born := space.Grow(seeds, func() (growth.Root, bool) {
		if next == len(nuclei) || nuclei[next].BornH > p.EndH() {
			return growth.Root{}, false
		}
		next++
		return nuclei[next-1], true
	})
	for i, g := range born {
		if g >= 0 {
			f.Rename(g, len(seeds)+i)
		}
	}
	return f
}

// cells reads the whole field, x fastest.
func (t trial) cells(f *growth.Field) []growth.Cell {
	all := make([]growth.Cell, t.N[0]*t.N[1]*t.N[2])
	for k := range t.N[2] {
		for j := range t.N[1] {
			f.Row(j, k, all[(k*t.N[1]+j)*t.N[0]:][:t.N[0]])
		}
	}
	return all
}

// String is a line of Go that makes the trial again, for a test of this package.
func (t trial) String() string {
	return strings.ReplaceAll(fmt.Sprintf("rerun(t, %#v)", t), "sim_test.", "")
}
