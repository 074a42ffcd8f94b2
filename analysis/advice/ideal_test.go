package advice

import "math"

// ideal is the limit: the quickest way to fill the body at an expected number of strays, with the
// undercooling free at every grown length.
type ideal struct {
	grown  []float64 // mm: the ends of equal parts of the way
	under  []float64 // K at each
	hours  float64   // from the peritectic temperature to full
	strays float64
	bound  float64 // hours that no way in the grid can be quicker at the strays asked for
}

// Grid of the search: parts of the way, and undercoolings.
const (
	parts  = 100
	levels = 160
)

// network holds what a step from one level to a deeper one costs, whatever the part of the way.
type network struct {
	*proxy
	level  []float64     // K
	hours  [][]float64   // [from][to−from]; +Inf where the furnace would have to cool too fast
	strays [][][]float64 // [source][from][to−from]
	first  []float64     // strays until the first level, by level
}

func newNetwork(p *proxy) *network {
	n := &network{proxy: p, strays: make([][][]float64, len(p.Sources))}
	for i := range levels {
		n.level = append(n.level, p.DeepestK*float64(i+1)/levels)
	}
	length := p.fullMM / parts
	for i, from := range n.level {
		hours := make([]float64, levels-i)
		for j := range hours {
			to := n.level[i+j]
			hours[j] = length / p.Grown(from, to, 1)
			if to-from > p.FirstKPerH*hours[j] {
				hours[j] = math.Inf(1)
			}
		}
		n.hours = append(n.hours, hours)
		down := from / p.FirstKPerH
		first := 0.0
		for s, source := range p.Sources {
			row := make([]float64, levels-i)
			for j := range row {
				if !math.IsInf(hours[j], 1) {
					row[j] = p.stray * source.Expected(from, n.level[i+j], hours[j], from)
				}
			}
			n.strays[s] = append(n.strays[s], row)
			first += p.stray * p.liquid(s, 0) * source.Expected(0, from, down, 0)
		}
		n.first = append(n.first, first)
	}
	return n
}

// way finds, for a price of a stray in hours, the way of least hours + price · strays: dynamic
// programming from the end of the way, over undercoolings that never fall.
func (n *network) way(price float64) *ideal {
	rest := make([]float64, levels) // least cost from a level at the start of a part to the end
	next := make([][]uint8, parts)
	for k := parts - 1; k >= 0; k-- {
		next[k] = make([]uint8, levels)
		middle := n.fullMM * (float64(k) + 0.5) / parts
		here, weight := make([]float64, levels), make([]float64, len(n.Sources))
		for s := range weight {
			weight[s] = price * n.liquid(s, middle)
		}
		for i := range here {
			here[i] = math.Inf(1)
			for j, hours := range n.hours[i] {
				cost := hours + rest[i+j]
				for s, w := range weight {
					cost += w * n.strays[s][i][j]
				}
				if cost < here[i] {
					here[i], next[k][i] = cost, uint8(i+j)
				}
			}
		}
		rest = here
	}
	best, least := 0, math.Inf(1)
	for i := range rest {
		if cost := rest[i] + n.level[i]/n.FirstKPerH + price*n.first[i]; cost < least {
			best, least = i, cost
		}
	}
	return n.told(best, next, least)
}

// told is the way that starts at a level.
func (n *network) told(level int, next [][]uint8, cost float64) *ideal {
	w := &ideal{grown: []float64{0}, under: []float64{n.level[level]}, hours: n.level[level] / n.FirstKPerH,
		strays: n.first[level], bound: cost}
	for k := range parts {
		to := int(next[k][level])
		w.hours += n.hours[level][to-level]
		for s := range n.Sources {
			w.strays += n.liquid(s, n.fullMM*(float64(k)+0.5)/parts) * n.strays[s][level][to-level]
		}
		level = to
		w.grown, w.under = append(w.grown, n.fullMM*float64(k+1)/parts), append(w.under, n.level[level])
	}
	return w
}

// ideal asks for the price at which the least costly way has no more strays than wanted. Whatever
// the price, hours + price · (strays − most) of that way is a bound from below; the best of them is
// the limit (Lagrange duality: S. Boyd, L. Vandenberghe, Convex Optimization, ch. 5).
func (p *proxy) ideal(mostStrays float64) *ideal {
	n := newNetwork(p)
	low, high := 1e-9, 1e9 // hours a stray
	best := n.way(high)
	bound := best.bound - high*mostStrays
	for range 50 {
		price := math.Sqrt(low * high)
		w := n.way(price)
		bound = math.Max(bound, w.bound-price*mostStrays)
		if w.strays <= mostStrays {
			best, high = w, price
		} else {
			low = price
		}
	}
	best.bound = bound
	return best
}
