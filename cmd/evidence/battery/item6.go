package battery

import (
	"fmt"
	"math"

	"onegrain/cmd/evidence/door"
)

// twoSeeds is item 6: where the grains of two seeds meet.
func twoSeeds(on *bench) {
	cell := of(on.short, 0.05, 0.1)
	planes := func(on *bench) {
		gather(on, pairsOfSeeds(), func(t twins, on *bench) { t.compare(on, t.grow(on, t.name, cell, 0, 1)) })
	}
	symmetric := func(on *bench) { symmetricSeeds(on, cell) }
	space := func(on *bench) { seedsInSpace(on, of(on.short, 0.1, 0.25)) }
	parts(on, planes, symmetric, space)
}

// twins are two seeds of 2 mm on a body of 20 mm × 20 mm, and what a source says of them.
type twins struct {
	name    string
	one     pose
	two     pose
	blocked float64 // area share of the first where the grains block one another; 0 = they do not
}

func pairsOfSeeds() []twins {
	at := func(x, y, turn float64) pose { return pose{x, y, 2, turn} }
	return []twins{
		{"10", at(-4, 0, 0), at(4, 0, 10), 0.509961},
		{"30", at(-4, 0, 0), at(4, 0, 30), 0},
		{"45", at(-4, 0, 0), at(4, 0, 45), 0},
		{"aslant", at(-5, -3, 0), at(4, 5, 30), 0},
		{"edge", at(-2, 0, 0), at(7, 2, 10), 0},
		{"corners", at(-6, -6, 0), at(6, 6, 45), 0},
		{"centre", at(0, 0, 0), at(8, 8, 45), 0},
		{"close", at(0, 0, 0), at(3, 0, 45), 0.537648},
		{"offset", at(-4, -1, 0), at(4, 1, 0), 0},
	}
}

const plateau = 20.0 // mm, edge of the body

// reach tells the length at which the box of a seed comes to a point.
func (p pose) reach() func(x, y float64) float64 {
	sin, cos := math.Sincos(p.turnDeg / degrees)
	return func(x, y float64) float64 {
		u, v := cos*(x-p.x)+sin*(y-p.y), cos*(y-p.y)-sin*(x-p.x)
		return math.Max(math.Abs(u), math.Abs(v)) - p.size/2
	}
}

// share of the body that the first seed reaches before the second, counted at n × n places.
func (t twins) share() float64 {
	const n = 1000
	at := func(i int) float64 { return (float64(i)+0.5)/n*plateau - plateau/2 }
	first, one, two := 0.0, t.one.reach(), t.two.reach()
	for j := range n {
		for i := range n {
			switch d := one(at(i), at(j)) - two(at(i), at(j)); {
			case math.Abs(d) < 1e-9:
				first += 0.5
			case d < 0:
				first++
			}
		}
	}
	return first / n / n
}

// further is the pair with the second seed moved.
func (t twins) further(mm float64) twins {
	t.two.x += mm
	return t
}

// contact is the length at first contact of seeds side by side, the second turned.
func (t twins) contact() float64 {
	sin, cos := math.Sincos(t.two.turnDeg / degrees)
	return (t.two.x-t.one.x)/(1+cos+sin) - t.two.size/2
}

// The programme of the item: a ramp from equilibrium, with the growth law of the reference (2.8e-6
// mm/s at 1 K, exponent 1.9).
const (
	rampKPerH  = 0.5
	alphaPerS  = 2.8e-6
	exponentA  = 1.9
	startOfTwo = 1 / rampKPerH // h; studies start 1 K above
)

// lengthAt is the grown length at an hour of the programme.
func lengthAt(hour float64) float64 {
	return perSecond(alphaPerS, exponentA).rate(rampKPerH) * math.Pow(math.Max(0, hour-startOfTwo), exponentA+1) /
		(exponentA + 1)
}

// grow runs two seeds; heightMM = 0 is the plane seen from above. The c faces grow at times the
// rate of the a faces.
func (t twins) grow(on *bench, name string, cellMM, heightMM, times float64) *door.Volume {
	a := perSecond(alphaPerS, exponentA)
	s := study{peritectic: 1000, a: a, c: power{times * a.rate10, a.n}, body: block("ab", cellMM, plateau, plateau),
		seeds: []pose{t.one, t.two}, p: programme{-1, []stage{{toK: 40, rate: rampKPerH}}}, melt: noNuclei, fields: true}
	if heightMM > 0 {
		s.body = block("", cellMM, plateau, plateau, heightMM)
	}
	return on.Run("two-seeds-"+name, s.text()).Volume("")
}

func (t twins) where() string {
	return fmt.Sprintf("2D, seeds (%g, %g) and (%g, %g) mm, the second turned by %g°",
		t.one.x, t.one.y, t.two.x, t.two.y, t.two.turnDeg)
}

func cellsOf(v *door.Volume) string {
	return fmt.Sprintf("%d cells of %g mm", len(v.Grain), v.CellMM)
}

func (t twins) compare(on *bench, v *door.Volume) {
	t.area(on, v)
	if t.blocked == 0 {
		t.owners(on, v)
		t.arrival(on, v)
	}
	if t.one.y == t.two.y && t.two.turnDeg > 0 && t.name != "close" {
		t.touch(on, v)
	}
}

// area of the first grain.
func (t twins) area(on *bench, v *door.Volume) {
	const boundary = 22 // mm, about
	with := values{"where": t.where(), "cells": cellsOf(v), "blocked": t.blocked > 0, "close": t.name == "close"}
	want, tolerance, other := t.share(), boundary*v.CellMM/(2*plateau*plateau), t.further(0.3).share()
	if t.blocked > 0 {
		other += t.blocked - want
		want, tolerance = t.blocked, tolerance+1e-3
	}
	if t.name == "close" {
		other = t.share()
	}
	on.against("area", with, want, ownedBy(v, 0, everywhere), tolerance, other)
}

// owners asks every cell: the grain that has it must be the one that arrives first, up to what the
// times can resolve.
func (t twins) owners(on *bench, v *door.Volume) {
	lead := func(t twins) (worst float64) {
		one, two := t.one.reach(), t.two.reach()
		for c, g := range v.Grain {
			x, y, _ := v.Centre(c)
			behind := one(x, y) - two(x, y)
			if g == 1 {
				behind = -behind
			}
			worst = math.Max(worst, behind/v.CellMM)
		}
		return worst
	}
	on.instead("owners", values{"where": t.where(), "cells": cellsOf(v)}, 0, lead(t), 1, lead(t.further(0.3)))
}

// arrival compares the time of every cell with the growth law.
func (t twins) arrival(on *bench, v *door.Volume) {
	worst := func(scale float64) (d float64) {
		one, two := t.one.reach(), t.two.reach()
		for c := range v.Grain {
			x, y, _ := v.Centre(c)
			l := math.Max(0, math.Min(one(x, y), two(x, y)))
			d = math.Max(d, math.Abs(scale*lengthAt(float64(v.ArrivalH[c]))-l)/v.CellMM)
		}
		return d
	}
	on.instead("arrival", values{"where": t.where(), "cells": cellsOf(v)}, 0, worst(1), 0.5, worst(1.03))
}

// touch is the first contact: the earliest hour at which cells of both grains lie side by side.
func (t twins) touch(on *bench, v *door.Volume) {
	first := math.Inf(1)
	for c, g := range v.Grain {
		for axis, step := range [2]int{1, v.N[0]} {
			if at := [2]int{c % v.N[0], c / v.N[0]}[axis]; at+1 < v.N[axis] && v.Grain[c+step] != g {
				first = math.Min(first, math.Max(float64(v.ArrivalH[c]), float64(v.ArrivalH[c+step])))
			}
		}
	}
	on.against("contact", values{"where": t.where(), "cells": cellsOf(v)}, t.contact(), lengthAt(first), v.CellMM,
		t.further(0.3).contact())
}

func everywhere(x, y, z float64) bool { return true }

// ownedBy is the share of the cells in a region that a grain owns.
func ownedBy(v *door.Volume, grain int32, in func(x, y, z float64) bool) float64 {
	all, own := 0.0, 0.0
	for c, g := range v.Grain {
		if in(v.Centre(c)) {
			all++
			if g == grain {
				own++
			}
		}
	}
	return own / all
}

// symmetricSeeds: two parallel seeds side by side reach the wedges |y| > d/2 + |x| at the same
// time; only symmetry can decide there.
func symmetricSeeds(on *bench, cell float64) {
	level := twins{name: "level", one: pose{-4, 0, 2, 0}, two: pose{4, 0, 2, 0}}
	swapped := twins{name: "swapped", one: level.two, two: level.one}
	raised := level
	raised.name, raised.two.y = "raised", 0.001
	upper := func(x, y, _ float64) bool { return y > 4+math.Abs(x)+cell }
	for _, t := range []twins{level, swapped} {
		v := t.grow(on, t.name, cell, 0, 1)
		on.against("parallel", values{"name": t.name, "cells": cellsOf(v)},
			0.5, ownedBy(v, 0, everywhere), cell/plateau, 0.41)
	}
	v := raised.grow(on, raised.name, cell, 0, 1)
	on.against("wedge", values{"cells": cellsOf(v)}, 1, ownedBy(v, 1, upper), 0.01, 0.5)
}

// seedsInSpace: on top of a block the partition seen from above must be that of the plane, in every
// layer.
func seedsInSpace(on *bench, cell float64) {
	const height = 6.0
	t := twins{name: "30", one: pose{-4, 0, 2, 0}, two: pose{4, 0, 2, 30}}
	flat, moved := t.share(), t.further(0.6).share()
	for _, c := range []struct {
		name, where string
		times       float64
	}{
		{"space-deep", "3D, c faces 4 times as fast: they are through before the grains meet", 4},
		{"space-even", "3D, c faces as fast as a faces", 1},
	} {
		v := t.grow(on, c.name, cell, height, c.times)
		top := func(_, _, z float64) bool { return z > height-cell }
		bottom := func(_, _, z float64) bool { return z < cell }
		layer := func(quantity string, in func(x, y, z float64) bool) {
			on.against("layer", values{"quantity": quantity, "where": c.where, "cells": cellsOf(v)},
				flat, ownedBy(v, 0, in), 22*cell/(2*plateau*plateau), moved)
		}
		layer("area share of the first grain in the top layer", top)
		layer("the same in the bottom layer: boundary straight down", bottom)
	}
}
