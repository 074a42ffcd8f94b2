package nucleation

import (
	"sort"

	"onegrain/sim/nucleation/rate"
)

// source is one origin: its cells, and the hazard of every group of them. It chooses a cell of an
// event: a group by its share of the expected events, then a cell of the group by its weight.
type source struct {
	origin  Origin
	extent  extent
	groups  *groups
	hazards []*hazard   // by group; nil where the origin has no cell in it
	weight  []float64   // of every group, mm³ or mm²
	along   [][]float64 // by outline class: weights of its members added up
	layers  [][]int     // by layer class: its layers that belong to the extent
	last    int         // last group with a weight, -1 if there is none
}

func newSource(origin Origin, law rate.Law, w *path, gr *groups, x extent) *source {
	n := gr.count()
	s := &source{origin: origin, extent: x, groups: gr, hazards: make([]*hazard, n), weight: make([]float64, n), last: -1}
	for _, members := range gr.outline.members {
		s.along = append(s.along, added(len(members), func(i int) float64 { return x.weight[members[i]] }))
	}
	for _, members := range gr.layer.members {
		var own []int
		for _, k := range members {
			if k >= x.first && k < x.end {
				own = append(own, k)
			}
		}
		s.layers = append(s.layers, own)
	}
	for g := range n {
		sums := s.along[g%len(s.along)]
		s.weight[g] = float64(sums[len(sums)-1] * float64(len(s.layers[g/len(s.along)])))
		if s.weight[g] > 0 {
			s.hazards[g], s.last = newHazard(law, w, gr.offset(g)), g
		}
	}
	return s
}

// single is the only group with a weight, -1 if there are several.
func (s *source) single() int {
	for g := range s.last {
		if s.weight[g] > 0 {
			return -1
		}
	}
	return s.last
}

// cell of a group from two uniforms: index in the outline and layer.
func (s *source) cell(group int, u1, u2 float64) (index, layer int) {
	class, layers := group%len(s.along), s.layers[group/len(s.along)]
	return s.groups.outline.members[class][chosen(s.along[class], u1)], layers[int(u2*float64(len(layers)))]
}

// added are the running sums of n values.
func added(n int, value func(i int) float64) []float64 {
	sums := make([]float64, n)
	total := 0.0
	for i := range sums {
		total += value(i)
		sums[i] = total
	}
	return sums
}

// chosen is the index whose share of the running sums holds u in [0, 1); never one without a share.
func chosen(sums []float64, u float64) int {
	last := sums[len(sums)-1]
	i := sort.Search(len(sums), func(i int) bool { return sums[i] > float64(u*last) })
	if i == len(sums) { // rounding up to the very end
		return sort.SearchFloat64s(sums, last)
	}
	return i
}
