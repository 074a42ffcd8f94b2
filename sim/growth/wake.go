package growth

import (
	"math"
	"math/bits"
	"slices"
)

// sleepers lists the blocks with certified cells that have to claim others, by the earliest key at
// which they may.
func (s *front) sleepers() []uint64 {
	c := &certifier{front: s}
	var list []uint64
	for b := range s.blocks {
		p := &s.blocks[b]
		if p.known == 0 || !s.besideLiquid(uint32(b)) {
			continue
		}
		early := math.Inf(1)
		if p.proof != 0 {
			early, _ = c.bounds(c.spanAt(uint32(b)), p.proof-1)
		} else {
			for m := p.known; m != 0; m &= m - 1 {
				early = min(early, float64(s.cells[b<<6|bits.TrailingZeros64(m)].key))
			}
		}
		list = append(list, entry(float32(math.Max(0, early-slack)), uint32(b)))
	}
	slices.Sort(list)
	return list
}

// besideLiquid tells whether a block or one beside it has cells that are not certified.
func (s *front) besideLiquid(b uint32) (found bool) {
	s.eachRound(b, func(n uint32) { found = found || s.blocks[n].in&^s.blocks[n].known != 0 })
	return found
}

// wake queues the certified cells of a block that have a neighbour which is not.
func (s *front) wake(b uint32) {
	p := &s.blocks[b]
	for m := p.known; m != 0; m &= m - 1 {
		c := uint32(bits.TrailingZeros64(m))
		near := s.near[c]
		for i := range near {
			if n := &s.blocks[int32(b)+near[i].block]; near[i].mask&n.in&^n.known != 0 {
				u := b<<6 | c
				t, _, _, _ := s.capturedBy(u)
				if float64(t) <= s.clock.end {
					s.queue.push(t, u)
				}
				break
			}
		}
	}
}

// certifiedCells counts the cells that need no events.
func (s *front) certifiedCells() int {
	n := 0
	for i := range s.blocks {
		n += bits.OnesCount64(s.blocks[i].known)
	}
	return n
}
