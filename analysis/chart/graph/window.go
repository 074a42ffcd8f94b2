package graph

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"onegrain/analysis/chart/scale"
	"onegrain/analysis/chart/scene"
	"onegrain/analysis/chart/tint"
)

// Cell is one case of a window.
type Cell struct {
	X, Y       float64
	Exact      float64 // chance of a single grain by the exact odds, 0 to 1; NaN where not computed
	Hits, Runs int     // counted single grains, of how many runs; Runs = 0 where none was counted
	Low, High  float64 // 95 % interval of the counted fraction; not read where Runs = 0
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

func (n Window) check(k *checks) {
	k.axis("X", n.X)
	k.axis("Y", n.Y)
	k.that(n.Wanted >= 0 && n.Wanted < 1, ".Wanted = %v: wanted a chance below 1, or 0 for none", n.Wanted)
	for i, c := range n.Cells {
		at := fmt.Sprintf(".Cells[%d]", i)
		k.that(finite(c.X) && finite(c.Y), at+" stands at %v, %v: wanted finite numbers", c.X, c.Y)
		k.that(!(c.Exact < 0 || c.Exact > 1), at+".Exact = %v: wanted a chance, 0 to 1, or NaN", c.Exact)
		k.that(0 <= c.Hits && c.Hits <= c.Runs, at+" counts %d of %d runs: wanted 0 ≤ Hits ≤ Runs", c.Hits, c.Runs)
		k.that(c.Runs == 0 || c.Low >= 0 && c.Low <= c.High && c.High <= 1,
			at+" has the interval %v to %v: wanted 0 ≤ Low ≤ High ≤ 1", c.Low, c.High)
	}
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

// number counts cells.
func (n Window) number(of func(Cell) bool) (number int) {
	for _, c := range n.Cells {
		if of(c) {
			number++
		}
	}
	return number
}

func (c Cell) known() bool  { return !math.IsNaN(c.chance()) }
func (c Cell) failed() bool { return c.Failed }

// reached counts the cells with at least the wanted chance.
func (n Window) reached() int { return n.number(func(c Cell) bool { return c.chance() >= n.Wanted }) }

func (n Window) nothing() string {
	failed := n.number(Cell.failed)
	switch {
	case n.number(Cell.known) > 0:
		return ""
	case failed == 0:
		return "No case has a result: there is no chance to show."
	case failed == len(n.Cells):
		return allFailed(failed, "chance")
	}
	return fmt.Sprintf("%s of %d failed and the others have no result yet: no chance is known.",
		scale.Plural(failed, "case"), len(n.Cells))
}

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

func (n Window) remarks() (list []string) {
	known, reached, failed := n.number(Cell.known), n.reached(), n.number(Cell.failed)
	switch {
	case known == 1:
		list = append(list, "One case only: nothing is known of what lies around it.")
	case n.Wanted > 0 && reached == known:
		list = append(list, fmt.Sprintf("Every case reaches %s %%: the edge of the window lies outside what was computed.",
			percent(n.Wanted)))
	case n.Wanted > 0 && reached == 0:
		list = append(list, fmt.Sprintf("No case reaches %s %%.", percent(n.Wanted)))
	}
	if failed > 0 {
		list = append(list, scale.Plural(failed, "case")+" failed.")
	}
	if apart, both := n.number(Cell.apart), n.number(Cell.both); apart > 0 {
		list = append(list, fmt.Sprintf("The exact chance lies outside the 95 %% interval of the counted one in %s of %d; "+
			"about %s is expected by chance.", scale.Plural(apart, "case"), both, short(math.Round(10*(0.05*float64(both)))/10)))
	}
	return list
}

// seenText says how the chance is spread.
func (n Window) seenText() string {
	known := slices.DeleteFunc(slices.Clone(n.Cells), func(c Cell) bool { return !c.known() })
	byChance := func(a, b Cell) int { return cmp.Compare(a.chance(), b.chance()) }
	low, high := slices.MinFunc(known, byChance), slices.MaxFunc(known, byChance)
	xs, ys := n.values()
	text := fmt.Sprintf("Chance of a single grain over %s (%s to %s) and %s (%s to %s) in %s: ",
		n.X.lower(), n.X.value(xs[0]), n.X.of(xs[len(xs)-1]),
		n.Y.lower(), n.Y.value(ys[0]), n.Y.of(ys[len(ys)-1]), scale.Plural(len(known), "case"))
	if low.chance() == high.chance() {
		return text + chanceText(high.chance()) + " %."
	}
	place := func(c Cell) string {
		return fmt.Sprintf("%s %% at %s and %s", chanceText(c.chance()), n.X.of(c.X), n.Y.of(c.Y))
	}
	text += fmt.Sprintf("highest %s, lowest %s.", place(high), place(low))
	if n.Wanted > 0 {
		text += fmt.Sprintf(" It is at least %s %% in %d of them.", percent(n.Wanted), n.reached())
	}
	return text
}
