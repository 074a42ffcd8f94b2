package nucleation

import (
	"math"

	"onegrain/sim/body"
	"onegrain/sim/furnace"
)

// groups sorts the cells by temperature. The offset of a cell is that of its centre; it is the sum
// of what its place in the outline and what its layer contribute, so cells fall into outline
// classes × layer classes, one of each where there is no gradient.
type groups struct {
	outline, layer classes
}

// classes are the distinct values of a list, in the order of their first appearance.
type classes struct {
	of      []int     // class of every member; -1 for cells that are not of the body
	value   []float64 // offset of every class, K
	members [][]int
}

func (c *classes) add(seen map[float64]int, v float64) {
	v += 0 // so that −0 and 0 are one
	n := len(c.value) - 1
	if n < 0 || c.value[n] != v { // often that of the neighbour
		var ok bool
		if n, ok = seen[v]; !ok {
			n = len(c.value)
			seen[v] = n
			c.value, c.members = append(c.value, v), append(c.members, nil)
		}
	}
	c.members[n] = append(c.members[n], len(c.of))
	c.of = append(c.of, n)
}

func newGroups(g *body.Grid, grad furnace.Gradient) *groups {
	nx, ny, layers := g.Layer()
	gr := &groups{outline: classes{of: make([]int, 0, nx*ny)}, layer: classes{of: make([]int, 0, layers)}}
	seen := map[float64]int{}
	for i := range nx * ny {
		if !inOutline(g, i%nx, i/nx) {
			gr.outline.of = append(gr.outline.of, -1)
			continue
		}
		c := gridCell(g, i, 0)
		x, y, z := g.Centre(c[0], c[1], c[2])
		below := 0.0
		if g.Flat == 1 {
			y, below = 0, top(g)-z
		}
		gr.outline.add(seen, grad.Offset(x, y, below))
	}
	seen = map[float64]int{}
	for k := range layers {
		below := 0.0
		if g.Flat < 0 {
			_, _, z := g.Centre(0, 0, k)
			below = top(g) - z
		}
		gr.layer.add(seen, grad.Offset(0, 0, below))
	}
	return gr
}

// top is the height of the top face, mm.
func top(g *body.Grid) float64 { return g.Origin[2] + float64(g.CellMM*(float64(g.N[2])-0.5)) }

// count of groups; group = layer class · outline classes + outline class.
func (gr *groups) count() int { return len(gr.outline.value) * len(gr.layer.value) }

func (gr *groups) offset(group int) float64 {
	n := len(gr.outline.value)
	return gr.outline.value[group%n] + gr.layer.value[group/n]
}

// at is the group of a cell of the body.
func (gr *groups) at(index, layer int) int {
	return gr.layer.of[layer]*len(gr.outline.value) + gr.outline.of[index]
}

// span is the offset of the coldest group and of the hottest, 0 and 0 for a body without cells.
func (gr *groups) span() (lowest, highest float64) {
	for i := range gr.count() {
		o := gr.offset(i)
		if i == 0 {
			lowest, highest = o, o
		}
		lowest, highest = math.Min(lowest, o), math.Max(highest, o)
	}
	return lowest, highest
}
