package growth

// block is what is known of 64 cells, in one cache line. Most blocks meet one or two grains: for
// those, the cells that are solid in the grain or pending with its root box can be passed over
// without a look at the cells.
type block struct {
	in      uint64    // cells of the body
	claimed uint64    // with a claim, or solid
	solid   uint64    // solid
	held    [2]uint64 // cells of the grains whose root boxes are lead
	lead    [2]uint32 // root box + 1; 0 = nobody yet
	proof   uint32    // root box + 1 where the certificate holds for all cells; then nothing else is stored
	known   uint64    // cells for which the certificate holds
}

// of gives the cells held by root box id.
func (b *block) of(id uint32) uint64 {
	switch id + 1 {
	case b.lead[0]:
		return b.held[0]
	case b.lead[1]:
		return b.held[1]
	}
	return 0
}

// knows tells whether every cell of root box id's grain is among those held.
func (b *block) knows(id uint32) bool {
	return b.lead[0] == id+1 || b.lead[1] == id+1 || b.lead[1] == 0
}

// hold adds a cell to those of root box id, if there is room for its grain.
func (b *block) hold(id uint32, bit uint64) {
	for i := range b.lead {
		if b.lead[i] == 0 {
			b.lead[i] = id + 1
		}
		if b.lead[i] == id+1 {
			b.held[i] |= bit
			return
		}
	}
}

func (b *block) drop(bit uint64) {
	b.held[0] &^= bit
	b.held[1] &^= bit
}
