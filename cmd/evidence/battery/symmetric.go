package battery

import (
	"math"

	"onegrain/analysis/evidence"
	"onegrain/cmd/evidence/door"
)

// symmetricSeeds: two parallel seeds side by side reach the wedges |y| > d/2 + |x| at the same
// time; only symmetry can decide there.
func symmetricSeeds(d *door.Door, cell float64) []evidence.Finding {
	level := twins{name: "level", one: pose{-4, 0, 2, 0}, two: pose{4, 0, 2, 0}}
	swapped := twins{name: "swapped", one: level.two, two: level.one}
	raised := level
	raised.name, raised.two.y = "raised", 0.001
	upper := func(x, y, _ float64) bool { return y > 4+math.Abs(x)+cell }
	var found []evidence.Finding
	for _, t := range []twins{level, swapped} {
		v := t.grow(d, t.name, cell, 0, 1)
		found = append(found, evidence.Finding{Quantity: "area share of the first grain", Source: "symmetry",
			Sample:     cellsOf(v),
			Where:      "2D, parallel seeds side by side, " + t.name,
			Comparison: compare(0.5, ownedBy(v, 0, everywhere), cell/plateau), Because: "less than one column of cells",
			Note: "18 % of the body is reached by both at the same time."}.
			Against("ties to one of the seeds, the wedges all to it", 0.41))
	}
	v := raised.grow(d, raised.name, cell, 0, 1)
	return append(found, evidence.Finding{Quantity: "share of the upper wedge that the second grain owns",
		Where:  "2D, the second seed 0.001 mm higher",
		Source: "bisector of two squares (Lee 1980): it leaves (0, d/2) at 45°", Sample: cellsOf(v),
		Comparison: compare(1, ownedBy(v, 1, upper), 0.01), Because: "one row of cells along the wedge is left out",
	}.Against("wedge divided midway", 0.5))
}

// seedsInSpace: on top of a block the partition seen from above must be that of the plane, in every
// layer.
func seedsInSpace(d *door.Door, cell float64) (found []evidence.Finding) {
	const height, canary = 6.0, "second seed 0.6 mm further away"
	t := twins{name: "30", one: pose{-4, 0, 2, 0}, two: pose{4, 0, 2, 30}}
	flat, moved := t.share(), t.further(0.6).share()
	for _, c := range []struct {
		name, where string
		times       float64
	}{
		{"space-deep", "3D, c faces 4 times as fast: they are through before the grains meet", 4},
		{"space-even", "3D, c faces as fast as a faces", 1},
	} {
		v := t.grow(d, c.name, cell, height, c.times)
		top := func(_, _, z float64) bool { return z > height-cell }
		bottom := func(_, _, z float64) bool { return z < cell }
		f := evidence.Finding{Where: c.where + "; second seed turned by 30°", Sample: cellsOf(v),
			Source:  "least arrival from above; neither of two coplanar faces passes the other",
			Because: "a boundary of 22 mm off by half a cell"}
		f.Expected, f.Tolerance = flat, 22*cell/(2*plateau*plateau)
		f.Quantity, f.Found = "area share of the first grain in the top layer", ownedBy(v, 0, top)
		found = append(found, f.Against(canary, moved))
		f.Quantity, f.Found = "the same in the bottom layer: boundary straight down", ownedBy(v, 0, bottom)
		found = append(found, f.Against(canary, moved))
	}
	return found
}
