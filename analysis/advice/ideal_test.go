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
	*world
	*Task
	level  []float64   // K
	hours  [][]float64 // [from][to−from]; +Inf where the furnace would have to cool too fast
	strays [][]float64 // [from][to−from]
	first  []float64   // strays until the first level, by level
}

func newNetwork(w *world, t *Task) *network {
	n := &network{world: w, Task: t}
	for i := range levels {
		n.level = append(n.level, t.DeepestK*float64(i+1)/levels)
	}
	length := w.length / parts
	for i, from := range n.level {
		hours := make([]float64, levels-i)
		for j := range hours {
			to := n.level[i+j]
			hours[j] = length / w.rate((from+to)/2)
			if to-from > t.FirstKPerH*hours[j] {
				hours[j] = math.Inf(1)
			}
		}
		n.hours = append(n.hours, hours)
		down := from / t.FirstKPerH
		row := make([]float64, levels-i)
		for j := range row {
			if !math.IsInf(hours[j], 1) {
				row[j] = w.expected(from, n.level[i+j], hours[j], from)
			}
		}
		n.strays = append(n.strays, row)
		first := 0.0
		const steps = 200
		for k := range steps {
			u, v := from*float64(k)/steps, from*float64(k+1)/steps
			first += w.left(0) * w.expected(u, v, down/steps, u)
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
		weight := price * n.left(n.length*(float64(k)+0.5)/parts)
		here := make([]float64, levels)
		for i := range here {
			here[i] = math.Inf(1)
			for j, hours := range n.hours[i] {
				cost := hours + rest[i+j] + weight*n.strays[i][j]
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
		w.strays += n.left(n.length*(float64(k)+0.5)/parts) * n.strays[level][to-level]
		level = to
		w.grown, w.under = append(w.grown, n.length*float64(k+1)/parts), append(w.under, n.level[level])
	}
	return w
}

// ideal asks for the price at which the least costly way has no more strays than wanted. Whatever
// the price, hours + price · (strays − most) of that way is a bound from below; the best of them is
// the limit (Lagrange duality: S. Boyd, L. Vandenberghe, Convex Optimization, ch. 5).
func (w *world) ideal(t *Task) *ideal {
	n, mostStrays := newNetwork(w, t), t.mostStrays()
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
