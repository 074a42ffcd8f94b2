package sim_test

import (
	"container/heap"
	"math"
	"sort"
)

// sprout is a grain as the second opinion is told it: a box in the crystal's own axes at an hour.
type sprout struct {
	at, half [3]float64 // mm
	axes     [9]float64
	born     float64
	nucleus  bool
}

// mark is what is known of a point: who comes first, when, how.
type mark struct {
	hour    float64
	grain   int // -1: nobody yet
	face    int // that arrives: +a −a +b −b +c −c, 6 under the seed
	slack   float64
	from    [3]float64 // where the last leg starts, and when
	left    float64
	length  [2]float64 // what the faces have grown by then, in a uniform field
	settled bool
	proved  bool    // the last leg lies in the grain's own territory
	rival   float64 // the earliest hour at which another grain would have come
}

// opinion is a second opinion of one run. It is least arrival by definition: a point belongs to the
// grain with the quickest way to it, of legs from point to point through the body and through
// points that are already the grain's own, settled in order of the hour as in E. W. Dijkstra,
// Numer. Math. 1 (1959) 269. There are no boxes that are passed on from cell to cell, no
// certificates and no rules for obstacles. It costs the square of the number of points.
type opinion struct {
	*room
	*pace
	grains []sprout
	marks  []mark
	starts [][]int // of each grain, points in its box
	open   queue
	leg    leg
	all    []int   // points in the order of settling
	left   float64 // an hour and what is grown by then, kept
	gone   [2]float64
}

// opine settles all points.
func opine(r *room, m *pace, grains []sprout) *opinion {
	o := &opinion{room: r, pace: m, grains: grains}
	o.pace.holes = r.holes
	o.points = append([][3]float64(nil), r.points...)
	o.starts = make([][]int, len(grains))
	for n, s := range grains {
		o.sow(n, s)
	}
	o.marks = make([]mark, len(o.points))
	for p := range o.marks {
		o.marks[p] = mark{hour: math.Inf(1), grain: -1, rival: math.Inf(1), length: [2]float64{math.Inf(1), math.Inf(1)}}
	}
	for n, s := range grains {
		for _, p := range o.starts[n] {
			if s.born < o.marks[p].hour {
				o.put(p, mark{hour: s.born, grain: n, face: 6, from: o.points[p], left: s.born, proved: true})
			}
		}
		if !s.nucleus {
			for p := range o.marks {
				o.reach(p, n, s.nearest(o.points[p]), s.born)
			}
		}
	}
	for o.open.Len() > 0 {
		e := heap.Pop(&o.open).(entry)
		if m := &o.marks[e.point]; !m.settled && m.hour == e.hour {
			o.settle(e.point)
		}
	}
	return o
}

// sow adds points of a grain's box, a cell apart or closer.
func (o *opinion) sow(n int, s sprout) {
	var parts [3]int
	for a := range parts {
		if s.half[a] > 0 {
			parts[a] = int(math.Ceil(s.half[a] / o.g.CellMM * float64(o.fine)))
		}
	}
	for a := -parts[0]; a <= parts[0]; a++ {
		for b := -parts[1]; b <= parts[1]; b++ {
			p := s.at
			for x := range p {
				for i, k := range [2]int{a, b} {
					if parts[i] > 0 {
						p[x] += s.half[i] * float64(k) / float64(parts[i]) * s.axes[3*i+x]
					}
				}
			}
			if o.free(p, p) {
				o.starts[n] = append(o.starts[n], len(o.points))
				o.points = append(o.points, p)
			}
		}
	}
}

// nearest is the point of a grain's first box that is nearest in its own axes.
func (s *sprout) nearest(p [3]float64) [3]float64 {
	d := along(&s.axes, minus(p, s.at))
	q := s.at
	for i := range d {
		for x := range q {
			q[x] += math.Max(-s.half[i], math.Min(s.half[i], d[i])) * s.axes[3*i+x]
		}
	}
	return q
}

func (o *opinion) put(p int, m mark) {
	old := &o.marks[p]
	m.rival = old.rival
	if old.grain >= 0 && old.grain != m.grain {
		m.rival = math.Min(m.rival, old.hour)
	}
	m.length = [2]float64{o.length(0, m.hour), o.length(1, m.hour)}
	*old = m
	heap.Push(&o.open, entry{m.hour, p})
}

// settle fixes a point, unless its last leg crosses foreign territory; then the best way is looked
// for among all points that are settled.
func (o *opinion) settle(p int) {
	m := &o.marks[p]
	if !m.proved && !o.own(p, m) {
		o.again(p)
		return
	}
	m.settled = true
	o.all = append(o.all, p)
	for q := range o.marks {
		if q != p {
			o.reach(q, m.grain, o.points[p], m.hour)
		}
	}
}

// reach tries a leg of a grain to a point.
func (o *opinion) reach(q, grain int, from [3]float64, left float64) {
	m := &o.marks[q]
	if m.hour <= left || m.settled && m.grain == grain {
		return
	}
	if hour, ok := o.try(q, grain, from, left, m); ok {
		if m.settled {
			m.rival = math.Min(m.rival, hour)
			return
		}
		o.put(q, o.arrival(hour, grain, from, left))
	} else if grain != m.grain && hour < m.rival {
		m.rival = hour
	}
}

// arrival is the mark of the present leg's end.
func (o *opinion) arrival(hour float64, grain int, from [3]float64, left float64) mark {
	m := mark{hour: hour, grain: grain, face: o.leg.face(), slack: o.leg.slack, from: from, left: left}
	if o.leg.d == [3]float64{} {
		m.face = 6
	}
	return m
}

// try is the hour of a leg, and whether it is earlier than what is known and free of holes.
func (o *opinion) try(q, grain int, from [3]float64, left float64, m *mark) (float64, bool) {
	g := &o.leg
	g.axes, g.from = &o.grains[grain].axes, from
	g.d = along(g.axes, minus(o.points[q], from))
	if o.offset == nil && len(o.grains) == 1 { // what cannot be earlier is seen at once
		need, _ := g.need()
		if left != o.left {
			o.left, o.gone = left, [2]float64{o.length(0, left), o.length(1, left)}
		}
		if o.gone[0]+need[0] >= m.length[0] || o.gone[1]+need[1] >= m.length[1] {
			return math.Inf(1), false
		}
	}
	hour := o.time(g, left, o.g.CellMM)
	if !(hour < m.hour) {
		return hour, false
	}
	if !o.room.holes {
		return hour, true
	}
	if o.offset == nil {
		o.lay(g)
	}
	if o.clear(false) {
		return hour, true
	}
	if g.straight < m.hour && o.clear(true) {
		for l := range g.share {
			for k := range g.parts + 1 {
				g.share[l][k] = float64(k) / float64(g.parts)
			}
		}
		return g.straight, true
	}
	return math.Inf(1), false
}

// clear tells whether the present leg avoids the holes.
func (o *opinion) clear(straight bool) bool {
	if straight {
		return o.free(o.leg.from, o.leg.at(float64(o.leg.parts), true))
	}
	last := o.leg.from
	for k := 1; k <= o.leg.parts; k++ {
		next := o.leg.at(float64(k), false)
		if !o.free(last, next) {
			return false
		}
		last = next
	}
	return true
}

// own tells whether no other grain has come anywhere on the last leg before it.
func (o *opinion) own(p int, m *mark) bool {
	if len(o.grains) == 1 {
		return true
	}
	g := leg{axes: &o.grains[m.grain].axes, from: m.from}
	g.d = along(g.axes, minus(o.points[p], m.from))
	hour := o.time(&g, m.left, o.g.CellMM)
	if o.offset == nil {
		o.lay(&g)
	}
	straight := m.hour > hour+1e-9
	other := &o.leg
	for k := 1; k < 2*g.parts; k++ {
		at := g.at(float64(k)/2, straight)
		i, there := o.index[o.key(at)]
		if !there || i == p {
			continue
		}
		r := &o.marks[i]
		if !r.settled || r.grain == m.grain {
			continue
		}
		other.axes, other.from = &o.grains[r.grain].axes, r.from
		other.d = along(other.axes, minus(at, r.from))
		now := (g.hours[k/2] + g.hours[(k+1)/2]) / 2
		if straight {
			now = m.left + (m.hour-m.left)*float64(k)/float64(2*g.parts)
		}
		if o.time(other, r.left, o.g.CellMM) < now-1e-9 {
			return false
		}
	}
	return true
}

// again finds the quickest way to a point among all settled ones that stays in its own territory.
func (o *opinion) again(p int) {
	was := o.marks[p]
	blank := mark{hour: math.Inf(1), grain: -1, rival: was.rival, length: [2]float64{math.Inf(1), math.Inf(1)}}
	if o.marks[p] = blank; was.rival > was.hour {
		o.marks[p].rival = math.Inf(1)
	}
	var ways []mark
	for _, q := range o.all {
		y := &o.marks[q]
		if hour, ok := o.try(p, y.grain, o.points[q], y.hour, &blank); ok {
			ways = append(ways, o.arrival(hour, y.grain, o.points[q], y.hour))
		}
	}
	for n, s := range o.grains {
		near := s.nearest(o.points[p])
		if hour, ok := o.try(p, n, near, s.born, &blank); ok && !s.nucleus {
			ways = append(ways, o.arrival(hour, n, near, s.born))
		}
	}
	sort.Slice(ways, func(i, j int) bool { return ways[i].hour < ways[j].hour })
	for i := range ways {
		if w := &ways[i]; o.own(p, w) {
			w.proved = true
			o.put(p, *w)
			return
		}
	}
}
