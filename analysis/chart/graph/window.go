package graph

import (
	"fmt"
	"math"
	"slices"

	"onegrain/analysis/chart/scene"
	"onegrain/analysis/chart/tint"
)

// Cell is one case of a window.
type Cell struct {
	X, Y       float64
	Exact      float64 `nan:"unknown"` // chance of a single grain by the exact odds, 0 to 1; NaN where not computed
	Hits, Runs int     // counted single grains, of how many runs; Runs = 0 where none was counted
	Low, High  float64 `nan:"unknown"` // 95 % interval of the counted fraction; not read where Runs = 0
	Failed     bool    // the case has no result
}

// Window is a part of [Multiples] that shows the chance of a single grain over two axes. Cases on a
// grid become cells at equal distances, with the exact chance, the counted runs, and a strip from 0
// to 1 on which the counted fraction stands with its interval beside the exact chance; other
// designs become dots at their places.
type Window struct {
	Title    string // not shown of a single part
	X, Y     Axis
	Cells    []Cell
	Wanted   float64        // the wanted chance, such as 0.95; 0 for none
	Contour  [][][2]float64 // along which cases reach it, in values of X and Y; nil for none
	Interval [][][2]float64 // the interval of that contour, drawn dashed; nil for none
}

// chance is the exact chance, or the counted fraction where that is all there is; NaN where nothing
// is known.
func (c Cell) chance() float64 {
	switch {
	case c.Failed:
		return math.NaN()
	case !math.IsNaN(c.Exact):
		return c.Exact
	case c.Runs > 0:
		return float64(c.Hits) / float64(c.Runs)
	}
	return math.NaN()
}

// both tells whether the chance is known in both ways.
func (c Cell) both() bool { return !c.Failed && !math.IsNaN(c.Exact) && c.Runs > 0 }

// apart tells whether the exact chance lies outside the interval of the counted one.
func (c Cell) apart() bool { return c.both() && (c.Exact < c.Low || c.Exact > c.High) }

func (c Cell) known() bool { return !math.IsNaN(c.chance()) }

func (c Cell) failed() bool { return c.Failed }

// values are the different values of both axes, ascending.
func (n Window) values() (xs, ys []float64) {
	for _, c := range n.Cells {
		xs, ys = append(xs, c.X), append(ys, c.Y)
	}
	slices.Sort(xs)
	slices.Sort(ys)
	return slices.Compact(xs), slices.Compact(ys)
}

func (n Window) scale() *scene.Bar {
	b := &scene.Bar{Title: "Chance of a single grain", High: 1, Marks: []float64{0, 0.2, 0.4, 0.6, 0.8, 1},
		Decimals: 1, Ramp: tint.Chance, Wanted: n.Wanted}
	if n.Wanted > 0 {
		b.Title += fmt.Sprintf(" (wedge: the wanted %s %%)", percent(n.Wanted))
	}
	return b
}
