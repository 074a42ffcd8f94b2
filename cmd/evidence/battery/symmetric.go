package battery

import (
	"math"
)

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
