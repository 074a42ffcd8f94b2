package magnet

// waiting is a place with the cost of the way to it.
type waiting struct {
	cost float64
	at   int32
}

// queue gives the cheapest first: a binary heap. A place may stand in it twice; the dearer entry is out of date.
type queue struct{ heap []waiting }

func (q *queue) push(cost float64, at int32) {
	q.heap = append(q.heap, waiting{cost, at})
	h := q.heap
	i := len(h) - 1
	for i > 0 {
		up := (i - 1) / 2
		if h[up].cost <= cost {
			break
		}
		h[i] = h[up]
		i = up
	}
	h[i] = waiting{cost, at}
}

func (q *queue) pop() (waiting, bool) {
	h := q.heap
	if len(h) == 0 {
		return waiting{}, false
	}
	first, last := h[0], h[len(h)-1]
	h = h[:len(h)-1]
	q.heap = h
	i := 0
	for {
		down := 2*i + 1
		if down >= len(h) {
			break
		}
		if down+1 < len(h) && h[down+1].cost < h[down].cost {
			down++
		}
		if h[down].cost >= last.cost {
			break
		}
		h[i] = h[down]
		i = down
	}
	if len(h) > 0 {
		h[i] = last
	}
	return first, true
}
