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
	hours, la, lc []float64 // nodes
	end           float64   // L_a at the end of the programme: nothing grows beyond it
	table         []float64 // A at equal steps of L_c
	perLc         float64   // steps per cell of L_c
	buckets       []int32   // first node of equal steps of L_a, for finding nodes
	perLa         float64
}

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
	if len(k.la) < 2 {
		return nil
	}
	k.end = k.la[len(k.la)-1]
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
			if m := len(k.la) - 1; k.la[m] > reach && k.lc[m] > reach {
				return furnace.Knot{TimeH: from.TimeH + t, UndercoolingK: at}
			}
		}
		m := len(k.la) - 1
		la, lc = k.la[m], k.lc[m]
	}
	return knots[len(knots)-1]
}

// add appends a node unless nothing has grown since the last one.
func (k *clock) add(hours, la, lc float64) {
	if n := len(k.la) - 1; n >= 0 && la <= k.la[n] {
		return
	}
	k.hours, k.la, k.lc = append(k.hours, hours), append(k.la, la), append(k.lc, lc)
}

func (k *clock) index() {
	n := len(k.la)
	k.perLa = float64(n) / k.end
	k.buckets = make([]int32, n+2)
	i := 0
	for b := range k.buckets {
		for i+2 < n && k.la[i+1] <= float64(b)/k.perLa {
			i++
		}
		k.buckets[b] = int32(i)
	}
}

// node is the last node at or before a length of 0 ≤ la ≤ end, and how far la lies towards the next.
func (k *clock) node(la float64) (int, float64) {
	i := int(k.buckets[int(la*k.perLa)])
	for i+2 < len(k.la) && k.la[i+1] <= la {
		i++
	}
	return i, (la - k.la[i]) / (k.la[i+1] - k.la[i])
}

// cLength is the grown c length when the a length is la; lengths are clamped to the clock's range.
func (k *clock) cLength(la float64) float64 {
	la = math.Max(0, math.Min(la, k.end))
	i, f := k.node(la)
	return k.lc[i] + float64(f*(k.lc[i+1]-k.lc[i]))
}

// time is the hour at which the a length is la.
func (k *clock) time(la float64) float64 {
	la = math.Max(0, math.Min(la, k.end))
	i, f := k.node(la)
	return k.hours[i] + float64(f*(k.hours[i+1]-k.hours[i]))
}

// key is the a length at an hour; before growth starts 0, after the end the end.
func (k *clock) key(hours float64) float64 {
	n := len(k.hours)
	i := sort.SearchFloat64s(k.hours, hours)
	switch {
	case i == 0:
		return 0
	case i == n:
		return k.end
	}
	f := (hours - k.hours[i-1]) / (k.hours[i] - k.hours[i-1])
	return k.la[i-1] + float64(f*(k.la[i]-k.la[i-1]))
}

func (k *clock) tabulate(reach float64) {
	n := len(k.lc) - 1
	top := math.Min(k.lc[n], reach)
	k.table = make([]float64, clockSteps+2)
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
		for i+1 < n && k.lc[i+1] < l {
			i++
		}
		f := math.Min(1, (l-k.lc[i])/(k.lc[i+1]-k.lc[i]))
		k.table[s] = k.la[i] + float64(f*(k.la[i+1]-k.la[i]))
	}
	k.table[clockSteps+1] = math.MaxFloat32
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
