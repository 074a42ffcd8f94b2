package growth

import (
	"math"
	"sort"

	"onegrain/sim/body"
	"onegrain/sim/furnace"
	"onegrain/sim/kinetics"
)

// clock turns the programme, to its end, into lengths: L_a(t), L_c(t) in cells, and A, the a length
// at which a given c length is reached. At its nodes it is the closed form of the laws; between
// them it is linear and off by what `within` says. Nodes lie dense where lengths bend, so that a
// long programme costs little.
type clock struct {
	nodes  []node
	cs     []cnode
	size   float64   // of the body and a little more, cells
	end    float64   // L_a at the end of the programme: nothing grows beyond it
	table  []float64 // A at equal steps of L_c, as far as most cells of the body need it
	steps  float64   // their number
	top    float64   // L_c at the end
	perLc  float64   // steps per cell of L_c
	starts []int32   // last node at or before equal steps of L_a, likewise
	perLa  float64
	near   float64 // L_a as far as these steps go
}

// node is a moment: L_a in cells, hours, and how they go on with it; cnode is L_c then, apart since
// times are asked for far more often.
type (
	node  struct{ la, hours, hourSlope float64 }
	cnode struct{ lc, lcSlope float64 }
)

const (
	exact    = 1e-5 // cells
	firstCut = 16   // parts of a piece of the programme that are looked at whatever they seem
	lastCut  = 1.0 / (1 << 20)
	mostLook = 1 << 16 // steps of the table
)

// newClock integrates the laws over the growing part of the programme. It returns nil when nothing
// grows.
func newClock(a, c kinetics.Law, p furnace.Programme, g *body.Grid) *clock {
	k := &clock{size: math.Sqrt(float64(g.N[0]*g.N[0]+g.N[1]*g.N[1]+g.N[2]*g.N[2])) + 16}
	knots := p.GrowthKnots()
	for i := 1; i < len(knots); i++ {
		w := &way{clock: k, a: a, c: c, cellMM: g.CellMM, from: knots[i-1], to: knots[i]}
		if i == 1 {
			k.add(moment{hours: w.from.TimeH})
		}
		n := len(k.nodes) - 1
		w.la, w.lc = k.nodes[n].la, k.cs[n].lc
		before := w.at(0)
		for s := 1; s <= firstCut; s++ {
			after := w.at(float64(s) / firstCut)
			w.between(before, after)
			before = after
		}
	}
	if len(k.nodes) < 2 {
		return nil
	}
	n := len(k.nodes) - 1
	k.end, k.top = k.nodes[n].la, k.cs[n].lc
	k.index()
	k.tabulate()
	return k
}

// way is one straight piece of the programme, and moment a point of it at a fraction of its time.
type (
	way struct {
		*clock
		a, c     kinetics.Law
		cellMM   float64
		from, to furnace.Knot
		la, lc   float64 // at from
	}
	moment struct{ f, hours, la, lc float64 }
)

func (w *way) at(f float64) moment {
	t := float64(f * (w.to.TimeH - w.from.TimeH))
	u := w.from.UndercoolingK + float64(f*(w.to.UndercoolingK-w.from.UndercoolingK))
	return moment{f, w.from.TimeH + t, w.la + kinetics.Length(w.a, w.from.UndercoolingK, u, t)/w.cellMM,
		w.lc + kinetics.Length(w.c, w.from.UndercoolingK, u, t)/w.cellMM}
}

// between adds the nodes from one moment to a later one, the later one included. The one in the
// middle halves the step, so that a straight line is off by a quarter of what it was seen to be off
// there.
func (w *way) between(p, q moment) {
	m := w.at(float64(0.5 * (p.f + q.f)))
	bend := math.Max(math.Abs(m.la-float64(0.5*(p.la+q.la))), math.Abs(m.lc-float64(0.5*(p.lc+q.lc))))
	if bend > 4*w.within(q.la) && q.f-p.f > lastCut {
		w.between(p, m)
		w.between(m, q)
		return
	}
	w.add(m)
	w.add(q)
}

// within is how exact lengths have to be: those that a body of this size needs, and longer ones
// less, which only nuclei that come late or ways that wind ask for.
func (k *clock) within(la float64) float64 {
	far := math.Max(1, la/k.size)
	return float64(exact * (far * far))
}

// add appends a node unless nothing has grown since the last one.
func (k *clock) add(m moment) {
	if n := len(k.nodes) - 1; n >= 0 {
		p, c := &k.nodes[n], &k.cs[n]
		if m.la <= p.la {
			return
		}
		c.lcSlope, p.hourSlope = (m.lc-c.lc)/(m.la-p.la), (m.hours-p.hours)/(m.la-p.la)
	}
	k.nodes, k.cs = append(k.nodes, node{la: m.la, hours: m.hours}), append(k.cs, cnode{lc: m.lc})
}

func (k *clock) index() {
	k.near = math.Min(k.end, k.size)
	n := 8 * sort.Search(len(k.nodes), func(i int) bool { return k.nodes[i].la > k.near })
	k.perLa = float64(n) / k.near
	k.starts = make([]int32, n+2)
	i := 0
	for b := range k.starts {
		for i+2 < len(k.nodes) && k.nodes[i+1].la <= float64(b)/k.perLa {
			i++
		}
		k.starts[b] = int32(i)
	}
}

// node is the last node at or before a length, and how far beyond it that is; lengths are clamped
// to the clock's range.
func (k *clock) node(la float64) (i int, beyond float64) {
	switch {
	case !(la > 0):
		return 0, 0
	case la > k.end:
		la = k.end
	}
	ok := false
	if la < k.near {
		i, ok = k.quick(la)
	}
	if !ok {
		i = sort.Search(len(k.nodes)-2, func(j int) bool { return k.nodes[j+1].la > la })
	}
	return i, la - k.nodes[i].la
}

// quick is node for a length from 0 to near where few nodes lie, as nearly everywhere; else ok is
// false. Whether the next node is still not beyond it is worked out without a branch, which the
// processor would guess wrong every other time.
func (k *clock) quick(la float64) (i int, ok bool) {
	b := int(la * k.perLa)
	i, last := int(k.starts[b]), int(k.starts[b+1])
	return i + int(^uint64(order(la)-order(k.nodes[i+1].la))>>63)&(last-i), last <= i+1
}

// cLength is the grown c length when the a length is la.
func (k *clock) cLength(la float64) float64 {
	i, d := k.node(la)
	return k.cs[i].lc + float64(d*k.cs[i].lcSlope)
}

// time is the hour at which the a length is la.
func (k *clock) time(la float64) float64 {
	i, d := k.node(la)
	p := &k.nodes[i]
	return p.hours + float64(d*p.hourSlope)
}

// key is the a length at an hour; before growth starts 0, after the end the end.
func (k *clock) key(hours float64) float64 {
	n := len(k.nodes)
	i := sort.Search(n, func(i int) bool { return k.nodes[i].hours >= hours })
	switch {
	case i == 0:
		return 0
	case i == n:
		return k.end
	}
	p, q := &k.nodes[i-1], &k.nodes[i]
	return p.la + float64((hours-p.hours)/(q.hours-p.hours)*(q.la-p.la))
}

// tabulate fills A with as many steps as it takes to be as exact as the nodes from half a cell on;
// before, where growth has hardly begun, no cell lies.
func (k *clock) tabulate() {
	if k.perLc = 1; k.top <= 0 { // c faces do not move: never reached
		return
	}
	reach := math.Min(k.top, k.size)
	for n := 1 << 10; ; n *= 2 {
		k.perLc, k.steps = float64(n)/reach, float64(n)
		k.table = make([]float64, n+2)
		i, middle, worst := 0, 0.0, 0.0
		for s := 1; s <= 2*n; s++ {
			l := 0.5 * float64(s) / k.perLc
			for i+2 < len(k.cs) && k.cs[i+1].lc < l {
				i++
			}
			la := k.inverse(i, l)
			if s&1 == 1 {
				middle = la
				continue
			}
			k.table[s/2] = la
			if l > 0.5 {
				worst = math.Max(worst, math.Abs(middle-float64(0.5*(k.table[s/2-1]+la))))
			}
		}
		k.table[n+1] = k.table[n]
		if worst <= exact || n >= mostLook {
			return
		}
	}
}

// inverse is the a length when the c faces have grown lc, between node i and the next.
func (k *clock) inverse(i int, lc float64) float64 {
	p, q, c, d := &k.nodes[i], &k.nodes[i+1], k.cs[i].lc, k.cs[i+1].lc
	return p.la + float64(math.Min(1, (lc-c)/(d-c))*(q.la-p.la))
}

// fromC is A: the a length when the c faces have grown lc; 0 for lc ≤ 0, beyond the end for what is
// never reached.
func (k *clock) fromC(lc float64) float64 {
	if la, ok := k.quickC(lc); ok {
		return la
	}
	switch {
	case lc <= 0:
		return 0
	case lc >= k.top:
		return k.end + float64(lc-k.top) + 1e-3
	}
	return k.inverse(sort.Search(len(k.cs)-2, func(j int) bool { return k.cs[j+1].lc >= lc }), lc)
}

// quickC is fromC for lengths above 0 that many cells of a body need; else ok is false.
func (k *clock) quickC(lc float64) (la float64, ok bool) {
	x := float64(lc * k.perLc)
	if !(x > 0 && x < k.steps) {
		return 0, false
	}
	i := int(x)
	return k.table[i] + float64((x-float64(i))*(k.table[i+1]-k.table[i])), true
}
