package growth

import (
	"math"

	"onegrain/sim/body"
	"onegrain/sim/furnace"
	"onegrain/sim/kinetics"
)

// Space is what runs grow in, with all that they share: the numbering of the cells and the clock.
// It never changes.
type Space struct {
	grid    *body.Grid
	a, c    kinetics.Law
	cooling furnace.Cooling
	lattice *lattice
	clock   *clock // nil under a gradient
}

// NewSpace prepares a body for runs under one cooling with the laws of the a and c faces.
func NewSpace(g *body.Grid, a, c kinetics.Law, cooling furnace.Cooling) *Space {
	sp := &Space{grid: g, a: a, c: c, cooling: cooling, lattice: newLattice(g)}
	if cooling.Uniform() {
		sp.clock = newClock(a, c, cooling.Programme, g)
		if sp.clock == nil {
			sp.clock = still()
		}
	}
	return sp
}

// Grow runs the body to the end of the programme or until no liquid is left. Seeds are all there
// when growth starts; nuclei follows in order of birth and may be nil; it is asked for no more
// nuclei than it needs. Nuclei in solid are void: born lists, for each nucleus asked for, the index
// of its grain in the field, or -1.
func (sp *Space) Grow(seeds []Root, nuclei func() (Root, bool)) (f *Field, born []int) {
	return sp.grow(seeds, nuclei, options{certify: true, bucket: 0.02})
}

// options change how the answer is found, never the answer.
type options struct {
	certify bool    // leave out what is known beforehand
	general bool    // as under a gradient
	bucket  float64 // width of the queue's buckets, in keys
}

func (sp *Space) grow(seeds []Root, nuclei func() (Root, bool), o options) (f *Field, born []int) {
	if o.general || sp.clock == nil {
		return growLocal(newLocal(sp, o.bucket), seeds, nuclei)
	}
	k := sp.clock
	s := newFront(sp.lattice, k, o.bucket)
	r := &run{front: s, left: s.total, pull: nuclei, end: k.end, capture: s.capture, start: s.start,
		sow: func(r Root) int { return s.plant(r, k.key(r.BornH)) }}
	for _, root := range seeds {
		r.sow(root)
	}
	r.foresee()
	if last, ok := s.alone(); ok && o.certify {
		return newField(s, last), r.born
	}
	s.settleIn()
	if o.certify {
		r.last = s.certify()
	}
	r.sleeping = s.sleepers()
	r.left -= s.certifiedCells()
	if r.left > 0 && s.cells == nil {
		s.cells = make([]cell, s.size()*64)
	}
	for g := range seeds {
		s.start(g)
	}
	r.loop()
	return newField(s, r.fullBy()), r.born
}

func growLocal(s *local, seeds []Root, nuclei func() (Root, bool)) (f *Field, born []int) {
	r := &run{front: s.front, left: s.total, pull: nuclei, end: s.end, capture: s.captureLocal, start: s.startLocal,
		sow: s.plantLocal}
	for _, root := range seeds {
		s.startLocal(r.sow(root))
	}
	r.loop()
	full := math.Inf(1)
	if r.left == 0 {
		full = r.last
	}
	f = newField(s.front, full)
	f.local = &local{front: s.front, times: s.times, a: s.a, c: s.c, flatK: s.flatK, depthK: s.depthK, end: s.end}
	return f, r.born
}

// still is the clock of a programme in which nothing grows.
func still() *clock {
	return &clock{nodes: []node{{}, {la: 1e-9, hours: 1}}, cs: []cnode{{}, {lc: 1e-9}}, perLa: 1, perLc: 1,
		starts: []int32{0, 0, 0}}
}
