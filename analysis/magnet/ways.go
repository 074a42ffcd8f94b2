package magnet

import "math"

// ways are the cheapest ways found so far to numbered places.
type ways struct {
	cost  []float64 // +Inf where none is known
	from  []int32   // the place before, or where the last straight part began
	slack float64   // a way must be cheaper by so much to count
	heap  []waiting // a binary heap, the cheapest first; dearer entries of a place are out of date
}

// waiting is a place with the cost of a way to it.
type waiting struct {
	cost float64
	at   int32
}

func newWays(n int, slack float64) ways {
	w := ways{cost: make([]float64, n), from: make([]int32, n), slack: slack}
	for u := range w.cost {
		w.cost[u], w.from[u] = math.Inf(1), -1
	}
	return w
}

// reach notes a way to a place if it is cheaper than what is known.
func (w *ways) reach(at int, cost float64, from int) {
	if !(cost < w.cost[at]-w.slack) {
		return
	}
	w.cost[at], w.from[at] = cost, int32(from)
	w.heap = append(w.heap, waiting{cost, int32(at)})
	h, i := w.heap, len(w.heap)-1
	for up := (i - 1) / 2; i > 0 && h[up].cost > cost; up = (i - 1) / 2 {
		h[i], h[up] = h[up], h[i]
		i = up
	}
}

// next is the place with the cheapest way of those that have not come yet; ok is false when all
// have.
func (w *ways) next() (at int, ok bool) {
	for len(w.heap) > 0 {
		first, n := w.heap[0], len(w.heap)-1
		w.heap[0] = w.heap[n]
		w.heap = w.heap[:n]
		for h, i, down := w.heap, 0, 1; down < n; i, down = down, 2*down+1 {
			if down+1 < n && h[down+1].cost < h[down].cost {
				down++
			}
			if h[down].cost >= h[i].cost {
				break
			}
			h[i], h[down] = h[down], h[i]
		}
		if at = int(first.at); first.cost <= w.cost[at] {
			return at, true
		}
	}
	return 0, false
}
