package growth

import (
	"math"
	"math/bits"
	"slices"
)

// border lists the certified blocks that have to claim cells of other blocks, by the earliest key at which they do.
func (s *front) border() []uint64 {
	c := &certifier{front: s}
	c.fillSteps()
	var list []uint64
	for b := range s.blocks {
		id := s.blocks[b].proof
		if id == 0 {
			continue
		}
		for _, d := range c.steps {
			n := &s.blocks[c.beside(uint32(b), d)]
			if n.in != 0 && n.proof != id {
				early, _ := c.bounds(c.spanAt(uint32(b)), id-1)
				list = append(list, entry(float32(math.Max(0, early-slack)), uint32(b)))
				break
			}
		}
	}
	slices.Sort(list)
	return list
}

// wake queues the cells of a certified block that have a neighbour outside the certified blocks of their grain.
func (s *front) wake(b uint32) {
	id := s.blocks[b].proof - 1
	for m := s.blocks[b].in; m != 0; m &= m - 1 {
		c := uint32(bits.TrailingZeros64(m))
		for _, g := range s.near[c] {
			n := &s.blocks[int32(b)+g.block]
			if g.mask&n.in != 0 && n.proof != id+1 {
				u := b<<6 | c
				if t, _ := s.arrival(u, id); float64(t) <= s.clock.end {
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
		if b := &s.blocks[i]; b.proof != 0 {
			n += bits.OnesCount64(b.in)
		}
	}
	return n
}
