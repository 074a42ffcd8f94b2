package growth

import (
	"math"
	"slices"
	"sort"

	"onegrain/sim/furnace"
	"onegrain/sim/kinetics"
)

// clock turns the programme into lengths: L_a(t), L_c(t) in cells, and A, the a length at which a given c length is
// reached. Between its nodes, which lie dense in time, it is linear; at the nodes it is the closed form of the law.
type clock struct {
	nodes  []node
	cs     []cnode
	end    float64   // L_a at the end of the programme: nothing grows beyond it
	table  []float64 // A at equal steps of L_c
	perLc  float64   // steps per cell of L_c
	starts []int32   // last node at or before equal steps of L_a
	perLa  float64
}

// node is a moment: L_a in cells, hours, and how they go on with it; cnode is L_c then, apart since times are asked for far more often.
type (
	node  struct{ la, hours, hourSlope float64 }
	cnode struct{ lc, lcSlope float64 }
)

const (
	clockNodes = 1 << 14
	clockSteps = 1 << 14
)

// newClock integrates the laws over the growing part of the programme, as far as lengths up to `reach` cells need it. It
// returns nil when nothing grows.
func newClock(a, c kinetics.Law, p furnace.Programme, cellMM, reach float64) *clock {
	knots := p.GrowthKnots()
	if len(knots) < 2 {
		return nil
	}
	k := &clock{}
	last := k.integrate(a, c, knots, cellMM, reach, 256)
	*k = clock{}
	for i := range knots { // again, with all nodes in the part that matters
		if knots[i].TimeH >= last.TimeH {
			knots = append(slices.Clone(knots[:i]), last)
			break
		}
	}
	k.integrate(a, c, knots, cellMM, reach, clockNodes)
	if len(k.nodes) < 2 {
		return nil
	}
	k.end = k.nodes[len(k.nodes)-1].la
	k.index()
	k.tabulate(reach)
	return k
}

// integrate fills the nodes, about n of them, and returns the knot at which both lengths have passed `reach`, or the last.
func (k *clock) integrate(a, c kinetics.Law, knots []furnace.Knot, cellMM, reach float64, n int) furnace.Knot {
	span := knots[len(knots)-1].TimeH - knots[0].TimeH
	la, lc := 0.0, 0.0
	k.add(knots[0].TimeH, 0, 0)
	for i := 1; i < len(knots); i++ {
		from, to := knots[i-1], knots[i]
		hours := to.TimeH - from.TimeH
		steps := 16 + int(float64(n)*hours/span)
		for s := 1; s <= steps; s++ {
			f := float64(s) / float64(steps)
			at := from.UndercoolingK + float64(f*(to.UndercoolingK-from.UndercoolingK))
			t := float64(f * hours)
			k.add(from.TimeH+t, la+kinetics.Length(a, from.UndercoolingK, at, t)/cellMM, lc+kinetics.Length(c, from.UndercoolingK, at, t)/cellMM)
			if n := len(k.nodes) - 1; k.nodes[n].la > reach && k.cs[n].lc > reach {
				return furnace.Knot{TimeH: from.TimeH + t, UndercoolingK: at}
			}
		}
		la, lc = k.nodes[len(k.nodes)-1].la, k.cs[len(k.cs)-1].lc
	}
	return knots[len(knots)-1]
}

// add appends a node unless nothing has grown since the last one.
func (k *clock) add(hours, la, lc float64) {
	if n := len(k.nodes) - 1; n >= 0 {
		p, c := &k.nodes[n], &k.cs[n]
		if la <= p.la {
			return
		}
		c.lcSlope, p.hourSlope = (lc-c.lc)/(la-p.la), (hours-p.hours)/(la-p.la)
	}
	k.nodes, k.cs = append(k.nodes, node{la: la, hours: hours}), append(k.cs, cnode{lc: lc})
}

func (k *clock) index() {
	n := 4 * len(k.nodes)
	k.perLa = float64(n) / k.end
	k.starts = make([]int32, n+2)
	i := 0
	for b := range k.starts {
		for i+2 < len(k.nodes) && k.nodes[i+1].la <= float64(b)/k.perLa {
			i++
		}
		k.starts[b] = int32(i)
	}
}

// node is the last node at or before a length, and how far beyond it that is; lengths are clamped to the clock's range.
func (k *clock) node(la float64) (i int, beyond float64) {
	switch {
	case !(la > 0):
		return 0, 0
	case la > k.end:
		la = k.end
	}
	i, ok := k.quick(la)
	if !ok {
		b := int(la * k.perLa)
		from := int(k.starts[b])
		i = from + sort.Search(int(k.starts[b+1])-from, func(j int) bool { return k.nodes[from+1+j].la > la })
	}
	return i, la - k.nodes[i].la
}

// quick is node for a length from 0 to the end where few nodes lie, as nearly everywhere; else ok is false. Whether the next node is still not
// beyond it is worked out without a branch, which the processor would guess wrong every other time.
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

func (k *clock) tabulate(reach float64) {
	n := len(k.nodes) - 1
	top := math.Min(k.cs[n].lc, reach)
	k.table = make([]float64, clockSteps+2)
	k.table[clockSteps+1] = math.MaxFloat32
	if top <= 0 { // c faces do not move: never reached
		k.perLc = 1
		for s := 1; s < len(k.table); s++ {
			k.table[s] = math.MaxFloat32
		}
		return
	}
	k.perLc = clockSteps / top
	i := 0
	for s := 1; s <= clockSteps; s++ {
		l := float64(s) / k.perLc
		for i+1 < n && k.cs[i+1].lc < l {
			i++
		}
		p, q, c, d := &k.nodes[i], &k.nodes[i+1], k.cs[i].lc, k.cs[i+1].lc
		k.table[s] = p.la + float64(math.Min(1, (l-c)/(d-c))*(q.la-p.la))
	}
}

// fromC is A: the a length when the c faces have grown lc; 0 for lc ≤ 0, beyond the end for what is never reached.
func (k *clock) fromC(lc float64) float64 {
	x := float64(lc * k.perLc)
	if x <= 0 {
		return 0
	}
	if x >= clockSteps {
		return k.end + float64(x-clockSteps) + 1e-3
	}
	i := int(x)
	return k.table[i] + float64((x-float64(i))*(k.table[i+1]-k.table[i]))
}
