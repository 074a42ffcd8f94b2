package nucleation

import "sort"

// picker chooses a cell of an origin: a group by its share of the expected events, then a cell of the group by its weight.
type picker struct {
	groups *groups
	group  []float64   // weight of every group, mm³ or mm²
	along  [][]float64 // by outline class: weights of its members added up
	layers [][]int     // by layer class: its layers that belong to the extent
	last   int         // last group with a weight, -1 if there is none
}

func newPicker(gr *groups, x extent) *picker {
	p := &picker{groups: gr, group: make([]float64, gr.count()), last: -1}
	for _, members := range gr.outline.members {
		p.along = append(p.along, added(len(members), func(i int) float64 { return x.weight[members[i]] }))
	}
	for _, members := range gr.layer.members {
		var own []int
		for _, k := range members {
			if k >= x.first && k < x.end {
				own = append(own, k)
			}
		}
		p.layers = append(p.layers, own)
	}
	for g := range p.group {
		sums := p.along[g%len(p.along)]
		p.group[g] = float64(sums[len(sums)-1] * float64(len(p.layers[g/len(p.along)])))
		if p.group[g] > 0 {
			p.last = g
		}
	}
	return p
}

// single is the only group with a weight, -1 if there are several.
func (p *picker) single() int {
	for g := range p.last {
		if p.group[g] > 0 {
			return -1
		}
	}
	return p.last
}

// cell of a group from two uniforms: index in the outline and layer.
func (p *picker) cell(group int, u1, u2 float64) (index, layer int) {
	class := group % len(p.along)
	layers := p.layers[group/len(p.along)]
	return p.groups.outline.members[class][chosen(p.along[class], u1)], layers[int(u2*float64(len(layers)))]
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
	at := float64(u * sums[len(sums)-1])
	i := sort.Search(len(sums), func(i int) bool { return sums[i] > at })
	if i == len(sums) { // rounding up to the very end
		return sort.SearchFloat64s(sums, sums[len(sums)-1])
	}
	return i
}
